"""Shrubs against the few heights and spreads that were published by age.

Heights at ten years over mature ones: USDA NRCS PLANTS characteristics (public domain), means
over shrubs by class of rate; sampling leaves them uncertain by 0.03 (one standard error).
Five years: University of Arkansas Plant Evaluation Program, final report 2011, mean of three
sites. Twenty years: windbreak tables of the USDA NRCS soil survey, medians over states; they
are written in classes two metres wide and come from stock of any size, so that they lie in
the range or next to it by no more than half a class.
"""

import numpy as np
import pytest

from growth.assumed import shrub_rates_per_year
from growth.calibrate.shrubs import base_heights_m, fitted_rate
from growth.plants import catalogue
from growth.specimen import grow_specimen

INCH_M = 0.0254

MEAN_SHARES = {"slow": 0.80, "moderate": 0.87, "fast": 0.95}


@pytest.mark.parametrize(("rate", "share"), MEAN_SHARES.items())
def test_share_of_the_mature_height_at_ten_years(rate, share):
    """Shrubs of 1 to 4 m mature height; 0.05 for other heights than the listed ones have."""
    mature_m = np.linspace(1.0, 4.0, 7)
    found = base_heights_m(mature_m, shrub_rates_per_year()[rate]) / mature_m
    assert found.mean() == pytest.approx(share, abs=0.05)


def test_the_fit_finds_the_rate_it_was_made_with():
    mature_m = np.linspace(0.8, 5.0, 20)
    assert fitted_rate(base_heights_m(mature_m, 0.14), mature_m) == pytest.approx(0.14, rel=1e-6)


def test_listed_heights_at_ten_years_lie_in_the_range_of_most_shrubs():
    """Ours rest on several sources of mature size; listed figures are maxima, in whole feet."""
    inside = []
    for plant in catalogue().values():
        if plant.kind == "shrub" and plant.height_base_age_m and plant.growth_m_per_year is None:
            height = grow_specimen(plant, until=10).height_m
            inside.append(height.low[10] <= plant.height_base_age_m <= height.high[10])
    assert len(inside) > 40
    assert np.mean(inside) > 0.65


def test_loropetalum_after_five_years():
    """53 in tall and 43 in wide, planted from containers of a size not stated."""
    grown = grow_specimen(catalogue()["Loropetalum chinense"], size="#3", until=5)
    assert grown.height_m.low[5] <= 53 * INCH_M <= grown.height_m.high[5]
    assert grown.spread_m.low[5] <= 43 * INCH_M <= grown.spread_m.high[5]


@pytest.mark.parametrize(
    ("name", "height_m"),
    [
        ("Cephalanthus occidentalis", 2.0),
        ("Corylus americana", 2.0),
        ("Lindera benzoin", 4.0),
        ("Physocarpus opulifolius", 2.0),
        ("Rhus aromatica", 2.0),
        ("Syringa vulgaris", 2.0),
        ("Viburnum dentatum", 4.0),
    ],
)
def test_windbreak_heights_at_twenty_years(name, height_m):
    height = grow_specimen(catalogue()[name], until=20).height_m
    assert height.low[20] <= height_m + 1.0
    assert height_m - 1.0 <= height.high[20]
