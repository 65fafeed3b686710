"""The gaps of a view: joined parts of its panel that are more open than hidden.

They are those of the expected course, in which every plant has its expected size; a fine
regular picture of the panel is cut into tiles, and a tile through which more than half of the
light comes is open. Open tiles that share a side are one gap. Its width and heights are those
of the rectangle round it, heights above the ground under its middle, `along_m` runs from the
panel's left end as the eye sees it. A gap closes in the first year by which nine tenths of
its tiles are hidden and from which on they stay so.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

OPEN = 0.5
"""A tile is open where more of the light than this comes through."""

LEAST_M2, MOST_GAPS = 0.05, 6
"""Only gaps of this area and more are told, and of these so many of the largest of a year."""

STILL_OPEN = 0.1
"""A gap with no larger share of its tiles open counts as closed; assumed."""


@dataclass(frozen=True)
class Gap:
    """One gap in one year, metres; `closes` is None where it never does."""

    year: int
    width_m: float
    low_m: float
    high_m: float
    along_m: float
    area_m2: float
    closes: int | None
    up_m: float = 0.0
    """Its lower edge above the panel's."""


def gaps_of(
    passing: Array,
    panel_m: Array,
    height_m: Callable[[Array], Array],
    years: Sequence[int],
) -> tuple[Gap, ...]:
    """Gaps of the years asked for, largest first, of pictures (nv, nu, Y) of every year."""
    is_open = passing > OPEN
    return tuple(
        gap for year in years for gap in _gaps_in_year(is_open, year, panel_m, height_m)[:MOST_GAPS]
    )


def _gaps_in_year(
    is_open: BoolArray, year: int, panel_m: Array, height_m: Callable[[Array], Array]
) -> list[Gap]:
    rows, columns, _ = is_open.shape
    wide_m = float(np.linalg.norm(panel_m[1] - panel_m[0])) / columns
    high_m = float(panel_m[3, 2] - panel_m[0, 2]) / rows
    labels, count = ndimage.label(is_open[:, :, year])
    gaps = []
    for number, (up, across) in enumerate(ndimage.find_objects(labels, count), start=1):
        tiles = labels == number
        area_m2 = float(tiles.sum()) * wide_m * high_m
        if area_m2 < LEAST_M2:
            continue
        middle = (across.start + across.stop) / 2 / columns
        foot = panel_m[0] + middle * (panel_m[1] - panel_m[0])
        lower_m = float(foot[2] - height_m(foot[None, :2])[0])
        gaps.append(
            Gap(
                year=year,
                width_m=(across.stop - across.start) * wide_m,
                low_m=lower_m + up.start * high_m,
                high_m=lower_m + up.stop * high_m,
                along_m=across.start * wide_m,
                area_m2=area_m2,
                closes=_closes(is_open[tiles], year),
                up_m=up.start * high_m,
            )
        )
    return sorted(gaps, key=lambda gap: -gap.area_m2)


def _closes(is_open: BoolArray, year: int) -> int | None:
    """First year after `year` from which on the tiles (n, Y) stay hidden."""
    still = np.flatnonzero(is_open.mean(axis=0) > STILL_OPEN)
    last = max(year, int(still.max(initial=year)))
    return last + 1 if last + 1 < is_open.shape[1] else None
