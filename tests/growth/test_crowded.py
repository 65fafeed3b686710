"""Unlike plants too close: distances, spreads and the year of meeting by hand."""

from dataclasses import replace

import numpy as np
import pytest

from growth.checks.crowded import crowded
from growth.ranges import Range
from growth.stand import YEARS

FOOT_M = 0.3048


@pytest.fixture
def found(stand_of):
    def made(names, xy, spreads_ft):
        """Plants of mature spreads in feet that widen by 0.2 m a year from nothing."""
        stand = stand_of(names, xy)
        plants = tuple(
            replace(plant, spread_m=(feet * FOOT_M, feet * FOOT_M))
            for plant, feet in zip(stand.plants, spreads_ft, strict=True)
        )
        spread = np.outer(0.2 * YEARS, np.ones(len(names)))
        return crowded(replace(stand, plants=plants, spread_m=Range(spread, spread, spread)))

    return made


def test_eight_and_six_feet_want_seven(found):
    """University of Missouri's example: 7 ft on centre; here they stand 6 ft apart."""
    shrubs = ["Ilex glabra", "Viburnum dentatum"]
    (pair,) = found(shrubs, [[0, 0], [6 * FOOT_M, 0]], [8, 6])
    assert pair.wanted_m == pytest.approx(7 * FOOT_M)
    assert pair.distance_m == pytest.approx(6 * FOOT_M)
    assert pair.first_year == 10  # 0.2 y passes 1.83 m
    assert found(shrubs, [[0, 0], [7.1 * FOOT_M, 0]], [8, 6]) == ()


def test_the_nearest_pair_of_two_kinds_is_named(found):
    names = ["Ilex glabra", "Ilex glabra", "Viburnum dentatum"]
    (pair,) = found(names, [[0, 0], [1, 0], [1.5, 0]], [8, 6])
    assert (pair.at, pair.other_at) == ((1.0, 0.0), (1.5, 0.0))


def test_a_hedge_of_one_kind_and_shrubs_under_a_tree_are_left_out(found):
    assert found(["Ilex glabra"] * 2, [[0, 0], [0.5, 0]], [8]) == ()
    assert found(["Ilex glabra", "Acer rubrum"], [[0, 0], [0.5, 0]], [8, 30]) == ()
