"""The sun and the light of a still, beside closed forms and published tables."""

from pathlib import Path

import numpy as np
import pytest

import scenes
from growth.errors import GrowthError
from scenes.document import Site
from viz.palette import LUMINANCE, afternoon
from viz.stillsun import (
    CHANNELS_UM,
    air_mass,
    light_at,
    lit_through_air,
    scattering,
    sun_angles_deg,
    usual_hour,
)  # fmt: skip

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def site() -> Site:
    """A site at 45 degrees north on the meridian of Greenwich, +y to the north."""
    there = {"latitude_deg": 45.0, "longitude_deg": 0.0}
    return scenes.load(YARD).site.model_copy(update=there)


def test_noon_in_june_stands_where_the_declination_puts_it(site):
    """Height 90 - latitude + declination; Cooper 1969: 23.45 sin(360 (284 + day) / 365)."""
    declination_deg = 23.45 * np.sin(np.radians(360 * (284 + 166) / 365))
    height_deg, azimuth_deg = sun_angles_deg(site, month=6, hour=12)
    assert height_deg == pytest.approx(90 - site.latitude_deg + declination_deg, abs=0.3)
    assert azimuth_deg == pytest.approx(180, abs=2)


def test_the_sun_turns_with_the_yard(site):
    """Where +y looks east, the south, and the noon sun in it, lie towards +x."""
    turned = site.model_copy(update={"north_deg": 90.0})
    east, north, _ = light_at(turned, month=6, hour=12).towards
    assert east > 0.3
    assert abs(north) < 0.02


def test_a_night_is_refused_with_the_hours_that_have_sun(site):
    with pytest.raises(GrowthError, match="--hour 22: the sun is down; in January choose 8 to 16"):
        light_at(site, month=1, hour=22)


def test_air_mass_is_that_of_its_tables():
    """1 overhead; at 30 degrees half a percent from the secant's 2; 5.6 at 10 degrees."""
    assert air_mass(1.0) == pytest.approx(1.0, abs=1e-3)
    assert air_mass(0.5) == pytest.approx(2.0, rel=5e-3)
    assert air_mass(float(np.sin(np.radians(10)))) == pytest.approx(5.6, rel=0.01)


def test_clear_air_scatters_as_measured():
    """Rayleigh optical depth at 550 nm is 0.097 to 0.098 (Bucholtz 1995), and goes as the
    fourth power of frequency, a little more in the blue."""
    green, blue = scattering(np.array([0.55, 0.45]))
    assert green == pytest.approx(0.0975, abs=0.001)
    assert blue / green == pytest.approx((0.55 / 0.45) ** 4, rel=0.03)


def test_a_lower_sun_is_weaker_and_warmer_and_the_usual_one_is_unchanged():
    usual = afternoon(40.0)
    same = lit_through_air(usual, usual.towards)
    assert same.sun == pytest.approx(usual.sun)
    assert (same.exposure, same.sky) == (usual.exposure, usual.sky)
    low = lit_through_air(usual, (0.0, -0.98, 0.2))
    assert np.asarray(low.sun) @ LUMINANCE < np.asarray(usual.sun) @ LUMINANCE
    assert low.sun[0] / low.sun[2] > usual.sun[0] / usual.sun[2]
    assert low.exposure > usual.exposure
    assert len(CHANNELS_UM) == 3


def test_an_unnamed_hour_has_the_sun_behind_the_viewer(site):
    from_east, from_west = (20.0, 0.0, 2.0), (-20.0, 0.0, 2.0)
    assert usual_hour(site, from_east, (0, 0, 0), month=6) == 10
    assert usual_hour(site, from_west, (0, 0, 0), month=6) == 15
    polar = site.model_copy(update={"latitude_deg": 64.0})
    assert usual_hour(polar, from_west, (0, 0, 0), month=12) == 12
