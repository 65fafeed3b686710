"""Length of street a driver has to see before turning, as road manuals print it."""

import pytest

from growth.checks.sight import sight_distance_m

FOOT_M = 0.3048


def test_left_turn_across_a_wide_street():
    """Source: Montana DOT Road Design Manual, Appendix K, example 2-6: 50 mph, 8.6 s, 635 ft."""
    gap_s = 7.5 + 0.5 * (12 + 14) / 12
    assert sight_distance_m(50, gap_s=round(gap_s, 1)) == pytest.approx(635 * FOOT_M)


@pytest.mark.parametrize(("mph", "feet"), [(20, 225), (25, 280), (30, 335), (35, 390), (40, 445)])
def test_left_turn_onto_two_lanes(mph, feet):
    """Source: AASHTO's design values for 7.5 s (25 mph: Raleigh too; others from memory)."""
    assert sight_distance_m(mph) == pytest.approx(feet * FOOT_M)
