"""A grid of levels in the coordinates of its file, and its cells around the lot as points.

The middle of a cell that has a value is a surveyed point. Only cells around the lot are
taken: the lot and its own size on every side, so that a tile of a whole town may be named.
Cells without a value are left out, and said; the ground there is drawn from those around.
"""

from dataclasses import dataclass

import numpy as np

from scenes.document import Yard
from scenes.lattice import Array, Window
from scenes.lengths import METRES
from scenes.shots import MOST_POINTS, Shots, place_in_file

NEAR_CELLS = 3
_CORNERS = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])


@dataclass(frozen=True)
class Grid:
    """How many columns and rows, and where they lie in the unit of the file.

    A cell's first corner is at `start` + column * `across` + row * `down`.
    """

    count: tuple[int, int]
    start: Array
    across: Array
    down: Array

    def at(self, column_row: Array) -> Array:
        """Places (n, 2) of columns and rows (n, 2), halves being the middles of cells."""
        return np.asarray(self.start + column_row @ np.stack([self.across, self.down]))

    def around(self, yard: Yard, unit: str) -> Window:
        """The window near the lot; ValueError "wrong; remedy" where it holds too many cells."""
        lot = np.array(yard.site.boundary)
        lot_m = np.stack([lot.min(axis=0), lot.max(axis=0)])
        size_m = np.ptp(lot_m, axis=0).max()
        reach_m = lot_m[0] - size_m + _CORNERS * (np.ptp(lot_m, axis=0) + 2 * size_m)
        reach = (reach_m + yard.site.origin[:2]) / METRES[unit]
        column_row = (reach - self.start) @ np.linalg.inv(np.stack([self.across, self.down]))
        first = np.clip(np.floor(column_row.min(axis=0)) - NEAR_CELLS, 0, self.count)
        last = np.clip(np.ceil(column_row.max(axis=0)) + NEAR_CELLS, first, self.count)
        if (last - first).prod() > MOST_POINTS:
            wrong = f"holds {(last - first).prod():,.0f} cells around the lot"
            raise ValueError(f"{wrong}; export it with larger cells, {MOST_POINTS:,} at the most")
        columns, rows = (slice(int(a), int(b)) for a, b in zip(first, last, strict=True))
        return rows, columns

    def shots(self, levels: Array, near: Window, place: str, *, unit: str | None) -> Shots:
        """The cells (rows, columns) of a window as points, those without a value left out."""
        rows, columns = np.nonzero(np.isfinite(levels))
        column_row = np.column_stack([columns + near[1].start, rows + near[0].start])
        xyz = np.column_stack([self.at(column_row + 0.5), levels[rows, columns]])
        places = [f"{place} row {row + 1} column {column + 1}" for column, row in column_row]
        lost = levels.size - len(xyz)
        note = f"{place_in_file(place)}: {lost:,} cells near the lot are empty"
        notes = (f"{note}; the ground there is drawn from the cells around",) if lost else ()
        corners = self.at(_CORNERS * self.count)
        return Shots(xyz, places, unit=unit, notes=notes, reach=corners)
