"""The light of a still: the real sun of a month and an hour over the yard.

Where the sun stands is growth.sun's; how bright and how warm it is follows from the air its
light goes through, counted from the picture's own afternoon light, so that a still at that
height of the sun looks like the page. A lower sun also dims the sky, and the picture is exposed
longer, by half of what was lost. Hours are mean solar time: the sun is highest about 12.
Clouds and twilight are left out.

Source: air mass by Kasten and Young 1989, doi 10.1364/AO.28.004735; scattering by air by Hansen
and Travis 1974, doi 10.1007/BF00168069, eq. 2.30; haze and exposure are assumed, by eye.
"""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from growth.errors import GrowthError
from growth.seasons import MONTHS, WITHOUT_LATITUDE_DEG
from growth.sun import DAY, LOWEST_DEG, YEAR, direction, sun_position
from scenes.document import Site
from viz.palette import LUMINANCE, Light, afternoon

Array = NDArray[np.float64]

CHANNELS_UM = np.array([0.610, 0.550, 0.465])
"""Wavelengths that red, green and blue stand for, micrometres (common practice)."""

HAZE = 0.12
NOON, WELL_UP_DEG = 12.0, 12.0
HALF_DAYS = ((15.0, -0.5), (10.0, 0.5))
"""First hour and step towards noon of afternoons and mornings."""

Triple = tuple[float, float, float]


def sun_angles_deg(site: Site, *, month: int, hour: float) -> tuple[float, float]:
    """Height of the sun above the horizon and its azimuth from north on a month's middle day."""
    height, azimuth = heights_and_azimuths_deg(site, np.array([month]), np.array([hour]))
    return float(height[0]), float(azimuth[0])


def heights_and_azimuths_deg(
    site: Site, months: NDArray[np.int64], hours: Array
) -> tuple[Array, Array]:
    """Of the sun on the middle days of months (m,) at hours (m,) of mean solar time."""
    if not len(hours):
        return np.zeros(0), np.zeros(0)
    longitude = site.longitude_deg or 0.0
    latitude = WITHOUT_LATITUDE_DEG if site.latitude_deg is None else site.latitude_deg
    midnight = np.array([datetime(YEAR, m, DAY, tzinfo=UTC).timestamp() for m in range(1, 13)])
    zenith, azimuth = sun_position(
        midnight[months - 1] + 3600 * (hours - longitude / 15),
        latitude_deg=latitude, longitude_deg=longitude,
    )  # fmt: skip
    return 90 - zenith, azimuth


def usual_hour(site: Site, eye_m: Triple, focal_m: Triple, *, month: int) -> float:
    """The hour of a still that names none: the sun well up and rather behind the viewer.

    Mornings run from ten, afternoons from three, both towards noon until the sun is well up.
    """
    back = np.asarray(eye_m[:2]) - np.asarray(focal_m[:2])
    turn = np.radians(site.north_deg)
    east, north = back @ [np.cos(turn), -np.sin(turn)], back @ [np.sin(turn), np.cos(turn)]
    hours = [_well_up(site, month, np.arange(start, NOON, step)) for start, step in HALF_DAYS]
    from_behind = []
    for hour in hours:
        azimuth = np.radians(sun_angles_deg(site, month=month, hour=hour)[1])
        from_behind.append(east * np.sin(azimuth) + north * np.cos(azimuth))
    return hours[int(np.argmax(np.round(from_behind, 6)))]


def _well_up(site: Site, month: int, hours: Array) -> float:
    """The first of some hours at which the sun is well up; noon if none is."""
    for hour in hours.tolist():
        if sun_angles_deg(site, month=month, hour=hour)[0] >= WELL_UP_DEG:
            return float(hour)
    return NOON


def light_at(site: Site, *, month: int, hour: float) -> Light:
    """The picture's light at a month (1-12) and an hour (0-24) over a site.

    Raises GrowthError where the sun is then down or within three degrees of the horizon.
    """
    height_deg, azimuth_deg = sun_angles_deg(site, month=month, hour=hour)
    if height_deg < LOWEST_DEG:
        raise GrowthError(f"--hour {hour:g}: the sun is down; {_hours_up(site, month)}")
    zenith, azimuth = np.array([90 - height_deg]), np.array([azimuth_deg])
    east, north, up = direction(zenith, azimuth, north_deg=site.north_deg)[0].tolist()
    return lit_through_air(afternoon(site.latitude_deg), (east, north, up))


def lit_through_air(usual: Light, towards: tuple[float, float, float]) -> Light:
    """The usual light as it is with the sun in another direction (a unit vector)."""
    longer = air_mass(towards[2]) - air_mass(usual.towards[2])
    sun = np.asarray(usual.sun) * np.exp(-(scattering(CHANNELS_UM) + HAZE) * longer)
    dimmer = min(1.0, 0.55 + 0.45 * towards[2] / usual.towards[2])
    lost = (sun @ LUMINANCE * towards[2]) / (np.asarray(usual.sun) @ LUMINANCE * usual.towards[2])
    red, green, blue = sun.tolist()
    return replace(
        usual,
        towards=towards,
        sun=(red, green, blue),
        sky=_times(usual.sky, dimmer),
        bounce=_times(usual.bounce, dimmer),
        exposure=usual.exposure * float(np.clip(lost**-0.5, 1.0, 1.6)),
    )


def air_mass(rise: float) -> float:
    """Air that sunlight passes, 1 from straight above; `rise` is the sine of the sun's height."""
    height_deg = float(np.degrees(np.arcsin(np.clip(rise, 0, 1))))
    return 1 / float(rise + 0.50572 * (height_deg + 6.07995) ** -1.6364)


def scattering(wavelength_um: Array) -> Array:
    """Optical depth of clear air at sea level, straight up."""
    square = wavelength_um**-2
    return 0.008569 * square**2 * (1 + 0.0113 * square + 0.00013 * square**2)


def _times(colour: tuple[float, float, float], share: float) -> tuple[float, float, float]:
    red, green, blue = colour
    return red * share, green * share, blue * share


def _hours_up(site: Site, month: int) -> str:
    """The whole hours at which a still may be taken in a month, in words."""
    up = [h for h in range(24) if sun_angles_deg(site, month=month, hour=h)[0] >= LOWEST_DEG]
    name = MONTHS[month - 1].capitalize()
    return f"in {name} choose {up[0]} to {up[-1]}" if up else f"in {name} it does not rise"
