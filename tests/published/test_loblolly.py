"""A free fit against a published one: heights of loblolly pine.

Data: heights in feet at six ages of the seed source 329, data set Loblolly of R (Kung 1986,
Proc. Statist. Comput. Sect., Am. Statist. Assoc. 340-343), read in a public copy of R's data.
The help page of R's SSasymp fits to it the curve Asym + (R0 - Asym) exp(-exp(lrc) age), with
Asym 94.1282, R0 -8.2508, lrc -3.2176 (from memory of the page). It is our curve with exponent
1. Tolerance: half a unit of the last digit printed, five times over.
"""

import math

import numpy as np
import pytest

from growth.fitting import curve_of_sizes

AGE_YEARS = np.array([3.0, 5.0, 10.0, 15.0, 20.0, 25.0])
HEIGHT_FT = np.array([3.93, 9.34, 26.08, 37.79, 48.31, 56.43])


def test_free_fit_gives_the_published_coefficients():
    fitted = curve_of_sizes(AGE_YEARS, HEIGHT_FT, shape=1.0)
    curve = fitted.curve
    at_zero = curve.asymptote_m * (1 - math.exp(curve.rate_per_year * fitted.zero_age_years))
    assert curve.asymptote_m == pytest.approx(94.1282, abs=2.5e-4)
    assert at_zero == pytest.approx(-8.2508, abs=2.5e-4)
    assert math.log(curve.rate_per_year) == pytest.approx(-3.2176, abs=2.5e-4)
