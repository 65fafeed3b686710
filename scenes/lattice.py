"""A regular lattice of nodes over the yard: where the ground's heights are kept.

Rows run north (y), columns east (x); between nodes a quantity is bilinear, and beyond the
lattice it keeps the value of the nearest edge. The lattice is tied to a corner of the lot, so
that moving one thing in the yard does not shift the nodes under the others, and moving the
whole yard shifts them along with it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
Window = tuple[slice, slice]
"""Rows and columns of a lattice or a grid."""

MOST_NODES = 4_000_000
"""A limit of memory: grading this many nodes was measured to take 1.2 GB."""


@dataclass(frozen=True)
class Lattice:
    """Regular nodes; row = y, column = x."""

    x0_m: float
    y0_m: float
    cell_m: float
    nx: int
    ny: int

    def nodes_m(self) -> Array:
        """Node positions (ny, nx, 2) in metres."""
        x = self.x0_m + self.cell_m * np.arange(self.nx)
        y = self.y0_m + self.cell_m * np.arange(self.ny)
        return np.stack(np.meshgrid(x, y), axis=-1)


def lattice_over(
    corners_m: Array, *, cell_m: float, margin_m: float, through_m: Sequence[float] = (0.0, 0.0)
) -> Lattice:
    """The lattice with a node at `through_m` that covers the points (n, 2) with a margin."""
    start = np.array(through_m, float)
    below, above = (
        corners_m.min(axis=0) - margin_m - start,
        corners_m.max(axis=0) + margin_m - start,
    )
    first = np.floor(np.round(below / cell_m, 6))
    last = np.ceil(np.round(above / cell_m, 6))
    nx, ny = (last - first).astype(int) + 1
    return Lattice(
        x0_m=float(start[0] + first[0] * cell_m),
        y0_m=float(start[1] + first[1] * cell_m),
        cell_m=cell_m,
        nx=int(nx),
        ny=int(ny),
    )


def node_count(corners_m: Array, *, cell_m: float, margin_m: float) -> float:
    """How many nodes such a lattice would have (a float: it may exceed any integer type)."""
    across = np.ptp(corners_m, axis=0) + 2 * margin_m
    return float(np.prod(across / cell_m + 2))


def smallest_cell_m(corners_m: Array, *, margin_m: float) -> float:
    """A cell in metres, next to the smallest, that keeps to the most nodes allowed."""
    across = np.ptp(corners_m, axis=0) + 2 * margin_m
    cell_m = float(np.sqrt(np.prod(across) / MOST_NODES))
    while node_count(corners_m, cell_m=cell_m, margin_m=margin_m) > MOST_NODES:
        cell_m *= 1.001
    return cell_m


def rounded_up(value: float) -> float:
    """The value to two digits, upwards."""
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return math.ceil(value / step) * step


def within(lattice: Lattice, low_m: Array, high_m: Array) -> Window:
    """The rows and columns of the nodes in a rectangle, two of each at the least."""
    start = np.array([lattice.x0_m, lattice.y0_m])
    count = np.array([lattice.nx, lattice.ny])
    first = np.clip(np.ceil((low_m - start) / lattice.cell_m), 0, count - 2).astype(int)
    last = np.clip(np.floor((high_m - start) / lattice.cell_m), first + 1, count - 1).astype(int)
    columns, rows = (slice(int(a), int(b) + 1) for a, b in zip(first, last, strict=True))
    return rows, columns


def part(lattice: Lattice, window: Window) -> Lattice:
    """The lattice of some rows and columns of another."""
    rows, columns = window
    return Lattice(
        x0_m=lattice.x0_m + columns.start * lattice.cell_m,
        y0_m=lattice.y0_m + rows.start * lattice.cell_m,
        cell_m=lattice.cell_m,
        nx=columns.stop - columns.start,
        ny=rows.stop - rows.start,
    )


def bilinear(lattice: Lattice, values: Array, xy_m: Array) -> Array:
    """Values (ny, nx) interpolated at points (n, 2); beyond the lattice the edge's value."""
    column = np.clip((xy_m[:, 0] - lattice.x0_m) / lattice.cell_m, 0, lattice.nx - 1)
    row = np.clip((xy_m[:, 1] - lattice.y0_m) / lattice.cell_m, 0, lattice.ny - 1)
    i = np.minimum(column.astype(int), lattice.nx - 2)
    j = np.minimum(row.astype(int), lattice.ny - 2)
    u, v = column - i, row - j
    south = (1 - u) * values[j, i] + u * values[j, i + 1]
    north = (1 - u) * values[j + 1, i] + u * values[j + 1, i + 1]
    return np.asarray((1 - v) * south + v * north)
