"""The sun of the picture for every hour of each month: where it stands and what light it gives.

A month counts by its middle day. Hours are mean solar time, as in stills: the sun is highest at
about 12, and clocks differ by their zone. Rows stand a quarter of an hour apart, from sunrise
to sunset with a sun of its full width and light bent by the air; where it does not rise there is
one row at noon. Light through the air is that of stills (viz.stillsun); twilight is left out.
The ground gets two factors on its baked picture: with the whole sun, and with the sky alone.

Source: sunrise where the sun's upper edge stands on a level horizon, its radius 0.2667 degrees
(Reda and Andreas, NREL/TP-560-34302).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.seasons import WITHOUT_LATITUDE_DEG
from growth.sun import direction
from scenes.document import Site
from viz.palette import Light, afternoon, developed, received
from viz.stillsun import heights_and_azimuths_deg, lit_through_air

Array = NDArray[np.float64]

STEP_H = 0.25
NOON_H, DAY_H = 12.0, 24.0
EDGE_DEG = -0.2667
"""Height of the sun's middle, as seen, when its upper edge rises or sets."""

LOWEST_RISE = 0.01
"""Sine of the least height of the sun that light is reckoned with: half a degree."""

ROUNDS = 3
"""Of false position from a quarter of an hour: then right to a second or two."""

SOIL = 0.08
"""Reflectance that stands for all ground when its light is told in factors."""


def suns(site: Site) -> dict[str, Any]:
    """The months' suns as the page reads them, and what is assumed for them."""
    usual = afternoon(site.latitude_deg)
    days = daylight_h(site)
    hours = [_rows_h(rise, sunset) for rise, sunset in days]
    counts = [len(each) for each in hours]
    months = np.repeat(np.arange(1, 13), counts)
    places = zip(*heights_and_azimuths_deg(site, months, np.concatenate(hours)), strict=True)
    rows = np.split(np.array(list(places)), np.cumsum(counts)[:-1])
    return {
        "step": STEP_H,
        "assumed": "" if site.latitude_deg is not None else _assumed(),
        "months": [
            {"rise": rise, "set": sunset, "up": rise < sunset, "first": float(first[0]),
             **_month(site, place, usual)}
            for (rise, sunset), first, place in zip(days, hours, rows, strict=True)
        ],
    }  # fmt: skip


def _assumed() -> str:
    return f"The yard states no latitude; {WITHOUT_LATITUDE_DEG:g} degrees north are assumed."


def _rows_h(rise: float, sunset: float) -> Array:
    """Hours of a month's rows."""
    first, last = np.ceil(rise / STEP_H), np.floor(sunset / STEP_H)
    return np.arange(first, last + 1) * STEP_H if first < last else np.array([NOON_H])


def _month(site: Site, places_deg: Array, usual: Light) -> Mapping[str, Any]:
    """Rows of a month from the sun's heights and azimuths (m, 2)."""
    height_deg, azimuth_deg = places_deg.T
    towards = direction(90 - height_deg, azimuth_deg, north_deg=site.north_deg)
    lights = [_light(usual, way) for way in towards]
    return {
        "height": height_deg.astype(np.float32),
        "azimuth": azimuth_deg.astype(np.float32),
        "towards": towards.astype(np.float32).ravel(),
        "sun": _column([light.sun for light in lights]),
        "sky": _column([light.sky for light in lights]),
        "bounce": _column([light.bounce for light in lights]),
        "exposure": _column([light.exposure for light in lights]),
        "lit": _column(_level(lights) / _level([usual])),
        "dull": _column(_level([replace(one, sun=(0, 0, 0)) for one in lights]) / _level([usual])),
    }


def daylight_h(site: Site) -> list[tuple[float, float]]:
    """Sunrise and sunset of each month; 0 and 24 where the sun stays up, noon twice where it
    stays down."""
    steps = np.arange(0, DAY_H + STEP_H / 2, STEP_H)
    months = np.arange(1, 13)
    height = heights_and_azimuths_deg(
        site, np.repeat(months, len(steps)), np.tile(steps, 12)
    )[0].reshape(12, -1)  # fmt: skip
    found = [_crossings(row) for row in height > EDGE_DEG]
    crossed = np.array([n for n, each in enumerate(found) if each is not None], dtype=int)
    before = np.array([each for each in found if each is not None], dtype=int).reshape(-1, 2)
    edges = _edges_h(site, months[crossed], steps[before], height[crossed[:, None], before],
                     height[crossed[:, None], before + 1])  # fmt: skip
    days = [(0.0, DAY_H) if row.all() else (NOON_H, NOON_H) for row in height > EDGE_DEG]
    for number, (rise, sunset) in zip(crossed, edges, strict=True):
        days[number] = float(rise), float(sunset)
    return days


def _crossings(up: NDArray[np.bool_]) -> tuple[int, int] | None:
    """Places after which the sun rises and sets; None where it does not."""
    turns = np.flatnonzero(up[1:] != up[:-1])
    return (int(turns[0]), int(turns[-1])) if len(turns) > 1 and not up[0] else None


def _edges_h(
    site: Site, months: NDArray[np.int64], low: Array, before: Array, after: Array
) -> Array:
    """Hours (m, 2) at which the sun's edge crosses the horizon, by false position from a step's
    start and the heights at its ends."""
    start, end = low.copy(), low + STEP_H
    low_deg, high_deg = before - EDGE_DEG, after - EDGE_DEG
    for _ in range(ROUNDS):
        middle = start + (end - start) * low_deg / (low_deg - high_deg)
        there = heights_and_azimuths_deg(site, np.repeat(months, 2), middle.ravel())[0]
        off = there.reshape(-1, 2) - EDGE_DEG
        same = np.sign(off) == np.sign(low_deg)
        start, low_deg = np.where(same, middle, start), np.where(same, off, low_deg)
        end, high_deg = np.where(same, end, middle), np.where(same, high_deg, off)
    return np.asarray(middle)


def _light(usual: Light, towards: Array) -> Light:
    """The light of a sun in a direction; one at the horizon shines as from just above it."""
    east, north, up = towards.tolist()
    low = lit_through_air(usual, (east, north, max(up, LOWEST_RISE)))
    return replace(low, towards=(east, north, up))


def _level(lights: Sequence[Light]) -> Array:
    """Screen values (m, 3) of level ground in some lights, red green blue."""
    up = np.array([0.0, 0.0, 1.0])
    seen = np.array([light.exposure * received(up, light) for light in lights])
    return developed(SOIL * seen, replace(lights[0], exposure=1.0)) ** (1 / 2.2)


def _column(values: Any) -> NDArray[np.float32]:
    return np.asarray(values, dtype=np.float32).ravel()
