import colorsys
import datetime
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from growth.crowns import FORMS
from growth.errors import GrowthError
from growth.plants import CARDS, FACT_GROUPS, PARTS, catalogue, find, own_plants
from scenes.document import Yard

KINDS = {
    "tree", "shrub", "groundcover", "grass", "perennial", "palm", "cycad", "fern", "vine", "bamboo",
}  # fmt: skip
COLOUR = re.compile(r"#[0-9a-f]{6}")


def yard_with(*tables):
    site = {
        "boundary": [[0, 0], [9, 0], [9, 9], [0, 9]],
        "planted": datetime.date(2027, 3, 15),
    }
    document = {
        "title": "Test", "lengths": "m", "site": site,
        "ground": {"points": [[0, 0, 0], [9, 0, 0], [0, 9, 0]]}, "plant": list(tables),
    }  # fmt: skip
    yard = Yard.model_validate(document, context={"unit": "m"})
    yard._path = Path("test.toml")
    return yard


NEW = {
    "name": "Ilex 'Local'", "kind": "tree", "form": "pyramidal", "leaf": "evergreen",
    "height": [6, 9], "spread": [3, 4.5], "rate": "moderate",
}  # fmt: skip


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_every_plant_of_the_catalogue_is_whole(plant):
    assert plant.kind in KINDS
    assert plant.form in FORMS
    assert plant.card in CARDS
    assert plant.leaf in {"evergreen", "deciduous", "semi-evergreen"}
    assert plant.rate in {"slow", "moderate", "fast"}
    assert plant.growth_m_per_year is None or 0 < plant.growth_m_per_year < 2
    assert 0 < plant.height_m[0] <= plant.height_m[1] < 50
    assert 0 < plant.spread_m[0] <= plant.spread_m[1] < 40
    assert plant.zones is not None
    assert 1 <= plant.zones[0] <= plant.zones[1] <= 13
    assert 0 < plant.see_through_leaf <= plant.see_through_bare < 1
    assert all(1 <= month <= 12 for month in plant.flower_months)
    assert bool(plant.colour_flower) == bool(plant.flower_months)
    assert plant.root_depth_m is None or 0 < plant.root_depth_m < 2
    for said in (plant.toxic_people, plant.toxic_pets):
        assert said == "not looked up" or said.startswith("listed as toxic")
    assert not plant.invasive or plant.invasive.startswith(("listed as", "reported as"))


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_every_group_of_facts_has_a_source(plant):
    assert set(plant.sources) == set(FACT_GROUPS)
    assert all(source.strip() for source in plant.sources.values())


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_colours_are_natural(plant):
    """No channel of a leaf above 85 %, and green never twice the red: neon is neither."""
    assert COLOUR.fullmatch(plant.colour_leaf)
    colours = {part: getattr(plant, f"colour_{part}") for part in PARTS}
    for part, colour in colours.items():
        if colour:
            assert COLOUR.fullmatch(colour), part
            red, green, blue = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
            assert part == "flower" or max(red, green, blue) < 0.85 * 255
            assert green < 2 * red
            assert colorsys.rgb_to_hls(red / 255, green / 255, blue / 255)[2] < 0.7


def test_nothing_is_called_harmless():
    told = " ".join(str(plant) for plant in catalogue().values()).lower()
    assert not re.search(r"\bsafe\b|non-?toxic|harmless|edible", told)


def test_a_caution_has_a_source():
    for plant in catalogue().values():
        if plant.invasive:
            assert "invasive: " in plant.sources["cautions"]
        if plant.toxic != "not looked up" or plant.thorny:
            assert plant.sources["cautions"] != "not looked up"


def test_evergreens_look_the_same_through_in_winter():
    for plant in catalogue().values():
        if plant.leaf == "evergreen":
            assert plant.see_through_bare == plant.see_through_leaf, plant.name


