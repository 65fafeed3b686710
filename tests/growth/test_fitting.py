import numpy as np
import pytest

from growth.curves import Curve, grown_m, size_at_age_m
from growth.fitting import curve_through_seen, rising_curve
from growth.scatter import Scatter

AHEAD = Curve(15.0, 0.05, 1.25)
SAME = Scatter(0.0, 0.0)
"""Plants all alike: the mean course is the curve."""


def through(curve, start_m, years):
    return grown_m(
        start_m, years, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year, shape=curve.shape
    )


def test_a_rising_curve_through_its_own_kind_is_exact():
    ages = np.arange(1.0, 41.0)
    sizes = size_at_age_m(ages + 1.5, asymptote_m=12.0, rate=0.08, shape=1.2)
    curve, miss = rising_curve(ages, sizes)
    assert curve.asymptote_m == pytest.approx(12.0, rel=1e-3)
    assert np.abs(miss).max() < 1e-4


def test_sizes_that_fall_are_met_by_a_curve_that_does_not():
    ages = np.arange(1.0, 41.0)
    size_m = 6 - ((ages - 25) / 12) ** 2  # an upturned parabola, highest at 25 years
    curve, _ = rising_curve(ages, size_m)
    grown = size_at_age_m(
        ages, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year, shape=curve.shape
    )
    assert np.all(np.diff(grown) > 0)
    assert curve.asymptote_m == pytest.approx(6.0, rel=0.05)


@pytest.mark.parametrize("seen_m", [3.0, 5.0, 8.0])
def test_one_size_seen_is_met(seen_m):
    curve = curve_through_seen(AHEAD, [(6.0, seen_m)], scatter=SAME, planted_m=2.0)
    assert float(through(curve, 2.0, 6.0)) == pytest.approx(seen_m, rel=0.04)


def test_several_sizes_seen_are_met():
    seen = [(3.0, 4.0), (8.0, 7.0), (15.0, 9.0)]
    curve = curve_through_seen(AHEAD, seen, scatter=SAME, planted_m=2.0)
    grown = through(curve, 2.0, [3.0, 8.0, 15.0])
    assert grown == pytest.approx([4.0, 7.0, 9.0], rel=0.08)


def test_sizes_on_the_curve_leave_it_alone():
    seen = [(5.0, float(through(AHEAD, 2.0, 5.0))), (20.0, float(through(AHEAD, 2.0, 20.0)))]
    curve = curve_through_seen(AHEAD, seen, scatter=SAME, planted_m=2.0)
    assert curve.asymptote_m == pytest.approx(15.0, rel=1e-3)
    assert curve.rate_per_year == pytest.approx(0.05, rel=1e-3)


def test_a_size_seen_in_year_0_is_the_one_they_began_with():
    seen = [(0.0, 1.0), (5.0, 3.0)]
    curve = curve_through_seen(AHEAD, seen, scatter=SAME, planted_m=2.5)
    assert float(through(curve, 1.0, 5.0)) == pytest.approx(3.0, rel=0.04)
