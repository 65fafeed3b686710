"""The sun over a yard, beside pvlib's own front door and what geometry says of its path."""

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import get_solarposition

from growth.sun import direction, growing_season, sun_position


def test_the_position_is_that_of_pvlibs_front_door():
    times = pd.date_range("2027-06-21", periods=144, freq="10min", tz="UTC")
    theirs = get_solarposition(times, 44.05, -123.1, pressure=101325, temperature=15)
    seconds = np.array([time.timestamp() for time in times])
    zenith, azimuth = sun_position(seconds, latitude_deg=44.05, longitude_deg=-123.1)
    assert zenith == pytest.approx(theirs["apparent_zenith"].to_numpy(), abs=0.001)
    assert azimuth == pytest.approx(theirs["azimuth"].to_numpy(), abs=0.001)


@pytest.mark.parametrize("longitude_deg", [-123.0, 0.0, 179.0])
def test_half_of_the_hours_are_morning_wherever_the_clock_stands(longitude_deg):
    path = growing_season(latitude_deg=44.0, longitude_deg=longitude_deg, north_deg=0)
    assert path.hours[path.morning].sum() == pytest.approx(path.hours.sum() / 2, abs=0.1)
    assert np.linalg.norm(path.towards, axis=1) == pytest.approx(np.ones(len(path.hours)))


def test_days_at_the_equator_are_twelve_hours_less_the_low_sun():
    """At the equator the sun climbs about 15 cos(declination) degrees an hour from the horizon."""
    path = growing_season(latitude_deg=0.0, longitude_deg=0.0, north_deg=0)
    # declination 18.8, 23.3, 21.5 and 14.1: 2 x 3 / (15 x 0.94) = 0.43 h
    assert path.hours.sum() == pytest.approx(12 - 0.43, abs=0.1)


def test_the_sun_of_a_southern_summer_stands_north_at_noon():
    path = growing_season(latitude_deg=-40.0, longitude_deg=0.0, north_deg=0)
    highest = path.towards[path.towards[:, 2].argmax()]
    assert highest[1] > 0.2


def test_a_yard_turned_by_its_north_sees_the_sun_turned():
    """Where +y points east, the noon sun of the south stands to the right, at +x."""
    (east,) = direction(np.array([45.0]), np.array([180.0]), north_deg=90)
    assert east == pytest.approx([np.sqrt(0.5), 0, np.sqrt(0.5)])
