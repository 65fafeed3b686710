"""Cover of beds by crowns of sizes given by hand: the right share is known beforehand."""

import numpy as np
import pytest
import shapely

from growth.checks.coverage import coverage, reaches_down, share_under
from growth.stand import Draws
from scenes.layout import BedShape

HYDRANGEA, CAREX, MAPLE, ARBORVITAE = (
    "Hydrangea arborescens", "Carex morrowii", "Acer rubrum", "Thuja occidentalis 'Smaragd'",
)  # fmt: skip
BED = BedShape("bed", shapely.box(0, 0, 4, 4), None)


def draws_of(spread, height=None):
    """Draws from spread (D, Y, n)."""
    spread = np.array(spread, np.float32)
    height = spread if height is None else np.array(height, np.float32)
    return Draws(height, spread, np.zeros_like(spread))


def test_one_crown_in_the_middle_covers_its_circle(stand_of):
    stand = stand_of([HYDRANGEA], [[2, 2]])
    covers, _ = coverage([BED], stand, draws_of([[[0], [1], [2]]]))
    assert covers[0].area_m2 == pytest.approx(16)
    assert covers[0].fraction.expected == pytest.approx([0, np.pi / 64, np.pi / 16], abs=0.002)


def test_two_crowns_in_one_place_count_once(stand_of):
    stand = stand_of([HYDRANGEA, CAREX], [[2, 2], [2, 2]])
    covers, _ = coverage([BED], stand, draws_of([[[2, 2]]]))
    assert covers[0].fraction.expected == pytest.approx([np.pi / 16], abs=0.003)


def test_a_plant_that_leaves_opens_the_bed_again(stand_of):
    stand = stand_of([HYDRANGEA, CAREX], [[1, 1], [3, 3]])
    covers, _ = coverage([BED], stand, draws_of([[[1, 1], [1.5, 1.5], [0, 2]]]))
    wanted = [np.pi / 32, 2 * np.pi * 0.75**2 / 16, np.pi / 16]
    assert covers[0].fraction.expected == pytest.approx(wanted, abs=0.003)


def test_a_tree_on_a_bare_stem_shades_a_bed_and_does_not_close_it(stand_of):
    stand = stand_of([MAPLE, ARBORVITAE], [[2, 2], [2, 2]])
    assert reaches_down(stand).tolist() == [False, True]
    covers, _ = coverage([BED], stand, draws_of([[[4, 0]], [[4, 0]]]))
    assert covers[0].fraction.expected.tolist() == [0]


def test_closed_year_is_the_first_with_95_percent_expected(stand_of):
    stand = stand_of([HYDRANGEA], [[2, 2]])
    # a circle across d = 4.6 covers 92 % of a 4 m square, d = 5 covers 97 % (closed form)
    covers, _ = coverage([BED], stand, draws_of([[[4], [4.6], [5.0], [5.7]]]))
    assert covers[0].fraction.expected[1:3] == pytest.approx([0.923, 0.972], abs=0.003)
    assert covers[0].closed_year == 2
    open_bed, _ = coverage([BED], stand, draws_of([[[4], [4.5]]]))
    assert open_bed[0].closed_year is None


def test_the_range_runs_over_draws(stand_of):
    stand = stand_of([HYDRANGEA], [[2, 2]])
    spread = np.linspace(1, 3, 101)[:, None, None]
    fraction = coverage([BED], stand, draws_of(spread))[0][0].fraction
    area = np.pi * (spread.ravel() / 2) ** 2 / 16
    assert fraction.low[0] == pytest.approx(area[10], abs=0.003)
    assert fraction.expected[0] == pytest.approx(area.mean(), abs=0.003)
    assert fraction.high[0] == pytest.approx(area[90], abs=0.003)


def test_all_beds_together_are_joint_and_weighted_by_area(stand_of):
    small = BedShape("small", shapely.box(10, 0, 12, 2), None)
    stand = stand_of([HYDRANGEA, CAREX], [[2, 2], [11, 1]])
    # one bed full when the other is empty: together the same two shares in each draw
    covers, together = coverage([BED, small], stand, draws_of([[[9, 0]], [[0, 9]]] * 10))
    assert [cover.bed for cover in covers] == ["bed", "small"]
    assert together.bed == "lot"
    assert together.area_m2 == pytest.approx(20)
    assert together.fraction.low[0] == pytest.approx(0.2)
    assert together.fraction.expected[0] == pytest.approx(0.5)
    assert together.fraction.high[0] == pytest.approx(0.8)


def test_patches_cover_what_the_whole_outline_is_found_to(stand_of):
    """A long bed in many patches, beside the same crowns painted over all of it at once."""
    rng = np.random.default_rng(2)
    outline = shapely.Polygon([(0, 0), (14, 1), (13, 9), (2, 8)])
    xy_m, spread = rng.uniform(-1, 14, (30, 2)), rng.uniform(0, 3, (4, 6, 30))
    stand, draws = stand_of([HYDRANGEA] * 30, xy_m), draws_of(spread)
    plain = share_under(outline, xy_m, draws.spread_m / 2)
    covers, _ = coverage([BedShape("long", outline, None)], stand, draws)
    assert 0.2 < plain.min() < plain.max() < 0.95
    assert covers[0].fraction.expected == pytest.approx(plain.mean(axis=0), abs=1e-12)


def test_no_beds_and_no_plants(stand_of):
    assert coverage([], stand_of([HYDRANGEA], [[0, 0]]), draws_of([[[1]]])) == ((), None)
    covers, _ = coverage([BED], stand_of([HYDRANGEA], [[50, 50]]), draws_of([[[1]]]))
    assert covers[0].fraction.high.tolist() == [0]
