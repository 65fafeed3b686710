"""The widest place of a crown in a band, against a fine march up the crown."""

import numpy as np
import pytest

from growth.crownbands import widest_m
from growth.crowns import FORMS, relative_radius

BANDS = [(0.0, 20.0), (0.2, 0.9), (2.0, 2.1), (3.1, 4.0), (4.9, 6.0)]


@pytest.mark.parametrize("band", BANDS)
@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.name)
def test_it_is_the_largest_radius_met_on_the_way_up(form, band):
    """A crown from 1 to 5 m, 3 m wide; 20,000 steps miss a steep end by less than 2 cm."""
    levels = np.linspace(max(band[0], 1.0), min(band[1], 5.0), 20_001)
    inside = levels[0] <= levels[-1]
    expected = 1.5 * relative_radius(form, (levels - 1) / 4).max() if inside else -np.inf
    if band[1] < 1:
        expected = -np.inf
    one = np.ones(1)
    found = widest_m(
        form, height_m=5 * one, spread_m=3 * one, base_m=one, low_m=band[0] * one,
        high_m=band[1] * one,
    )  # fmt: skip
    assert found[0] == pytest.approx(expected, abs=0.02)


def test_a_plant_that_is_not_there_reaches_nothing():
    none = np.zeros(1)
    found = widest_m(
        FORMS["sheet"], height_m=none, spread_m=none, base_m=none, low_m=none, high_m=none + 9
    )
    assert found[0] == -np.inf
