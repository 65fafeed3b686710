"""Clearance by cylinders of known growth: first year, overlap and cures worked out by hand."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from growth.checks.clearance import clear_of, clearance, near
from growth.checks.keepclear import Keep
from growth.ranges import Range
from growth.stand import YEARS, Draws

WALL = Keep("house", "wall", shapely.box(-10, -10, 0, 10), 0.0, 3.0)
LAYOUT = SimpleNamespace(sources=[SimpleNamespace(place="planting[1]")])


def level(xy):
    return np.zeros(len(xy))


@pytest.fixture
def growing(stand_of):
    """Cylinders at points that widen 0.2 m a year (0.1 slow, 0.3 fast) at a constant height."""

    def made(xy, *, name="Ilex glabra", height=2.0, base=0.0):
        stand = stand_of([name] * len(xy), xy)
        each = np.ones(len(xy))
        spreads = (np.outer(0.5 + rate * YEARS, each) for rate in (0.1, 0.2, 0.3))
        same = [np.full((len(YEARS), len(xy)), size) for size in (height, base)]
        return replace(
            stand,
            plants=tuple(replace(plant, form="sheet") for plant in stand.plants),
            source=np.zeros(len(xy), int),
            spread_m=Range(*spreads),
            height_m=Range(same[0], same[0], same[0]),
            crown_base_m=Range(same[1], same[1], same[1]),
        )

    return made


def clashes(stand, *things):
    return clearance(things, near(things, stand, level), LAYOUT, stand)


def test_the_first_year_and_the_overlap_at_a_wall(growing):
    """Radius 0.25 + 0.1 y passes 1.02 m by more than 5 cm in year 9 (1.15 m)."""
    (found,) = clashes(growing([[1.02, 0]]), WALL)
    assert (found.against, found.what, found.at) == ("house", "wall", (1.02, 0.0))
    assert found.first_year == 9
    assert found.earliest_year == 6  # 0.25 + 0.15 * 6 = 1.15
    assert found.latest_year == 17  # 0.25 + 0.05 * 17 = 1.10
    assert found.overlap_m == pytest.approx(3.25 - 1.02)
    assert found.least_m == pytest.approx(1.75 - 1.02)
    assert found.most_m == pytest.approx(4.75 - 1.02)


def test_a_plant_out_of_reach_is_not_named(growing):
    assert clashes(growing([[4.8, 0]]), WALL) == ()  # the widest has a radius of 4.75 m


def test_a_low_plant_passes_under_a_window_and_a_tall_one_does_not(growing):
    window = Keep("kitchen", "window", shapely.box(-1, -1, 0, 1), 1.0, 2.0)
    assert clashes(growing([[1, 0]], height=0.9), window) == ()
    assert len(clashes(growing([[1, 0]], height=1.1), window)) == 1


def test_a_house_has_one_datum_whatever_the_ground_does(growing):
    window = Keep("kitchen", "window", shapely.box(-1, -1, 0, 1), 1.0, 2.0, datum_m=1.0)
    assert clashes(growing([[1, 0]], height=1.9), window) == ()
    assert len(clashes(growing([[1, 0]], height=2.1), window)) == 1


def test_a_crown_above_the_headroom_of_a_walk_is_clear(growing):
    walk = Keep("path", "walk", shapely.box(-1, -5, 1, 5), 0.0, 2.286)
    assert clashes(growing([[2, 0]], name="Acer rubrum", height=9, base=2.5), walk) == ()
    (found,) = clashes(growing([[2, 0]], name="Acer rubrum", height=9, base=2.0), walk)
    assert [(cure.do, cure.length_m) for cure in found.cures] == [
        ("lift", 2.286),
        ("move", pytest.approx(4.75 - 1)),
    ]


def test_a_wire_is_kept_clear_of_by_its_distance(growing):
    wire = Keep("wires", "line", shapely.LineString([[0, -9], [0, 9]]), 3.0, 1000.0, 3.0)
    assert clashes(growing([[4, 0]], height=2.9), wire) == ()
    (found,) = clashes(growing([[4, 0]], height=3.1), wire)
    assert found.overlap_m == pytest.approx(3.25 + 3.0 - 4.0)


def test_only_plants_of_the_lot_lean_over_its_line(growing):
    line = Keep("lot line", "lot line", shapely.box(0, 0, 20, 20).exterior, 0.0, 1000.0)
    found = clashes(growing([[1, 10], [-1, 10]]), line)
    assert [clash.at for clash in found] == [(1.0, 10.0)]


def test_clipping_cures_a_shrub_with_room_and_not_one_at_the_wall(growing):
    roomy, tight = clashes(growing([[1.5, 0], [0.3, 0]]), WALL)
    assert (roomy.cures[0].do, roomy.cures[0].length_m) == ("clip", pytest.approx(3.0))
    assert [c.do for c in tight.cures] == ["move"]


def test_a_thorny_plant_stays_three_feet_back_from_a_path_and_not_from_a_wall(growing):
    path = Keep("path", "walk", WALL.shape, 0.0, 2.3)
    smooth = growing([[4, 0]])
    thorny = replace(smooth, plants=(replace(smooth.plants[0], thorny=True),))
    assert clashes(smooth, path)[0].first_year is None  # 3.25 m of radius at the most
    assert clashes(thorny, path)[0].overlap_m == pytest.approx(3.25 + 3 * 0.3048 - 4)
    assert clashes(thorny, WALL)[0].first_year is None


def test_the_share_of_clear_plants_counts_draw_by_draw(growing):
    """Two draws: in one the first of two plants touches, in the other none does."""
    stand = growing([[1, 0], [4, 0]])
    spread = np.zeros((2, len(YEARS), 2), np.float32)
    spread[0], spread[1] = [2.4, 2.4], [1.8, 1.8]
    draws = Draws(np.full_like(spread, 2.0), spread, np.zeros_like(spread))
    pairs = near((WALL,), stand, level)
    for of in ("house", "lot", "Ilex glabra"):
        assert clear_of(of, (WALL,), pairs, stand, draws).expected == pytest.approx(0.75)
    assert clear_of("pond", (WALL,), pairs, stand, draws) is None
