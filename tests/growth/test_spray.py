"""Spray against single crowns by hand: the sector that a circle hides has a closed form."""

from dataclasses import replace
from math import acos, asin, pi, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from shapely.geometry import LineString

from growth.checks.keepclear import Keep
from growth.checks.spray import spray
from growth.ranges import Range
from growth.stand import Draws
from scenes.document import SprayHead

LEVEL = SimpleNamespace(height_m=lambda xy: np.zeros(len(xy)), lattice="level", after_m=0)
THROW = 4.0
UPRIGHT_SIDED = "Pachysandra terminalis"  # as wide at every level


def head(name="a", *, at=(0.0, 0.0), riser=0.3, arc=(0.0, 360.0)):
    return SprayHead.model_construct(name=name, at=at, riser=riser, throw=THROW, arc=arc)


def seen(
    stand_of, heads, plants, *, height_m, spread_m, base_m=0.0, name=UPRIGHT_SIDED, ground=LEVEL
):
    """Sprays of plants of one size by year, (Y,) or a number."""
    stand = stand_of([name] * len(plants), plants)
    stand.xyz_m[:, 2] = ground.height_m(stand.xyz_m[:, :2])
    sizes = [
        np.broadcast_to(np.reshape(size, (1, -1, 1)), (2, 31, len(plants))).astype(np.float32)
        for size in (height_m, spread_m, base_m)
    ]
    height, spread = (Range(*[size[0].astype(float)] * 3) for size in sizes[:2])
    stand = replace(stand, height_m=height, spread_m=spread)
    return spray(heads, ground, stand, Draws(*sizes))[0]


def dry_share(distance_m, radius_m):
    """Share of a full circle of throw behind a round crown, in closed form.

    The tangents from the head touch at sqrt(d^2 - r^2); between them and the throw lies the
    dry ground, less the part in front of the crown: the kite of the tangents minus the
    crown's sector that faces the head.
    """
    half = asin(radius_m / distance_m)
    kite = radius_m * sqrt(distance_m**2 - radius_m**2)
    front = kite - (pi / 2 - half) * radius_m**2
    return (half * THROW**2 - front) / (pi * THROW**2)


@pytest.mark.parametrize(("distance_m", "radius_m"), [(2.0, 1.0), (1.5, 0.75), (2.5, 0.5)])
def test_one_crown_hides_what_lies_behind_it(stand_of, distance_m, radius_m):
    (found,) = seen(stand_of, [head()], [(0.0, distance_m)], height_m=1.0, spread_m=2 * radius_m)
    dry = 1 - found.reached.expected[3]
    assert dry == pytest.approx(dry_share(distance_m, radius_m), abs=0.006)  # 90 ways: 4 deg


@pytest.mark.parametrize("distance_m", [1.0, 2.5])
def test_a_wall_leaves_dry_the_part_of_the_circle_beyond_it(stand_of, distance_m):
    wall = Keep("wall", "wall", LineString([(-9, distance_m), (9, distance_m)]), 0.0, 2.0)
    stand = stand_of([UPRIGHT_SIDED], [(20.0, 20.0)])
    none = Draws(*np.zeros((3, 2, 31, 1), np.float32))
    (found,), _ = spray([head()], LEVEL, stand, none, [wall])
    beyond = THROW**2 * acos(distance_m / THROW) - distance_m * sqrt(THROW**2 - distance_m**2)
    assert found.reached.expected[0] == pytest.approx(1 - beyond / (pi * THROW**2), abs=0.01)
    low = replace(wall, high_m=0.2)  # below the riser
    (over,), _ = spray([head()], LEVEL, stand, none, [low])
    assert over.reached.expected[0] == 1


def test_water_passes_over_low_plants_and_under_raised_crowns(stand_of):
    for height_m, base_m in ((0.29, 0.0), (5.0, 0.31)):
        (found,) = seen(
            stand_of, [head()], [(0.0, 2.0)], height_m=height_m, spread_m=1.0, base_m=base_m
        )
        assert found.reached.low.min() == 1
        assert found.first_dry_year is None


def test_the_year_it_grows_past_the_riser_and_the_riser_that_clears(stand_of):
    height_m = 0.1 + 0.03 * np.arange(31)  # 0.31 m in year 7, 1.0 m in year 30
    (found,) = seen(stand_of, [head()], [(0.0, 2.0)], height_m=height_m, spread_m=2.0)
    assert found.first_dry_year == 7
    assert found.clearing_riser_m == pytest.approx(1.0)
    assert found.reached.expected[6] == 1


def test_no_riser_clears_a_tree(stand_of):
    (found,) = seen(stand_of, [head()], [(0.0, 2.0)], height_m=6.0, spread_m=2.0)
    assert found.clearing_riser_m is None