def test_catalogue_is_wide_enough():
    """At least 210 plants of every kind, for zones 3 to 10, slow, moderate and fast."""
    plants = catalogue().values()
    assert len(plants) >= 210
    counts = Counter(plant.kind for plant in plants)
    least = {"tree": 60, "shrub": 60, "perennial": 20, "grass": 12, "groundcover": 12, "vine": 10}
    least |= {"palm": 6, "fern": 6, "cycad": 2, "bamboo": 2}
    assert {kind: counts[kind] >= number for kind, number in least.items()} == dict.fromkeys(
        least, True
    )
    for zone in range(3, 11):
        assert sum(plant.zones[0] <= zone <= plant.zones[1] for plant in plants) >= 60, zone
    assert min(Counter(plant.rate for plant in plants).values()) >= 60


def test_poison_for_people_and_for_pets_is_told_apart():
    lily, box = catalogue()["Hemerocallis hybrid"], catalogue()["Buxus sempervirens"]
    assert lily.toxic == "listed as toxic to cats"
    assert box.toxic == "listed as toxic to people (leaves); listed as toxic to pets"
    assert replace(lily, toxic_pets="not looked up").toxic == "not looked up"
    assert replace(lily, toxic_pets="burns skin").toxic == "burns skin (pets)"


def test_evergreens_have_no_autumn_colour():
    assert not [p.name for p in catalogue().values() if p.leaf == "evergreen" and p.colour_autumn]


def test_catalogue_uses_every_form():
    assert {plant.form for plant in catalogue().values()} == set(FORMS)


@pytest.mark.parametrize(
    ("name", "height_ft", "spread_ft"),
    [
        # Rockdale Association of Master Gardeners (40-60 ft); USDA PLANTS (68 ft)
        ("Acer rubrum", (40, 68), (30, 50)),
        ("Thuja 'Green Giant'", (50, 60), (12, 20)),  # University of Mississippi landscape
        # UF/IFAS FPS-97, Gilman 1999 (7-12 x 5-10 ft); Clemson HGIC, relayed (6-12 x 6-10 ft)
        ("Camellia japonica", (6, 12), (5, 10)),
        # UF/IFAS FPS-162, Gilman 1999 (3-10 x 4-8 ft); UF/IFAS Baker County (15 x 10-12 ft)
        ("Cycas revoluta", (3, 15), (4, 12)),
        ("Abelia x grandiflora", (3, 6), (3, 6)),  # Auburn University landscape plants 128
        ("Ligustrum japonicum", (8, 12), (15, 25)),  # UF/IFAS ST-352
        ("Quercus phellos", (40, 100), (25, 50)),  # Bates Nursery (40-75 ft); USDA PLANTS (100 ft)
    ],
)
def test_sizes_are_those_of_the_sheets(name, height_ft, spread_ft):
    """Where two sheets differ the range spans both."""
    plant = catalogue()[name]
    assert plant.height_m == pytest.approx([foot * 0.3048 for foot in height_ft], abs=0.005)
    assert plant.spread_m == pytest.approx([foot * 0.3048 for foot in spread_ft], abs=0.005)


@pytest.mark.parametrize("name", ["Cycas revoluta", "Taxus x media 'Hicksii'"])
def test_poisonous_plants_are_listed(name):
    """Sago palm and yew: University of Florida IFAS list; USDA NRCS PLANTS for yew."""
    assert catalogue()[name].toxic.startswith("listed as toxic")


def test_nearest_names_are_offered():
    with pytest.raises(GrowthError, match=r'"Ilex crenta" is not a known plant.*Ilex crenata'):
        find("Ilex crenta", {})


def test_common_names_lead_to_the_botanical_one():
    with pytest.raises(GrowthError, match=r"Acer rubrum"):
        find("Red maple", {})


def test_own_plant_comes_before_the_catalogue():
    own = own_plants(yard_with({"name": "Acer rubrum", "height": [8, 10]}))
    assert find("Acer rubrum", own).height_m == (8, 10)
    assert find("Acer rubrum", own).spread_m == catalogue()["Acer rubrum"].spread_m
    assert find("Acer rubrum", own).sources["size"] == "the document"


