"""Every plant left out in turn: what a view hides, or an outline has covered, without it.

The sizes of one draw in one year are written as rows, each without one of the plants; all
rows are then looked through at once. On the ground those cells count that one alone covers.
Of very many plants only those that look or are the largest are left out.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.outlook import Outlook
from growth.cover import cell_size_m, cells, shares_without
from growth.crownrows import crowns_in_rows
from growth.rays import blocked_share
from growth.stand import Draws, Stand

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]

MOST = 300
"""So many plants are left out in turn, no more."""


def hidden_without(outlook: Outlook, stand: Stand, now: Draws, plants: IntArray) -> Array:
    """Share of a panel hidden by some plants, then without the first of them, and so on to the
    last, leaf and bare, (2, 1 + plants); `now` is one draw of one year."""
    crowns = crowns_in_rows(stand, now, plants)
    rows = len(plants) + 1
    height, base = (np.repeat(size, rows, axis=0) for size in (crowns.height_m, crowns.base_m))
    vigour = None if crowns.vigour is None else np.repeat(crowns.vigour, rows, axis=0)
    without = replace(
        crowns, height_m=height, base_m=base, vigour=vigour, spread_m=_less_one(crowns.spread_m[0])
    )
    return blocked_share(outlook.lines, without, static=outlook.static)


def covered_without(outline: BaseGeometry, xy_m: Array, radius_m: Floats) -> Array:
    """Share of an outline under discs (n,), then without the first, and so on, (1 + n,)."""
    if not (radius_m > 0).any():
        return np.zeros(len(radius_m) + 1)
    cell_m = cell_size_m(outline.area, 2 * float(radius_m[radius_m > 0].min()))
    return shares_without(cells(outline, cell_m), xy_m, radius_m)


def largest(plants: IntArray, bulk: NDArray[np.floating]) -> IntArray:
    """The plants of the largest bulk (plants,) among many, in their order."""
    return np.sort(plants[np.argsort(-bulk, kind="stable")[:MOST]])


def _less_one(sizes: Floats) -> Floats:
    """Rows of sizes (n,): all, and all without one after the other, (1 + n, n)."""
    rows = np.repeat(sizes[None], len(sizes) + 1, axis=0)
    rows[np.arange(len(sizes)) + 1, np.arange(len(sizes))] = 0
    return rows
