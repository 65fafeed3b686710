"""The catalogue against lists and tables by other hands.

Sources: USDA NRCS PLANTS characteristics (public domain) for rate, mature height, least root
depth and coldest temperature, transcribed in its own units; beside each row for the rest.
Heights must lie in the catalogue's range, which spans the sources; the rest is exact, lengths
to the centimetre they are rounded to.
"""

import pytest

from growth.plants import catalogue

# name, growth rate class, mature height ft, least root depth in, lowest temperature F
USDA = [
    ("Betula papyrifera", "fast", 70, 24, -62),
    ("Liquidambar styraciflua", "fast", 100, 36, None),
    ("Quercus alba", "slow", 100, 48, None),
    ("Quercus rubra", "moderate", 81, 36, None),
    ("Catalpa speciosa", "fast", 60, 20, -38),
    ("Pinus taeda", "fast", 100, 35, None),
    ("Thuja occidentalis", "slow", 50, 30, None),
    ("Taxus baccata", "slow", 40, 16, None),
    ("Robinia pseudoacacia", "fast", 60, 36, -37),
    ("Berberis thunbergii", "moderate", 6, 18, -28),
    ("Kalmia latifolia", "slow", 6, 24, -23),
    ("Nerium oleander", "fast", 12, 16, 14),
    ("Physocarpus opulifolius", "slow", 10, 14, None),
    ("Rhus typhina", "fast", 30, 20, -33),
    ("Vaccinium corymbosum", "moderate", 12, 16, None),
    ("Panicum virgatum", "fast", 6, 16, None),
    ("Digitalis purpurea", "moderate", 5, 6, -13),
]


@pytest.mark.parametrize(("name", "rate", "height_ft", "root_in", "lowest_f"), USDA)
def test_figures_of_the_plants_characteristics(name, rate, height_ft, root_in, lowest_f):
    plant = catalogue()[name]
    assert plant.rate == rate
    assert "USDA NRCS PLANTS" in plant.sources["rate"]
    assert plant.height_m[0] - 0.01 <= height_ft * 0.3048 <= plant.height_m[1] + 0.01
    assert plant.root_depth_m == pytest.approx(root_in * 0.0254, abs=0.0051)
    if lowest_f is not None:
        coldest_f = 10 * plant.zones[0] - 70  # zone 1 begins at -60 F, each zone is ten wide
        assert coldest_f <= lowest_f + 10


def test_camellia_is_slow():
    """UF/IFAS FPS-97 (Gilman 1999): slow, part shade, zones 7 to 9."""
    plant = catalogue()["Camellia japonica"]
    assert (plant.rate, plant.light, plant.zones) == ("slow", "part shade", (7, 9))


def test_procumbent_juniper_is_six_to_twelve_inches_high():
    """Nursery pages give 8 to 12 in, a nursery catalogue 6 in at its garden size."""
    low_m, high_m = catalogue()["Juniperus procumbens 'Nana'"].height_m
    assert low_m == pytest.approx(6 * 0.0254, abs=0.005)
    assert high_m == pytest.approx(12 * 0.0254, abs=0.005)


@pytest.mark.parametrize(
    ("name", "people", "pets"),
    [
        # people: UC Marin Master Gardeners 2017; pets: ASPCA Animal Poison Control Center
        ("Nerium oleander", True, True),
        ("Taxus baccata", True, True),
        ("Digitalis purpurea", True, True),
        # people: UF/IFAS FPS-162; pets: ASPCA (cycads)
        ("Cycas revoluta", True, True),
        # ASPCA, and the Texas A&M list
        ("Convallaria majalis", True, True),
        # ASPCA and UF/IFAS Wakulla County: rhododendrons and azaleas
        ("Rhododendron catawbiense", True, True),
        ("Rhododendron 'Kurume'", True, True),
        # Rockdale Association of Master Gardeners: horses
        ("Acer rubrum", None, True),
        # Clemson HGIC 1071: berries, cats
        ("Nandina domestica", None, True),
        # USDA NRCS PLANTS: toxicity class moderate, does not tell people from livestock
        ("Vinca minor", True, True),
    ],
)
def test_plants_that_lists_name_are_named(name, people, pets):
    plant = catalogue()[name]
    for named, said in ((people, plant.toxic_people), (pets, plant.toxic_pets)):
        if named:
            assert said.startswith("listed as toxic")


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("Berberis thunbergii", "Pennsylvania"),  # Penn State Extension
        ("Pyrus calleryana", "Pennsylvania"),  # Penn State Extension
        ("Euonymus alatus", "Pennsylvania"),  # Lawn & Landscape, noxious weeds
        ("Hedera helix", "Oregon"),  # Oregon Department of Agriculture, quarantine of 2010
        ("Buddleja davidii", "Oregon"),  # the same
        ("Cinnamomum camphora", "Florida"),  # Florida Exotic Pest Plant Council, category I
        ("Lantana camara", "Florida"),  # the same
        ("Lonicera japonica", "Florida"),  # the same
        ("Wisteria sinensis", "Florida"),  # the same, category II
        ("Elaeagnus angustifolia", "Illinois"),  # Illinois Exotic Weed Act
    ],
)
def test_plants_that_places_list_as_invasive_are_listed_with_the_place(name, place):
    assert catalogue()[name].invasive.startswith("listed as invasive in")
    assert place in catalogue()[name].invasive


@pytest.mark.parametrize(
    ("name", "thorny"),
    [("Berberis thunbergii", True), ("Crataegus monogyna", True), ("Rosa rugosa", True),
     ("Pyracantha coccinea", True), ("Camellia japonica", False), ("Fagus sylvatica", False)],
)  # fmt: skip
def test_thorns(name, thorny):
    """Common knowledge of the genera."""
    assert catalogue()[name].thorny is thorny


def test_height_at_base_age_is_never_above_the_mature_one():
    for plant in catalogue().values():
        if plant.height_base_age_m is not None:
            assert plant.height_base_age_m <= plant.height_m[1]


@pytest.mark.parametrize(
    ("name", "feet"),
    [("Liquidambar styraciflua", 45), ("Pinus taeda", 50), ("Quercus alba", 25),
     ("Vaccinium corymbosum", 12), ("Kalmia latifolia", 5)],
)  # fmt: skip
def test_height_at_base_age(name, feet):
    """USDA NRCS PLANTS: height at 20 years of trees, at 10 of shrubs."""
    assert catalogue()[name].height_base_age_m == pytest.approx(feet * 0.3048, abs=0.005)