def test_own_rate_takes_the_place_of_the_catalogues_yearly_growth():
    own = own_plants(yard_with({"name": "Thuja 'Green Giant'", "rate": "slow"}))
    assert catalogue()["Thuja 'Green Giant'"].growth_m_per_year is not None
    assert find("Thuja 'Green Giant'", own).growth_m_per_year is None


def test_new_plant_is_read_whole():
    facts = {**NEW, "see_through": [0.1, 0.2], "colours": {"leaf": "#445566"}, "thorny": True}
    plant = own_plants(yard_with(facts))["Ilex 'Local'"]
    assert (plant.kind, plant.form, plant.rate) == ("tree", "pyramidal", "moderate")
    assert (plant.see_through_leaf, plant.see_through_bare) == (0.1, 0.2)
    assert plant.colour_leaf == "#445566"
    assert plant.thorny
    assert plant.toxic == "not looked up"


def test_other_columns_of_the_catalogue_may_be_written():
    facts = {
        "name": "Acer rubrum", "toxic_pets": "listed as toxic to goats", "root_depth": 0.5,
        "invasive": "listed on the moon", "colours": {"spring": "#8a5a44", "winter": "#5a4a3c"},
    }  # fmt: skip
    plant = own_plants(yard_with(facts))["Acer rubrum"]
    assert (plant.toxic_pets, plant.invasive) == (facts["toxic_pets"], facts["invasive"])
    assert plant.toxic_people == catalogue()["Acer rubrum"].toxic_people
    assert plant.root_depth_m == 0.5
    assert (plant.colour_spring, plant.colour_winter) == ("#8a5a44", "#5a4a3c")
    assert plant.sources["cautions"] == plant.sources["colours"] == "the document"


def test_a_word_on_poison_holds_for_people_and_pets():
    plant = own_plants(yard_with({**NEW, "toxic": "listed as toxic"}))["Ilex 'Local'"]
    assert plant.toxic_people == plant.toxic_pets == plant.toxic == "listed as toxic"


def test_one_see_through_holds_all_year_for_an_evergreen():
    plant = own_plants(yard_with({**NEW, "see_through": 0.05}))["Ilex 'Local'"]
    assert (plant.see_through_leaf, plant.see_through_bare) == (0.05, 0.05)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"kind": None, "rate": None}, r"plant\[1\]\.name: .* lacks kind, rate or growth_per_year"),
        ({"form": "round"}, r'plant\[1\]\.form: "round" is unknown; known are rounded'),
        ({"height": [9, 6]}, r"plant\[1\]\.height: 9 m to 6 m falls; write the low one first"),
        ({"zones": [9, 5]}, r"plant\[1\]\.zones: 9 to 5 falls"),
        ({"see_through": [0.5, 0.2]}, r"see_through: bare 0.2 is below leaf 0.5"),
        ({"flower": "pink"}, r'colours\.flower: "pink" is not a colour'),
        ({"colours": {"stem": "#445566"}}, r'colours: "stem" is no part'),
    ],
)
def test_a_wrong_table_is_named_with_its_remedy(changes, message):
    facts = {key: value for key, value in {**NEW, **changes}.items() if value is not None}
    with pytest.raises(GrowthError, match=r"^test\.toml: .*" + message):
        own_plants(yard_with(facts))


def test_a_plant_written_twice_is_refused():
    with pytest.raises(GrowthError, match=r"plant\[2\]\.name: .* written twice"):
        own_plants(yard_with(NEW, NEW))


def test_every_wrong_table_has_its_line():
    with pytest.raises(GrowthError) as caught:
        own_plants(yard_with({**NEW, "form": "round"}, {"name": "Nobody's"}))
    assert [line.split(".")[1] for line in str(caught.value).splitlines()] == [
        "toml: plant[1]",
        "toml: plant[2]",
    ]


@pytest.mark.parametrize("growth", ["0 in", "-2 in"])
def test_yearly_growth_must_be_above_zero(growth):
    with pytest.raises(ValueError, match=r"not above zero"):
        yard_with({**NEW, "growth_per_year": growth})
