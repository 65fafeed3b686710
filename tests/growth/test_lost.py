"""Views that a known plant closes in a known year."""

from dataclasses import replace

import numpy as np
import pytest

from growth.checks.findings import Screening
from growth.checks.lost import asked_open, with_lost
from growth.checks.outlook import prospects
from growth.checks.record import as_json
from growth.ranges import Range

VIEW = {"purpose": "keep open", "eye": [10, 4], "eye_height": 2}
HOLLY = {"plant": "Ilex crenata", "size": "#5", "at": [[2, 2], [9, 9]]}
YEW = {"plant": "Taxus x media 'Hicksii'", "size": "#5", "at": [[11, 9]]}


def of_sizes(stand, sizes_m):
    """The stand with every plant as tall and as wide as given, (n,), in all years."""
    sizes = np.tile(np.asarray(sizes_m, float), (len(stand.years), 1))
    same = Range(sizes, sizes, sizes)
    ground = Range(0 * sizes, 0 * sizes, 0 * sizes)
    return replace(stand, height_m=same, spread_m=same, crown_base_m=ground)


def hiding(low, expected, high):
    """A view in leaf of which those shares are hidden from years 0, 10 and 20 on."""
    steps = np.searchsorted([10, 20], np.arange(31), side="right")
    ends = (np.array(end)[steps] for end in (low, expected, high))
    return Screening("north", "keep open", "leaf", Range(*ends))


BY_HAND = hiding([0.0, 0.1, 0.3], [0.1, 0.3, 0.7], [0.2, 0.6, 0.9])


@pytest.mark.parametrize(
    ("asked", "years"),  # expected, earliest, latest; half is asked where nothing is
    [({}, (20, 10, None)), ({"north": 0.75}, (10, 10, 20)), ({"north": 0.05}, (None, None, None))],
)
def test_the_year_in_which_less_is_open_than_asked(level_lot, parts, asked, years):
    terrain, layout, stand = parts(level_lot(view=VIEW, planting=[HOLLY, YEW]))
    (view,) = with_lost((BY_HAND,), asked, prospects(terrain, layout), layout, stand)
    assert (view.lost.first_year, view.lost.earliest_year, view.lost.latest_year) == years


@pytest.mark.parametrize(("sizes_m", "culprit"), [([3, 1, 3], 2), ([3, 3, 1], 1)])
def test_the_plant_in_the_way_is_the_large_one_before_the_panel(level_lot, parts, sizes_m, culprit):
    """The holly at (2, 2) is as large but stands aside."""
    terrain, layout, stand = parts(level_lot(view=VIEW, planting=[HOLLY, YEW]))
    stand = of_sizes(stand, sizes_m)
    (view,) = with_lost((BY_HAND,), {}, prospects(terrain, layout), layout, stand)
    plant, place = [(HOLLY, "planting[1]"), (HOLLY, "planting[1]"), (YEW, "planting[2]")][culprit]
    assert (view.lost.plant, view.lost.place) == (plant["plant"], place)
    assert view.lost.at == pytest.approx([(2, 2), (9, 9), (11, 9)][culprit])
    # 3 m wide and high half way: at most its rectangle of 6 by 4 m on the panel of 4 by 4
    assert 0.2 < view.lost.opens < 1


def test_two_plants_one_behind_the_other_open_little_alone(level_lot, parts):
    behind = {"plant": "Taxus x media 'Hicksii'", "size": "#5", "at": [[10, 8], [10, 9]]}
    terrain, layout, stand = parts(level_lot(view=VIEW, planting=[behind]))
    both = with_lost((BY_HAND,), {}, prospects(terrain, layout), layout, of_sizes(stand, [3, 3]))
    single = with_lost((BY_HAND,), {}, prospects(terrain, layout), layout, of_sizes(stand, [3, 0]))
    assert both[0].lost.opens < single[0].lost.opens / 2


def test_a_wall_is_no_plant(level_lot, checked):
    wall = {"name": "w", "kind": "box", "outline": [[0, 9], [20, 9], [20, 9.1], [0, 9.1]],
            "height": 6}  # fmt: skip
    document = level_lot(view=VIEW, structure=[wall])
    lost = checked(document).screening[0].lost
    assert (lost.first_year, lost.latest_year, lost.plant) == (0, 0, None)


def test_a_view_to_be_screened_is_never_lost(level_lot, checked):
    document = level_lot()
    views = as_json(checked(document))["screening"]
    assert [view["lost"] for view in views] == [None, None]


def test_the_strictest_requirement_counts(level_lot):
    def asks(name, check, **limit):
        return {"name": name, "check": check, "of": "north", "year": 5} | limit

    wanted = [
        asks("a", "opening", at_least=0.6),
        asks("b", "screening", at_most=0.3),
        asks("c", "opening", at_least=0.5),
    ]
    assert asked_open(level_lot(view=VIEW, requirement=wanted)) == {"north": pytest.approx(0.7)}


def test_a_walk_names_the_plant_in_the_way_of_its_worst_eye(level_lot, parts):
    walk = VIEW | {"eye": [[7, 4], [13, 4]]}
    terrain, layout, stand = parts(level_lot(view=walk, planting=[HOLLY, YEW]))
    stand = of_sizes(stand, [0, 0, 3])
    (view,) = with_lost((BY_HAND,), {}, prospects(terrain, layout), layout, stand)
    assert view.lost.plant == YEW["plant"]
