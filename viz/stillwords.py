"""What is asked of a still, and its captions: year, month, eye, and how far plants may be off.

A still shows expected sizes. Its caption says so, and in which band around them the heights of
eight of ten plants are forecast to lie, in the middle of all plants that grow (those that stood
before and stay are left out, since they were measured).
"""

from dataclasses import dataclass

import numpy as np

from growth.seasons import MONTHS, season_of_month
from growth.stand import Stand
from scenes.document import Yard
from scenes.terrain import Terrain
from viz.person import TALL_M
from viz.units import height_text, length_text
from viz.views import PLAN, Eye
from viz.words import SEASON_WORDS

GAP, COLUMNS = 14, 2
"""Pixels between the pictures of a sheet of 1600, and pictures beside each other."""


@dataclass(frozen=True)
class Asked:
    """Years, a view's name, month 1-12, hour of mean solar time (None: by view), pixels across,
    and whether a person stands in it."""

    years: tuple[int, ...]
    view: str
    month: int
    hour: float | None
    width: int
    person: bool = False

    @property
    def picture_width(self) -> int:
        """Pixels across one picture."""
        if len(self.years) == 1:
            return self.width
        return (self.width - (COLUMNS + 1) * self.gap) // COLUMNS

    @property
    def gap(self) -> int:
        """Pixels between the pictures of a sheet."""
        return max(2, round(GAP * self.width / 1600))


def heading(yard: Yard, terrain: Terrain, view: Eye, asked: Asked) -> str:
    """View, season and light, and the eye's height: what all years of a sheet share."""
    season = season_of_month(
        asked.month, latitude_deg=yard.site.latitude_deg, longitude_deg=yard.site.longitude_deg
    )
    for_scale = f"; a person of {length_text(TALL_M, lengths=yard.lengths)}" if asked.person else ""
    ground_m = float(terrain.height_m(np.array([view.eye_m[:2]]))[0])
    above = height_text(view.eye_m[2] - ground_m, lengths=yard.lengths)
    place = "from straight above" if view.name == PLAN else f"eye {above} above the ground"
    return (
        f"{view.name}; {MONTHS[asked.month - 1].capitalize()}, {SEASON_WORDS[season]}, "
        f"{clock(asked.hour or 0)} by the sun; {place}{for_scale}"
    )


def clock(hour: float) -> str:
    """An hour of the day as on a clock: 14.5 -> "14:30"."""
    minutes = round(60 * hour)
    return f"{minutes // 60}:{minutes % 60:02d}"


def caption(stand: Stand, year: int) -> str:
    """The year, and the range of the sizes that the picture shows the middle of."""
    if year == 0:
        return "Year 0, the day of planting: sizes as planted"
    band = height_band(stand, year)
    if band is None:
        return f"Year {year}: no new plants stand"
    low, high = (round(100 * share) for share in band)
    return (
        f"Year {year}: expected sizes; heights of 8 in 10 plants within {low} to {high} % of them"
    )


def height_band(stand: Stand, year: int) -> tuple[float, float] | None:
    """Low and high over expected height in a year, the middle of all new plants there."""
    expected = stand.height_m.expected[year]
    there = (expected > 0) & ~stand.kept
    if not there.any():
        return None
    low, high = stand.height_m.low[year][there], stand.height_m.high[year][there]
    return float(np.median(low / expected[there])), float(np.median(high / expected[there]))
