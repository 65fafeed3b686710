"""Establishment against published tables and two records.

Sources, beside each check: UF/IFAS Gilman, table of the largest caliper established by
months of irrigation and hardiness zone (hort.ifas.ufl.edu/woody/more-irrigation); the record
of two lindens at gardenatoz.com; Struve, Burchfield & Maupin 2000, J. Arboric. 26(3):162-169,
table 1.
"""

import numpy as np
import pytest

from growth.courses import forecast
from growth.establishment import establishment, grown_years
from growth.nursery import PlantedSize
from growth.plants import catalogue
from growth.starts import Start

FOOT_M, INCH_M = 0.3048, 0.0254


def lag_of(inches, *, zone):
    stock = PlantedSize(4.0, 2.0, inches * INCH_M)
    return establishment(catalogue()["Tilia cordata"], stock, zone=zone)


@pytest.mark.parametrize(
    ("zone", "inches", "months"),
    [(4, 1.75, 24), (4, 2.75, 36), (10, 3.75, 12), (10, 7, 24), (10, 10, 36)],
)
def test_months_to_establish_in_cold_and_warm_zones(zone, inches, months):
    """Middle of the calipers of the table; within a quarter, the width of its spans."""
    assert 12 * lag_of(inches, zone=zone).years[0] == pytest.approx(months, rel=0.25)


@pytest.mark.parametrize(("zone", "inches"), [(6, 1.75), (6, 2.5), (8, 2.75), (8, 4.5), (8, 7)])
def test_between_them_ours_is_the_slower_of_two_published_figures(zone, inches):
    """The table, for trees irrigated all along, has 7 and 4.4 months an inch where the rule
    by zones that we use has 12 and 6: never faster than the table, at most twice as slow."""
    table = {6: 7.0, 8: 4.4}[zone] * inches
    assert table <= 12 * lag_of(inches, zone=zone).years[0] <= 2 * table


def test_two_lindens():
    """A 4-in tree of 12 ft beside a 1-in tree of 7 ft: recorded at the ends of years 1 to 7, the
    large one grew half a foot in the first four years, the small one four feet."""
    linden = catalogue()["Tilia cordata"]
    small = Start(linden, 7 * FOOT_M, 1.0)
    large = Start(linden, 12 * FOOT_M, 2.0, lag=lag_of(4, zone=5))
    height_ft = forecast([small, large], np.arange(31)).height_m.expected / FOOT_M
    gained_ft = height_ft[4] - height_ft[0]
    passed = np.flatnonzero(height_ft[:, 0] > height_ft[:, 1])
    table = "\n".join(f"year {y}: {a:5.1f} {b:5.1f} ft" for y, (a, b) in enumerate(height_ft[:9]))
    passing = f"passed in year {passed[0]}" if len(passed) else "not passed in 30 years"
    assert gained_ft[1] < 0.5 * gained_ft[0], f"{table}\n{passing}; recorded: equal in year 6"
    print(f"{table}\n{passing}; recorded: equal in year 6, passed in year 7")


def test_red_oaks_of_two_calipers_are_held_back_by_their_size():
    """Shoots in the second and third season, over those of oaks left standing (39.1 and 31.3 cm):
    7.4 to 7.7 and 13.1 to 25.7 cm of small stock (3.6 cm), 2.6 and 6.3 cm of large (8.4 cm).

    Our pace over the two seasons lies above each (height grows by more than its side shoots),
    and that of the large stock under that of the small. Heights of the large stock are no
    measure: 58 % of them died, and the mean is of those left each year.
    """
    small, large = (
        np.diff(grown_years(np.arange(4), lag_of(cm / 2.54, zone=6)))[1:].mean()
        for cm in (3.6, 8.4)
    )
    left = 39.1 + 31.3
    assert (2.6 + 6.3) / left < large < (7.7 + 25.7) / left < small < 1


def test_small_red_oaks_after_three_years():
    """Small stock (3.6 cm), Ohio, zone 6: 2.9-3.2 m in 1996, 4.9-5.0 m in 1999; a measured
    mean must lie in the range of single trees."""
    lag = lag_of(3.6 / 2.54, zone=6)
    start = Start(catalogue()["Quercus rubra"], 3.05, 0.48 * 3.05, lag=lag)
    sizes = forecast([start], np.arange(4)).height_m
    assert sizes.low[3, 0] <= 4.95 <= sizes.high[3, 0]
