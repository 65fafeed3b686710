"""Offsets of shrubs from a wall and from each other, as extension services publish them."""

import pytest

from growth.checks.clearance import spacing_m, wall_offset_m

FOOT_M = 0.3048


def test_a_five_foot_shrub_stands_three_and_a_half_feet_from_a_wall():
    """Source: Clemson Extension, Carolina Yards: half the mature width and a foot."""
    assert wall_offset_m(5 * FOOT_M) == pytest.approx(3.5 * FOOT_M)


def test_shrubs_of_eight_and_six_feet_stand_seven_feet_apart():
    """Source: University of Missouri guide (Rothenberger): half the sum of mature spreads."""
    assert spacing_m(8 * FOOT_M, 6 * FOOT_M) == pytest.approx(7 * FOOT_M)