def test_a_head_grown_over_wets_nothing(stand_of):
    (found,) = seen(stand_of, [head()], [(0.2, 0.0)], height_m=1.0, spread_m=1.0)
    assert found.reached.expected[0] == 0


def test_plants_outside_the_arc_or_the_throw_do_not_matter(stand_of):
    east = head(arc=(45.0, 135.0))
    (found,) = seen(stand_of, [east], [(-2.0, 0.0), (0.0, 6.0)], height_m=1.0, spread_m=1.0)
    assert found.reached.expected.min() == 1
    assert found.clearing_riser_m == pytest.approx(0.3)
    assert found.sector_m2 == pytest.approx(pi * THROW**2 / 4)


def test_an_arc_over_north_is_read_clockwise(stand_of):
    north = head(arc=(315.0, 45.0))
    (found,) = seen(stand_of, [north], [(0.0, 2.0)], height_m=1.0, spread_m=1.0)
    assert found.sector_m2 == pytest.approx(pi * THROW**2 / 4)
    assert found.reached.expected[0] < 0.8


def test_head_to_head_is_within_the_throw(stand_of):
    heads = [head("a"), head("b", at=(4.0, 0.0)), head("c", at=(4.0, 4.5))]
    found = seen(stand_of, heads, [(50.0, 50.0)], height_m=1.0, spread_m=1.0)
    assert [each.head_to_head for each in found] == [True, True, False]
    assert found[2].nearest_head_m == pytest.approx(4.5)


def test_the_lot_is_as_good_as_the_worst_head_of_each_draw(stand_of):
    """In one draw a crown hides all of one head's ground, in the other a part of the other's."""
    stand = stand_of([UPRIGHT_SIDED] * 2, [(0.0, 0.1), (20.0, 2.0)])
    spreads = np.zeros((2, 31, 2), np.float32)
    spreads[0, :, 0], spreads[1, :, 1] = 1, 2
    wide = Range(*[spreads.max(axis=0).astype(float)] * 3)
    stand = replace(stand, spread_m=wide, height_m=wide)
    heads = [head("a"), head("b", at=(20.0, 0.0))]
    sizes = Draws(np.ones_like(spreads), spreads, np.zeros_like(spreads))
    _, reached = spray(heads, LEVEL, stand, sizes)
    behind = 1 - dry_share(2, 1)
    assert reached["a"].expected[5] == pytest.approx(1 / 2)
    assert reached["b"].expected[5] == pytest.approx((1 + behind) / 2, abs=0.006)
    assert reached["lot"].expected[5] == pytest.approx(behind / 2, abs=0.006)  # 0 and behind
    assert set(reached) == {"a", "b", "lot"}


def test_a_cone_stops_less_water_at_its_top_than_at_its_foot(stand_of):
    """A cone's squared radius at 3 of 4 parts of its height: 1 - 1.65 x 0.75 + 0.65 x 0.75^2."""
    radius_m = sqrt(1 - 1.65 * 0.75 + 0.65 * 0.75**2)
    (found,) = seen(
        stand_of, [head()], [(0.0, 2.0)], height_m=0.4, spread_m=2.0, name="Ginkgo biloba"
    )
    assert 1 - found.reached.expected[3] == pytest.approx(dry_share(2.0, radius_m), abs=0.01)


def tilted(slope):
    """Ground that rises to the north by a slope."""
    return SimpleNamespace(
        height_m=lambda xy: slope * np.asarray(xy)[:, 1], lattice="slope", after_m=slope
    )


def test_rising_ground_stops_water_where_it_comes_up_to_it(stand_of):
    """On 10 % water 0.2 m up meets the ground 2 m uphill: beyond that line all is dry."""
    beyond = THROW**2 * acos(0.5) - 2 * sqrt(THROW**2 - 2**2)
    (found,) = seen(
        stand_of, [head(riser=0.2)], [(50.0, 50.0)], height_m=1, spread_m=1, ground=tilted(0.1)
    )
    assert 1 - found.reached.expected[0] == pytest.approx(beyond / (pi * THROW**2), abs=0.03)


@pytest.mark.parametrize(("slope", "dry"), [(-0.3, True), (0.05, False)])
def test_water_follows_falling_ground_down_and_stays_level_over_rising(stand_of, slope, dry):
    """Downhill water 0.3 m up comes down with the ground and meets a plant 0.35 m tall; uphill by
    5 % it is 0.2 m up after 2 m and meets one of 0.25 m. A plant of 0.15 m it passes in both."""
    tall = 0.35 if dry else 0.25
    (met,) = seen(
        stand_of, [head()], [(0.0, 2.0)], height_m=tall, spread_m=1.0, ground=tilted(slope)
    )
    (over,) = seen(
        stand_of, [head()], [(0.0, 2.0)], height_m=0.15, spread_m=1.0, ground=tilted(slope)
    )
    assert met.reached.expected[3] < over.reached.expected[3]
