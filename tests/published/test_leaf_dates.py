"""Leaf-out and leaf fall against dates that were watched and not used to set the model.

Sources beside each row. The model's dates are of leaves half grown and of half-bare crowns,
some ten days after first leaves and fourteen after the height of colour, at sea level; so
the tolerance is two weeks, about what one year differs from another.
"""

import datetime

import pytest

from growth.seasons import FALLING_DAYS, UNFOLDING_DAYS, leaf_days


def day_of(month, day):
    return datetime.date(2025, month, day).timetuple().tm_yday


def tree_days(latitude_deg, longitude_deg):
    return leaf_days("tree", "deciduous", latitude_deg=latitude_deg, longitude_deg=longitude_deg)


def test_mean_of_forests_watched_by_camera():
    """39 deciduous forests of North America begin on day 130 in the mean.

    Source: Remote Sensing 17 (16) 2893, 2025, doi 10.3390/rs17162893, abstract. Most of them
    lie near 42 N and 300 m (from memory), where Hopkins' law adds 10 days.
    """
    assert tree_days(42.0, -80.0).on + 10 == pytest.approx(130, abs=14)


def test_four_days_a_degree():
    """Hopkins 1920: spring 4 days later and autumn 4 days earlier a degree north."""
    south, north = tree_days(38.0, -80.0), tree_days(43.0, -80.0)
    assert north.on - south.on == pytest.approx(20)
    assert south.off - north.off == pytest.approx(20)


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "first_leaf", "colour"),
    [
        (52.0, -1.0, day_of(4, 29), None),  # oak, England (its middle taken), mypatch.me.uk 2015
        (38.9, -77.0, day_of(4, 10), day_of(10, 30)),  # Washington, D.C., from memory
        (45.0, -93.2, day_of(5, 3), day_of(10, 7)),  # Minneapolis, from memory
        (33.7, -84.4, day_of(3, 22), day_of(11, 10)),  # Atlanta, from memory
        (52.5, 13.4, day_of(4, 24), day_of(10, 20)),  # Berlin, from memory
    ],
)
def test_known_places(latitude_deg, longitude_deg, first_leaf, colour):
    days = tree_days(latitude_deg, longitude_deg)
    assert days.on - UNFOLDING_DAYS == pytest.approx(first_leaf, abs=14)
    if colour is not None:
        assert days.off - FALLING_DAYS == pytest.approx(colour, abs=14)
