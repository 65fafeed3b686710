"""When plants that are kept at a size are first clipped.

A plant is first clipped in the year its free course reaches the height or the spread it is
kept at. The range is that of one plant: the fastest tenth are clipped by the low year, the
slowest tenth not before the high year. None: not within the years looked at.

Left out: how often a plant is clipped after that, and how it takes it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from growth.courses import IntArray, forecast
from growth.ranges import Array, Range
from growth.starts import Entry


@dataclass(frozen=True)
class FirstClip:
    """First year of clipping of the plants of a place of the document; None = not reached."""

    place: str
    plant: str
    low: int | None
    expected: int | None
    high: int | None


def first_clips(entries: Sequence[Entry], years: IntArray) -> tuple[FirstClip, ...]:
    """The first clipping of every entry that is kept at a size, in years since year 0."""
    clipped = [entry for entry in entries if _limits_m(entry) != (math.inf, math.inf)]
    if not clipped:
        return ()
    free = [
        replace(entry.start, height_limit_m=math.inf, spread_limit_m=math.inf) for entry in clipped
    ]
    sizes = forecast(free, years)
    return tuple(
        _first_clip(entry, years, _course(sizes.height_m, n), _course(sizes.spread_m, n))
        for n, entry in enumerate(clipped)
    )


def clip_note(clip: FirstClip, where: str) -> str:
    """The first clipping, of plants that are found where it is said, as a line for people."""
    of = f"{clip.plant} {where}"
    if clip.low is None:
        return f"{of}: reaches the size it is kept at in no year looked at."
    middle = "later than looked at" if clip.expected is None else f"about year {clip.expected}"
    last = "after the last year" if clip.high is None else f"year {clip.high}"
    return f"{of}: first clipped {middle} (year {clip.low} to {last})."


def _first_clip(entry: Entry, years: IntArray, height_m: Range, spread_m: Range) -> FirstClip:
    height_limit_m, spread_limit_m = _limits_m(entry)
    there = years >= entry.start.delay_years
    if entry.removed_year is not None:
        there &= years < entry.removed_year

    def first(of_height_m: Array, of_spread_m: Array) -> int | None:
        reached = (of_height_m >= height_limit_m) | (of_spread_m >= spread_limit_m)
        found = years[reached & there]
        return int(found[0]) if len(found) else None

    return FirstClip(
        entry.place,
        entry.start.plant.name,
        low=first(height_m.high, spread_m.high),
        expected=first(height_m.expected, spread_m.expected),
        high=first(height_m.low, spread_m.low),
    )


def _limits_m(entry: Entry) -> tuple[float, float]:
    return entry.start.height_limit_m, entry.start.spread_limit_m


def _course(sizes: Range, number: int) -> Range:
    columns = (sizes.low, sizes.expected, sizes.high)
    return Range(*(np.asarray(column[:, number]) for column in columns))
