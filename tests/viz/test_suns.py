"""The sun of the picture: beside pvlib's sunrise and sunset, closed forms, and stills."""

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import sun_rise_set_transit_spa

from growth.sun import DAY, YEAR
from scenes.document import Site
from viz.stillsun import light_at
from viz.suns import STEP_H, daylight_h, suns

LOT = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def site(latitude_deg: float | None, longitude_deg: float | None = 0.0) -> Site:
    return Site(boundary=LOT, latitude_deg=latitude_deg, longitude_deg=longitude_deg)


@pytest.mark.parametrize("latitude_deg", [40.0, 51.5, -33.0, 0.0, 60.0])
def test_sunrise_and_sunset_are_those_of_pvlib(latitude_deg):
    """At Greenwich, where mean solar time is universal time; within two minutes."""
    days = pd.DatetimeIndex([pd.Timestamp(YEAR, m, DAY, tz="UTC") for m in range(1, 13)])
    theirs = sun_rise_set_transit_spa(days, latitude_deg, 0.0)
    for ours, day, (_, row) in zip(
        daylight_h(site(latitude_deg)), days, theirs.iterrows(), strict=True
    ):
        hours = [(row[name] - day).total_seconds() / 3600 for name in ("sunrise", "sunset")]
        assert ours == pytest.approx(hours, abs=2 / 60)


def test_a_day_at_the_equator_is_seven_minutes_longer_than_half():
    """Sun's radius and bent light: 2 * 0.833 degrees over a climb of 15 cos(d) degrees an hour."""
    for rise, sunset in daylight_h(site(0.0)):
        assert sunset - rise == pytest.approx(12 + 2 * 0.833 / 15, abs=1.5 / 60)


def test_the_sun_stays_up_and_stays_down_beyond_the_circle():
    days = daylight_h(site(70.0))
    assert days[5] == (0.0, 24.0)
    assert days[11] == (12.0, 12.0)
    told = suns(site(70.0))["months"]
    assert told[5]["up"]
    assert len(told[5]["height"]) == 24 / STEP_H + 1
    assert not told[11]["up"]
    assert len(told[11]["height"]) == 1


def test_hours_are_solar_and_do_not_hang_on_the_longitude():
    """The same latitude at any longitude: the sun's day is the same to a few minutes."""
    east, west = daylight_h(site(45.0, 150.0)), daylight_h(site(45.0, -150.0))
    assert np.array(east) == pytest.approx(np.array(west), abs=4 / 60)


def test_the_highest_sun_is_ninety_less_latitude_plus_declination():
    """In June, declination 23.3 degrees; at about 12 by the mean sun."""
    june = suns(site(40.0))["months"][5]
    highest = int(np.argmax(june["height"]))
    assert june["height"][highest] == pytest.approx(90 - 40 + 23.3, abs=0.15)
    assert june["first"] + highest * STEP_H == pytest.approx(12, abs=0.25)
    assert june["azimuth"][highest] == pytest.approx(180, abs=8)


@pytest.mark.parametrize(("month", "hour"), [(6, 9.0), (1, 12.0), (10, 15.5)])
def test_the_light_is_that_of_a_still(month, hour):
    told = suns(site(40.0, -75.0))["months"][month - 1]
    row = round((hour - told["first"]) / STEP_H)
    still = light_at(site(40.0, -75.0), month=month, hour=hour)
    for name in ("towards", "sun", "sky", "bounce"):
        shown = told[name][3 * row : 3 * row + 3]
        assert shown == pytest.approx(getattr(still, name), rel=1e-3, abs=1e-3)
    assert told["exposure"][row] == pytest.approx(still.exposure, rel=1e-3)


def test_ground_is_brighter_with_the_sun_than_without_and_brightest_in_summer():
    told = suns(site(40.0))["months"]
    for month in told:
        assert (month["lit"] >= month["dull"]).all()
    assert told[5]["lit"].max() > told[0]["lit"].max()


def test_a_yard_without_latitude_says_what_is_assumed():
    assert suns(site(None, None))["assumed"].endswith("42 degrees north are assumed.")
    assert suns(site(40.0))["assumed"] == ""
    assert suns(site(None, None))["months"][5]["rise"] == suns(site(42.0))["months"][5]["rise"]
