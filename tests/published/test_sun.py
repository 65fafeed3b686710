"""The sun's place, and shadows at noon, as published.

Sources: Reda and Andreas, NREL/TP-560-34302, appendix A.5 (17 October 2003, 12:30:30, seven
hours behind UTC: zenith 50.11162, azimuth 194.34024 degrees); the noon altitude
90 - latitude + declination and shadow height / tan(altitude), closed form.
Tolerance: 0.001 degrees; shadows 0.01 of the height, as rounded.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from growth.sun import sun_position


def test_the_example_of_nrel():
    when = datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()
    zenith, azimuth = sun_position(
        np.array([when]), latitude_deg=39.742476, longitude_deg=-105.1786,
        elevation_m=1830.14, pressure_hpa=820, air_c=11,
    )  # fmt: skip
    assert zenith[0] == pytest.approx(50.11162, abs=0.001)
    assert azimuth[0] == pytest.approx(194.34024, abs=0.001)


@pytest.mark.parametrize(
    ("month", "day", "altitude_deg", "shadow"),
    [(12, 21, 26.6, 2.00), (3, 20, 50.0, 0.84), (6, 21, 73.4, 0.30)],
)
def test_noon_shadows_at_40_degrees_north(month, day, altitude_deg, shadow):
    noon = datetime(2027, month, day, 12, tzinfo=UTC).timestamp()
    around = noon + np.arange(-1800, 1801, 10.0)
    zenith, _ = sun_position(around, latitude_deg=40, longitude_deg=0)
    assert 90 - zenith.min() == pytest.approx(altitude_deg, abs=0.4)  # equinox is not at noon
    assert np.tan(np.radians(zenith.min())) == pytest.approx(shadow, abs=0.012)
