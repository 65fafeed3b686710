"""Where the sun stands over a yard: its path on one day of each month of the growing season.

Months count by their fifteenth day, in steps of ten minutes. A direction holds for the whole
step, so an hour of a day is six of them. Sun lower than three degrees is left out, as too weak
to count as direct; clouds, haze and the sun's width are left out too.

Source: Reda and Andreas, NREL/TP-560-34302, within 0.0003 degrees, as pvlib computes it. The
three degrees: about where clear sky gives the 120 W/m2 of the WMO's sunshine (common practice).
Valid for: years -2000 to 6000.
"""

import importlib.util
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache, lru_cache
from pathlib import Path
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

STEP_MINUTES = 10
LOWEST_DEG = 3.0
YEAR, DAY = 2027, 15
"""Any year will do: the sun's path on a date differs by a tenth of a degree at the most."""

NORTHERN, SOUTHERN = (5, 6, 7, 8), (11, 12, 1, 2)
"""Months of the growing season north and south of the equator."""

SEA_LEVEL_HPA, MILD_C = 1013.25, 15.0
"""Air for the bending of light, which lifts a sun at three degrees by a quarter of one."""

REFRACTION_AT_HORIZON_DEG = 0.5667


@dataclass(frozen=True)
class SunPath:
    """Directions (m, 3) towards the sun in the yard's axes, and what each stands for."""

    towards: Array
    hours: Array
    """Hours (m,) of a mean day of the season."""
    morning: BoolArray
    """Whether the sun stands in the eastern half of the sky, (m,)."""

    @property
    def half(self) -> IntArray:
        """0 for a morning's sun, 1 for an afternoon's, (m,)."""
        return (~self.morning).astype(np.int64)


def season_months(latitude_deg: float) -> tuple[int, ...]:
    """The months of the growing season north or south of the equator."""
    return NORTHERN if latitude_deg >= 0 else SOUTHERN


def growing_season(*, latitude_deg: float, longitude_deg: float, north_deg: float) -> SunPath:
    """The sun's path on a mean day of May to August, south of the equator November to February."""
    return mean_day(
        season_months(latitude_deg),
        latitude_deg=latitude_deg, longitude_deg=longitude_deg, north_deg=north_deg,
    )  # fmt: skip


@lru_cache(maxsize=64)
def mean_day(
    months: tuple[int, ...], *, latitude_deg: float, longitude_deg: float, north_deg: float
) -> SunPath:
    """The sun's path on the mean of the middle days of some months."""
    steps = 24 * 60 // STEP_MINUTES
    start = np.array([datetime(YEAR, month, DAY, tzinfo=UTC).timestamp() for month in months])
    seconds = start[:, None] + 60 * STEP_MINUTES * (np.arange(steps) + 0.5)
    zenith_deg, azimuth_deg = sun_position(
        seconds.ravel(), latitude_deg=latitude_deg, longitude_deg=longitude_deg
    )
    up = zenith_deg < 90 - LOWEST_DEG
    return SunPath(
        towards=direction(zenith_deg[up], azimuth_deg[up], north_deg=north_deg),
        hours=np.full(int(up.sum()), STEP_MINUTES / 60 / len(months)),
        morning=azimuth_deg[up] < 180,
    )


def direction(zenith_deg: Array, azimuth_deg: Array, *, north_deg: float) -> Array:
    """Unit vectors (m, 3) towards the sun, where +y has the azimuth north_deg."""
    zenith, azimuth = np.radians(zenith_deg), np.radians(azimuth_deg - north_deg)
    level = np.sin(zenith)
    return np.column_stack([level * np.sin(azimuth), level * np.cos(azimuth), np.cos(zenith)])


def sun_position(
    unix_s: Array,
    *,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float = 0.0,
    pressure_hpa: float = SEA_LEVEL_HPA,
    air_c: float = MILD_C,
) -> tuple[Array, Array]:
    """Zenith angle with refraction, and azimuth clockwise from north, in degrees, (m,) each."""
    spa = _spa()
    when = datetime.fromtimestamp(float(unix_s[0]), UTC)
    found = spa.solar_position(
        unix_s, latitude_deg, longitude_deg, elevation_m, pressure_hpa, air_c,
        float(spa.calculate_deltat(when.year, when.month)), REFRACTION_AT_HORIZON_DEG,
    )  # fmt: skip
    return np.asarray(found[0]), np.asarray(found[4])


@cache
def _spa() -> ModuleType:
    """pvlib's solar position alone: the whole package takes half a second to import."""
    package = importlib.util.find_spec("pvlib")
    assert package is not None
    assert package.submodule_search_locations is not None
    path = Path(package.submodule_search_locations[0]) / "spa.py"
    spec = importlib.util.spec_from_file_location("pvlib.spa", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
