"""Lines of equal level on the ground, at the intervals a reader may choose from.

Levels are whole multiples of the finest interval offered, so that every coarser interval
offered is a part of the same lines. Lines run straight from one edge of a lattice cell to
the next (marching squares, by contourpy) and are thinned to a centimetre. Metres above the
document's zero; intervals are round numbers of the document's own unit, feet or metres.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from contourpy import contour_generator
from numpy.typing import NDArray

Array = NDArray[np.float64]

ROUND = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
"""Intervals that are offered, in feet or metres."""

MOST_LEVELS, MOST_CHOICES, FEWEST_LEVELS = 40, 4, 2
THINNED_M = 0.01
GRAIN = 65535
"""Places are sent as whole numbers from 0 to this, from one edge of the lattice to the other."""


@dataclass(frozen=True)
class Contours:
    """Lines (k, 2) in metres, each with its level in whole finest intervals."""

    lines_m: tuple[Array, ...]
    level: tuple[int, ...]


def intervals(relief: float) -> tuple[float, ...]:
    """Round intervals for a relief in the same unit, finest first; the rest its multiples."""
    fine = next((each for each in ROUND if relief / each <= MOST_LEVELS), ROUND[-1])
    fits = [
        each
        for each in ROUND
        if each >= fine and relief / each >= FEWEST_LEVELS and _multiple(each, of=fine)
    ]
    return tuple(fits[:MOST_CHOICES]) or (fine,)


def _multiple(value: float, *, of: float) -> bool:
    return abs(value / of - round(value / of)) < 1e-9


def contours(x_m: Array, y_m: Array, height_m: Array, *, interval_m: float) -> Contours:
    """Contours of heights (y, x) at whole multiples of an interval."""
    maker = contour_generator(x_m, y_m, height_m)
    lines: list[Array] = []
    level: list[int] = []
    lowest, highest = float(height_m.min()), float(height_m.max())
    for number in range(int(np.ceil(lowest / interval_m)), int(highest // interval_m) + 1):
        for line in maker.lines(number * interval_m):
            lines.append(_thinned(np.asarray(line)))
            level.append(number)
    return Contours(tuple(lines), tuple(level))


def _thinned(line_m: Array) -> Array:
    return np.asarray(shapely.get_coordinates(shapely.LineString(line_m).simplify(THINNED_M)))


def packed(found: Contours, x_m: Array, y_m: Array) -> Mapping[str, Any]:
    """The lines as whole numbers: points one after another, how many each line has, its level."""
    corner, across = np.array([x_m[0], y_m[0]]), np.array([np.ptp(x_m), np.ptp(y_m)])
    points = np.concatenate([np.zeros((0, 2)), *found.lines_m])
    lowest = min(found.level, default=0)
    return {
        "points": np.round((points - corner) / across * GRAIN).astype(np.uint16).ravel(),
        "counts": np.array([len(line) for line in found.lines_m], dtype=np.uint16),
        "lowest": lowest,
        "level": (np.array(found.level, dtype=int) - lowest).astype(np.uint16),
    }
