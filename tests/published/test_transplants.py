"""Sizes at planting and the first years after it, against measured stock and trees.

Sources, beside each check: Urban tree database (doi 10.2737/RDS-2016-0005); Struve,
Burchfield & Maupin 2000, J. Arboric. 26(3):162-169, table 1; a gardener's record of two
lindens at gardenatoz.com (from their magazine issue on trees); Arboriculture & Urban
Forestry, table of transplant sizes of Vitex agnus-castus; nursery standards simplified
from ANSI Z60.1 at bobscaping.com; retail rules at what-does-it-mean.org.
"""

import numpy as np
import pytest

from growth.calibrate.lindens import lindens
from growth.courses import forecast
from growth.nursery import nursery_size
from growth.plants import catalogue
from growth.starts import Start

FOOT_M = 0.3048


@pytest.mark.parametrize(
    ("caliper", "height_ft"),
    [("1 in cal", 8), ("1.5 in cal", 10), ("2 in cal", 12), ("2.5 in cal", 13), ("3 in cal", 14)],
)
def test_shade_tree_heights_by_caliper(caliper, height_ft):
    """Average heights of the simplified standard; half an inch either way."""
    size = nursery_size(caliper, catalogue()["Quercus rubra"])
    assert size.height_m == pytest.approx(height_ft * FOOT_M, abs=0.0127)


def test_small_stock_is_that_of_newly_planted_street_trees():
    """317 trees of age 0-1: quartiles of height 2.0-3.5 m and crown 0.8-1.5 m at 2.5 cm trunk."""
    size = nursery_size("25 mm cal", catalogue()["Acer rubrum"])
    assert 2.0 <= size.height_m <= 3.5
    assert 0.8 <= size.spread_m <= 1.5


@pytest.mark.parametrize(
    ("size", "low_ft", "high_ft"), [("#3", 3, 5), ("#5", 3, 5), ("#15", 8, 12)]
)
def test_trees_in_containers_follow_the_retail_rule(size, low_ft, high_ft):
    stock = nursery_size(size, catalogue()["Acer saccharum"])
    assert low_ft * FOOT_M <= stock.height_m <= high_ft * FOOT_M


def test_shrub_in_number_one_container_follows_the_retail_rule():
    """0.5-2 ft tall and 0.5-1.5 ft wide."""
    stock = nursery_size("#1", catalogue()["Viburnum dentatum"])
    assert 0.5 * FOOT_M <= stock.height_m <= 2 * FOOT_M
    assert 0.5 * FOOT_M <= stock.spread_m <= 1.5 * FOOT_M


@pytest.mark.parametrize(
    ("size", "height_m", "spread_m"),
    [("#1", 0.547, 0.555), ("#3", 0.768, 0.732), ("#7", 1.355, 1.190), ("#25", 2.008, 2.247)],
)
def test_shrub_stock_is_under_that_of_a_large_shrub(size, height_m, spread_m):
    """Vitex is among the largest of shrubs: usual stock has half of it at least, never more."""
    stock = nursery_size(size, catalogue()["Prunus laurocerasus"])
    assert 0.5 * height_m <= stock.height_m <= height_m
    assert 0.5 * spread_m <= stock.spread_m <= spread_m


def test_small_linden_follows_its_record_once_established():
    """A linden planted 7 ft tall: 9.5, 11, 12.5, 14 and 15.5 ft at the ends of years 3-7.

    It stood still in year 1 and had 8 ft in year 2; the curve spreads that lag over the years,
    so at year 2 its low end (8.4 ft) is above the record.
    """
    sizes = forecast([Start(catalogue()["Tilia cordata"], 7 * FOOT_M, 1.0)], np.arange(8))
    recorded_m = np.array([9.5, 11, 12.5, 14, 15.5]) * FOOT_M
    assert np.all(sizes.height_m.low[3:, 0] <= recorded_m)
    assert np.all(recorded_m <= sizes.height_m.high[3:, 0])


@pytest.mark.parametrize(
    ("start_m", "after_m"), [(3.05, 4.95), (3.4, 4.7)], ids=["transplanted", "left standing"]
)
def test_red_oaks_follow_three_measured_years(start_m, after_m):
    """Heights of 1996 and 1999; means of small stock (3.6 cm) and of trees not moved."""
    sizes = forecast([Start(catalogue()["Quercus rubra"], start_m, 1.4)], np.arange(4))
    assert sizes.height_m.low[3, 0] <= after_m <= sizes.height_m.high[3, 0]


def test_the_record_of_two_lindens_is_printed_beside_the_forecast():
    """Year 6: both 14 ft; year 7: 15.5 against 15 ft. Shown to the reader (`pytest -s`)."""
    print(f"\n{lindens()}")
    rows = {line.split()[0]: line.split() for line in lindens().splitlines()[2:]}
    assert (rows["6"][1], rows["6"][5]) == ("14.0", "14.0")
    assert (rows["7"][1], rows["7"][5]) == ("15.5", "15.0")
