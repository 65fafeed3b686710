from dataclasses import replace

import numpy as np
import pytest

from growth.courses import forecast
from growth.establishment import (
    ESTABLISHED,
    SLEEP_CREEP,
    Establishment,
    establishment,
    establishment_note,
    grown_years,
    months_per_inch,
)
from growth.nursery import nursery_size
from growth.plants import catalogue
from growth.specimen import grow_specimen
from growth.starts import Start


def plant(name):
    return catalogue()[name]


def lag_of(name, size, *, zone):
    return establishment(plant(name), nursery_size(size, plant(name)), zone=zone)


@pytest.mark.parametrize(
    ("size", "zone", "years", "lost_years"),
    [
        ("2 in cal", 5, 2.0, 1.0),
        ("4 in cal", 5, 4.0, 3.0),
        ("4 in cal", 7, 2.0, 1.5),
        ("4 in cal", 10, 1.0, 0.75),
        ("4 in cal", None, 2.0, 1.5),
        ("3 in cal", 1, 3.0, 2.0),
        ("3 in cal", 13, 0.75, 0.5),
    ],
)
def test_each_inch_takes_its_months_and_the_first_is_in_the_curve(size, zone, years, lost_years):
    lag = lag_of("Tilia cordata", size, zone=zone)
    assert lag.years == pytest.approx((years,))
    assert lag.lost_years == pytest.approx((lost_years,))


@pytest.mark.parametrize("size", ["0.5 in cal", "1 in cal", "6 ft ht", "#5"])
def test_small_trees_lose_nothing_more(size):
    assert lag_of("Acer rubrum", size, zone=4) == ESTABLISHED


def test_a_tree_sold_by_height_has_the_caliper_of_trees_as_tall():
    """Shade trees of 14 ft have 3 in caliper."""
    by_height = lag_of("Acer rubrum", "14 ft ht", zone=5)
    assert by_height.lost_years == pytest.approx((2.0,), abs=0.01)


def test_container_trees_take_a_month_or_two_more_an_inch():
    """#25: 3.6 m tall, about 1.95 in; 7.5 months an inch in zone 7."""
    inches = nursery_size("#25", plant("Acer rubrum")).caliper_m / 0.0254
    lag = lag_of("Acer rubrum", "#25", zone=7)
    assert inches == pytest.approx(1.95, abs=0.01)
    assert lag.years == pytest.approx((inches * 7.5 / 12,))


@pytest.mark.parametrize("name", ["Ilex crenata", "Washingtonia robusta", "Cycas revoluta"])
def test_shrubs_palms_and_cycads_keep_the_lag_of_their_curves(name):
    assert lag_of(name, "#15", zone=5) == ESTABLISHED


@pytest.mark.parametrize("name", ["Liriope muscari", "Pachysandra terminalis", "Hedera helix"])
def test_soft_plants_sleep_creep_and_leap(name):
    assert lag_of(name, "#1", zone=9) == SLEEP_CREEP
    steps = np.diff(grown_years(np.arange(5), SLEEP_CREEP))
    assert steps == pytest.approx([1 / 3, 2 / 3, 1, 1])


def test_the_clock_is_slow_until_established_and_plain_after():
    """4 in where an inch takes a year: a quarter of the pace for four years."""
    years = grown_years(np.arange(7), Establishment((4.0,), (3.0,)))
    assert years == pytest.approx([0, 0.25, 0.5, 0.75, 1, 2, 3])


def test_an_established_tree_runs_the_curve_of_its_lost_years_ago():
    """Three years lost: size at year 9 is that of year 6 without a lag."""
    start = Start(plant("Tilia cordata"), 4.0, 2.0)
    late = Start(plant("Tilia cordata"), 4.0, 2.0, lag=Establishment((4.0,), (3.0,)))
    free, held = (forecast([s], np.arange(31)).height_m for s in (start, late))
    for part in ("low", "expected", "high"):
        assert getattr(held, part)[9:] == pytest.approx(getattr(free, part)[6:28])


@pytest.mark.parametrize(
    ("zone", "row"),
    [(None, "hardiness zone unknown: the middle row"), (5, "hardiness zone 5")],
)
def test_the_row_used_is_said(zone, row):
    lag = lag_of("Tilia cordata", "4 in cal", zone=zone)
    note = establishment_note(lag, zone=zone)
    assert row in note
    assert f"{lag.lost_years[0]:.1f} more than for small stock" in note


def test_nothing_is_said_of_plants_that_lose_nothing():
    assert establishment_note(ESTABLISHED, zone=5) is None


def test_what_is_assumed_of_soft_plants_is_said():
    assert "assumed" in establishment_note(SLEEP_CREEP, zone=5)
    assert any("assumed" in note for note in grow_specimen(plant("Liriope muscari")).notes)


def test_a_specimen_of_large_stock_says_so():
    small, large = (grow_specimen(plant("Tilia cordata"), size=s) for s in ("1 in cal", "4 in cal"))
    assert not any("establishment" in note for note in small.notes)
    assert any("establishment takes about 2.0 years" in note for note in large.notes)


def test_sizes_seen_locally_hold_their_own_lag():
    """Rows of years since planting: the curve goes through them whatever the caliper."""
    seen = replace(plant("Tilia cordata"), seen=((6.0, 7.0, 4.0),))
    lag = Establishment((4.0,), (3.0,))
    with_lag, without = (
        forecast([Start(seen, 5.2, 2.5, lag=each)], np.arange(10)) for each in (lag, ESTABLISHED)
    )
    assert np.all(with_lag.height_m.expected == without.height_m.expected)


def test_months_fall_from_cold_to_warm_zones():
    months = [months_per_inch(zone) for zone in range(1, 14)]
    assert months == sorted(months, reverse=True)
    assert min(months) <= months_per_inch(None) <= max(months)
