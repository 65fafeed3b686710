"""Where single plants stand: along a line, or in rows that fill a bed.

Along a line there are length / spacing plants (rounded, at least one), evenly spaced with
half a space at each end. Rows run along the longer side of the bed's tightest rectangle:
square rows are one spacing apart, triangular rows half the square root of three, every
second row shifted by half a spacing. A mix gives every kind its share to one plant.

Source: planting tables of the trade: area / spacing^2 for a square, times 2 / sqrt(3) for
a triangle.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from scenes.edges import beside
from scenes.lattice import Array, IntArray

ROW_PITCH = {"square": 1.0, "triangular": np.sqrt(3) / 2}
"""Distance between rows in spacings."""

PLASTIC = 1.32471795724474602596
"""The real root of x^3 = x + 1; its powers spread points evenly over a plane.

Source: M. Roberts, The unreasonable effectiveness of quasirandom sequences (2018)."""


@dataclass(frozen=True)
class Rows:
    """Places (n, 2) in metres, and each one's row and number within the row (n, 2)."""

    xy_m: Array
    row: IntArray


def evenly_along(line: LineString, spacing_m: float) -> Array:
    """Places (n, 2) in metres along a line, half a space from each end."""
    count = max(1, round(line.length / spacing_m))
    along_m = (np.arange(count) + 0.5) * (line.length / count)
    return beside(line, along_m)


def rows_inside(area: BaseGeometry, spacing_m: float, *, pattern: str) -> Rows:
    """Places of rows inside an area, in metres; one at least where the area is not empty."""
    if area.is_empty:
        return Rows(np.empty((0, 2)), np.empty((0, 2), dtype=int))
    origin, along, across = _tightest_rectangle(area)
    shift = 0.5 if pattern == "triangular" else 0.0
    columns = _steps_m(float(np.linalg.norm(along)), spacing_m)
    rows = _steps_m(float(np.linalg.norm(across)), spacing_m * ROW_PITCH[pattern])
    column, row = np.meshgrid(np.arange(-1, len(columns) + 1), np.arange(len(rows)))
    right = columns[0] + spacing_m * (column + shift * (row % 2 - 0.5))
    xy_m = (
        origin
        + right[..., None] * along / np.linalg.norm(along)
        + rows[row][..., None] * across / np.linalg.norm(across)
    ).reshape(-1, 2)
    inside = shapely.intersects_xy(area, xy_m)
    if not inside.any():
        return Rows(np.array(area.representative_point().coords), np.zeros((1, 2), dtype=int))
    return Rows(xy_m[inside], np.stack([row, column], axis=-1).reshape(-1, 2)[inside])


def _tightest_rectangle(area: BaseGeometry) -> tuple[Array, Array, Array]:
    """A corner of the smallest rectangle round an area, its longer side and its shorter."""
    ring = np.array(area.minimum_rotated_rectangle.exterior.coords)
    along, across = ring[1] - ring[0], ring[3] - ring[0]
    if np.linalg.norm(across) > np.linalg.norm(along) * (1 + 1e-9):
        along, across = across, along
    return ring[0], along, across


def _steps_m(length_m: float, step_m: float) -> Array:
    """Evenly stepped places along a length, centred on it; at least one."""
    count = max(1, round(length_m / step_m))
    return np.asarray((length_m - (count - 1) * step_m) / 2 + step_m * np.arange(count))


def mixed(row: IntArray, shares: Sequence[float]) -> IntArray:
    """The kind (n,) of each place in rows: every share exact to one plant, well mixed.

    Each place gets a number that is spread evenly over any part of the bed; the lowest
    numbers take the first kind, and so on.
    """
    spread = (row @ np.array([PLASTIC**-1, PLASTIC**-2])) % 1
    kinds = np.repeat(np.arange(len(shares)), exact_counts(len(row), shares))
    placed = np.empty(len(row), dtype=int)
    placed[np.argsort(spread, kind="stable")] = kinds
    return placed


def exact_counts(count: int, shares: Sequence[float]) -> IntArray:
    """How many of `count` each share gets: whole numbers by largest remainder."""
    wanted = np.array(shares, dtype=float) / np.sum(shares) * count
    counts = np.floor(wanted + 1e-9).astype(int)
    short = count - int(counts.sum())
    counts[np.argsort(counts - wanted, kind="stable")[:short]] += 1
    return np.asarray(counts)
