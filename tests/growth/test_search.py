import json
from dataclasses import replace

import pytest

from growth.colours import colour_word
from growth.errors import GrowthError
from growth.plants import catalogue
from growth.search import as_json, lights, search
from growth.uses import uses

PLANTS = tuple(catalogue().values())


def names(query, plants=PLANTS):
    return {plant.name for plant in search(query.split(), plants).plants}


def test_no_words_find_all():
    assert search([], PLANTS).plants == PLANTS


@pytest.mark.parametrize(
    ("query", "among", "not_among"),
    [
        ("evergreen screen zone 7 fast", "Thuja 'Green Giant'", "Taxus x media 'Hicksii'"),
        ("camellia", "Camellia japonica", "Thuja 'Green Giant'"),
        ("maples", "Acer saccharum", "Quercus alba"),
        ("'green giant'", "Thuja 'Green Giant'", "Thuja plicata"),
        ("golden bamboo", "Phyllostachys aurea", "Phyllostachys nigra"),
        ("part shade evergreen shrub", "Camellia japonica", "Lavandula angustifolia"),
        ("shade fern", "Polystichum munitum", "Pachysandra terminalis"),
        ("shade tree zone 4", "Acer saccharum", "Cornus florida"),
        ("flowers june", "Rosa rugosa", "Forsythia x intermedia"),
        ("white flowers may", "Viburnum dentatum", "Rosa rugosa"),
        ("flowers white in april", "Amelanchier x grandiflora", "Cercis canadensis"),
        ("autumn red", "Acer rubrum", "Ginkgo biloba"),
        ("leaf blue", "Picea pungens", "Picea abies"),
        ("slow palm", "Trachycarpus fortunei", "Washingtonia robusta"),
        ("rapid grass", "Panicum virgatum", "Carex morrowii"),
        ("thorny", "Berberis thunbergii", "Ilex crenata"),
        ("without listed-toxic evergreen", "Pinus strobus", "Nerium oleander"),
        ("no thorns rose", "Hibiscus syriacus", "Rosa rugosa"),
        ("without listed-invasive maple", "Acer rubrum", "Acer platanoides"),
    ],
)
def test_words_find_and_leave_out(query, among, not_among):
    assert among in names(query)
    assert not_among in catalogue()
    assert not_among not in names(query)


def test_zone_is_within_the_plants_zones():
    assert all(p.zones[0] <= 3 <= p.zones[1] for p in search(["zone", "3"], PLANTS).plants)
    assert len(names("zone 3")) < len(names("zone 6"))
    assert names("zone 7b") == names("zone 7")


@pytest.mark.parametrize(
    ("query", "holds"),
    [
        ("under 6 ft", lambda plant: plant.height_m[1] <= 6 * 0.3048 + 0.006),
        ("under 6ft", lambda plant: plant.height_m[1] <= 6 * 0.3048 + 0.006),
        ("over 3 m", lambda plant: plant.height_m[0] >= 3 - 0.006),
        ("over 3m", lambda plant: plant.height_m[0] >= 3 - 0.006),
        ("narrower than 2 m", lambda plant: plant.spread_m[1] <= 2.006),
        ("wider 18 ft", lambda plant: plant.spread_m[0] >= 18 * 0.3048 - 0.006),
    ],
)
def test_sizes_are_limits_of_the_mature_range(query, holds):
    found = names(query)
    assert found == {plant.name for plant in PLANTS if holds(plant)}
    assert 0 < len(found) < len(PLANTS)


def test_the_start_of_a_name_is_enough_where_no_word_is_the_same():
    assert names("hicks") == {"Taxus x media 'Hicksii'"}
    assert "Pleioblastus pygmaeus" not in names("fern")  # the dwarf fernleaf bamboo


def test_an_unknown_word_finds_nothing_and_is_named():
    found = search(["evergreen", "maplle"], PLANTS)
    assert found.plants == ()
    assert found.unmatched == ("maplle",)
    assert found.near[0] == "maple"


def test_known_words_that_no_plant_joins_are_not_called_unknown():
    found = search(["fern", "zone", "11", "climber"], PLANTS)
    assert found.plants == ()
    assert found.unmatched == ()


@pytest.mark.parametrize("promise", ["safe", "nontoxic", "pet-safe", "harmless", "not toxic"])
def test_no_promise_is_made(promise):
    with pytest.raises(GrowthError, match=f'"{promise}": no list can promise that; write "without'):
        search(["shrub", *promise.split()], PLANTS)


@pytest.mark.parametrize(
    ("query", "message"),
    [
        ("zone", r'"zone" names no zone; write like "zone 7"'),
        ("zone 40", r'"zone 40" names no zone'),
        ("under 6", r'"under 6" is no length; write a number and a unit, like "under 6 ft"'),
        ("over tall", r'"over tall" is no length'),
        ("under 6 bananas", r'"under 6 bananas" is no length'),
        ("without leaves", r'"without leaves" cannot be left out; what can is "without listed-t'),
    ],
)
def test_a_phrase_without_its_figure_is_refused(query, message):
    with pytest.raises(GrowthError, match=message):
        search(query.split(), PLANTS)


def test_what_is_left_out_is_what_lists_name():
    kept = search(["without", "listed-toxic"], PLANTS).plants
    named = search(["listed-toxic"], PLANTS).plants
    assert len(kept) + len(named) == len(PLANTS)
    assert {p.toxic_people for p in kept} == {p.toxic_pets for p in kept} == {"not looked up"}


@pytest.mark.parametrize(
    ("light", "taken"),
    [
        ("sun", {"sun"}),
        ("sun to part shade", {"sun", "part shade"}),
        ("sun to shade", {"sun", "part shade", "shade"}),
        ("part shade to shade", {"part shade", "shade"}),
        ("", set()),
    ],
)
def test_light_spans_the_scale(light, taken):
    assert lights(replace(PLANTS[0], light=light)) == taken


@pytest.mark.parametrize(
    ("name", "use", "has"),
    [
        ("Cupressus x leylandii", "screen", True),
        ("Acer saccharum", "screen", False),  # bare in winter, and on a bare stem
        ("Buxus sempervirens", "hedge", True),
        ("Carpinus betulus", "hedge", True),
        ("Agave americana", "hedge", False),
        ("Pachysandra terminalis", "groundcover", True),
        ("Juniperus procumbens 'Nana'", "groundcover", True),
        ("Quercus alba", "shade tree", True),
        ("Cornus florida", "shade tree", False),
        ("Larix decidua", "conifer", True),
        ("Calluna vulgaris", "conifer", False),
    ],
)
def test_uses_follow_from_figures(name, use, has):
    assert (use in uses(catalogue()[name])) is has


@pytest.mark.parametrize(
    ("colour", "word"),
    [
        ("#ffffff", "white"), ("#000000", "grey"), ("#c02020", "red"), ("#e08020", "orange"),
        ("#e0d030", "yellow"), ("#307030", "green"), ("#4060c0", "blue"), ("#7040a0", "purple"),
        ("#d080b0", "pink"), ("#6a4a2a", "brown"), ("", ""),
    ],
)  # fmt: skip
def test_colours_are_called_by_their_plain_names(colour, word):
    assert colour_word(colour) == word


def test_json_has_every_source():
    for plant in PLANTS:
        row = json.loads(json.dumps(as_json(plant), allow_nan=False))
        assert set(row["sources"]) == {
            "size", "rate", "zones_light", "see_through", "colours", "cautions",
        }  # fmt: skip
        assert row["toxic"]
