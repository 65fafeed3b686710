import numpy as np
import pytest
from scipy.integrate import solve_ivp

from growth.curves import (
    SHAPE,
    age_at_size_years,
    grown_m,
    rate_from_growth,
    size_at_age_m,
    steepest_share,
)


def test_size_at_age_by_hand():
    """A = 10, k = ln 2: one minus exp(-k t) is 1/2 at 1 and 3/4 at 2 years."""
    sizes = size_at_age_m([0, 1, 2], asymptote_m=10, rate=np.log(2))
    assert sizes == pytest.approx([0, 10 * 0.5**SHAPE, 10 * 0.75**SHAPE])


def test_age_is_the_inverse_of_size():
    ages = np.array([0.1, 1.0, 7.0, 30.0])
    sizes = size_at_age_m(ages, asymptote_m=18, rate=0.08)
    assert age_at_size_years(sizes, asymptote_m=18, rate=0.08) == pytest.approx(ages)


def test_age_at_the_asymptote_is_infinite():
    assert np.isinf(age_at_size_years(18, asymptote_m=18, rate=0.08))
    assert np.isinf(age_at_size_years(20, asymptote_m=18, rate=0.08))


def test_course_solves_its_differential_equation():
    """dH/dt = k p H ((A/H)^(1/p) - 1), solved by scipy from 2.5 m on."""
    asymptote_m, rate, start_m = 15.0, 0.07, 2.5
    solved = solve_ivp(
        lambda _, size: rate * SHAPE * size * ((asymptote_m / size) ** (1 / SHAPE) - 1),
        (0, 30), [start_m], t_eval=[5, 15, 30], rtol=1e-9, atol=1e-9,
    )  # fmt: skip
    grown = grown_m(start_m, [5, 15, 30], asymptote_m=asymptote_m, rate=rate)
    assert grown == pytest.approx(solved.y[0], rel=1e-6)


def test_steepest_growth_is_the_stated_one():
    rate = rate_from_growth(0.45, 15.0)
    ages = np.linspace(0, 40, 400_001)
    slope = np.gradient(size_at_age_m(ages, asymptote_m=15.0, rate=rate), ages)
    assert slope.max() == pytest.approx(0.45, rel=1e-5)
    assert steepest_share() == pytest.approx(0.6059, abs=1e-4)  # (2/7)^0.4


def test_a_plant_above_its_asymptote_keeps_its_size():
    assert grown_m(4.0, [0, 5, 30], asymptote_m=3.0, rate=0.2) == pytest.approx([4.0, 4.0, 4.0])
