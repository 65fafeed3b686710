"""How much of an outline discs cover, year by year: the union, never the sum.

The outline is laid out in square cells, each weighted by its share inside. A cell is covered
in the years in which some disc holds its centre: `growth.covering` paints them.
Layers are independent repetitions (one joint draw each) worked on together. Cell size follows
the smallest disc, within bounds on the number of cells that keep accuracy and memory sane.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.compiled import in_parts

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Steps = NDArray[np.uint8]

CELLS_ACROSS = 2
"""Cells across the smallest disc, if the bound on cells allows it: larger discs have more."""

LEAST_CELLS, LEAST_CELLS_OF_LAYERS, MOST_CELLS = 10_000, 2_000, 2**21
"""Cells of an outline's area: enough for 0.5 % of it, few enough for a quick answer. Layers
need fewer: what the cells miss differs from one to the next."""


@dataclass(frozen=True)
class Cells:
    """Square cells over an outline; weight is the share of each cell inside it."""

    x0_m: float
    y0_m: float
    cell_m: float
    weight: Array  # (ny, nx)

    def part(self, row: int, column: int, side: int) -> "Cells":
        """A square of so many cells from a row and column on, as far as there are any."""
        weight = np.ascontiguousarray(self.weight[row : row + side, column : column + side])
        x0_m, y0_m = self.x0_m + column * self.cell_m, self.y0_m + row * self.cell_m
        return Cells(x0_m, y0_m, self.cell_m, weight)

    @property
    def area_m2(self) -> float:
        """Area of the outline, square metres."""
        return float(self.weight.sum()) * self.cell_m**2


@dataclass(frozen=True)
class Discs:
    """Growing discs: one radius a year, zero or less where there is none."""

    xy_m: Array  # (n, 2)
    radius_m: NDArray[np.floating]  # (n, Y)
    layer: IntArray  # (n,)
    layers: int


def one_layer(xy_m: Array, radius_m: NDArray[np.floating]) -> Discs:
    """Discs that all count together."""
    return Discs(xy_m, radius_m, np.zeros(len(xy_m), np.int64), 1)


def cell_size_m(area_m2: float, smallest_m: float, *, layers: int = 1) -> float:
    """Side of the cells for an outline of that area and a smallest disc of that diameter."""
    coarsest = np.sqrt(area_m2 / (LEAST_CELLS if layers == 1 else LEAST_CELLS_OF_LAYERS))
    finest = np.sqrt(area_m2 / max(MOST_CELLS // max(1, layers // 16), LEAST_CELLS))
    return float(np.clip(smallest_m / CELLS_ACROSS, finest, coarsest))


@lru_cache(maxsize=8)
def cells(outline: BaseGeometry, cell_m: float) -> Cells:
    """Cells over an outline; only those near its edge need an exact intersection."""
    x0, y0, x1, y1 = outline.bounds
    nx, ny = (max(1, int(np.ceil((b - a) / cell_m))) for a, b in ((x0, x1), (y0, y1)))
    left, low = x0 + cell_m * np.arange(nx), y0 + cell_m * np.arange(ny)
    shapely.prepare(outline)
    middle = np.meshgrid(left + cell_m / 2, low + cell_m / 2)
    weight = shapely.contains_xy(outline, *middle).astype(float)
    row, column = _on_edge(outline, (x0, y0), cell_m, (ny, nx))
    boxes = shapely.box(left[column], low[row], left[column] + cell_m, low[row] + cell_m)
    weight[row, column] = shapely.area(shapely.intersection(outline, boxes)) / cell_m**2
    return Cells(x0, y0, cell_m, weight)


def _on_edge(
    outline: BaseGeometry, corner_m: tuple[float, float], cell_m: float, shape: tuple[int, int]
) -> tuple[IntArray, IntArray]:
    """Rows and columns of the cells that the outline's edge runs through."""
    crossed = np.zeros(shape, bool)
    for ring in shapely.get_parts(outline.boundary):
        points = (shapely.get_coordinates(ring) - corner_m) / cell_m
        for start, end in pairwise(points):
            across, up = _cells_along(start, end)
            crossed[up.clip(0, shape[0] - 1), across.clip(0, shape[1] - 1)] = True
    row, column = np.nonzero(crossed)
    return row, column


def _cells_along(start: Array, end: Array) -> tuple[IntArray, IntArray]:
    """Columns and rows of the unit cells between two points: those between grid crossings."""
    cuts = [np.array([0.0, 1.0])]
    for a, b in zip(start, end, strict=True):
        lines = np.arange(np.ceil(min(a, b)), np.floor(max(a, b)) + 1)
        cuts += [(lines - a) / (b - a)] if a != b else []
    share = np.unique(np.concatenate(cuts))
    middle = start + ((share[:-1] + share[1:]) / 2)[:, None] * (end - start)
    column, row = np.floor(middle).astype(np.int64).T
    return column, row


def covered_share(over: Cells, discs: Discs) -> Array:
    """Share of the outline under some disc, (layers, Y)."""
    from growth import covering  # loads the compiler, a quarter of a second

    order = np.argsort(discs.layer, kind="stable")
    edges = np.searchsorted(discs.layer[order], np.arange(discs.layers + 1))
    share = np.zeros((discs.layers, discs.radius_m.shape[1]))
    painting = (*_in_cells(over, discs), order, edges, over.weight)

    def work(start: int, end: int) -> None:
        room = _room(over.weight.shape, share.shape[1])
        covering.covered(*painting, start, end, *room, share)

    in_parts(work, discs.layers)
    return np.asarray(share / over.weight.sum())


def covered_patches(
    patches: Sequence[Cells], xy_m: Array, radius_m: NDArray[np.floating], held: Sequence[IntArray]
) -> Array:
    """Weight of the cells under discs of radius (D, Y, n) at points (n, 2), (patches, D, Y);
    `held` are the discs that can reach each patch."""
    from growth import covering

    layers, years, count = radius_m.shape
    radius = np.ascontiguousarray(radius_m.transpose(0, 2, 1)).reshape(-1, years)
    covered = np.zeros((len(patches), layers, years))

    def work(start: int, end: int) -> None:
        for number in range(start, end):
            over, chosen = patches[number], held[number]
            centre = np.tile((xy_m - (over.x0_m, over.y0_m)) / over.cell_m, (layers, 1))
            order = (count * np.arange(layers)[:, None] + chosen).ravel()
            edges = len(chosen) * np.arange(layers + 1)
            painting = centre, radius, over.cell_m, order, edges, over.weight
            room = _room(over.weight.shape, years)
            covering.covered(*painting, 0, layers, *room, covered[number])

    in_parts(work, len(patches))
    return covered


def shares_without(over: Cells, xy_m: Array, radius_m: NDArray[np.floating]) -> Array:
    """Share of the outline under discs of radius (n,) at points (n, 2), then without the first of
    them, and so on to the last, (1 + n,): without one a cell is bare that it alone holds."""
    from growth import covering

    square = np.where(radius_m > 0, (radius_m.astype(float) / over.cell_m) ** 2, -1.0)
    there = np.flatnonzero(square > 0)
    centre = (xy_m - (over.x0_m, over.y0_m)) / over.cell_m
    holds = np.full(over.weight.shape, -1)
    covering.hold(centre[there], square[there], holds)
    alone, lost = holds >= 0, np.zeros(len(square))
    lost[there] = np.bincount(holds[alone], over.weight[alone], len(there))
    covered = over.weight[holds != -1].sum()
    return np.asarray((covered - np.append(0.0, lost)) / over.weight.sum())


def _room(shape: tuple[int, int], years: int) -> tuple[NDArray[Any], ...]:
    """What painting writes over."""
    return (
        np.empty(shape, np.uint8), np.empty(shape, np.uint64), np.empty(years), np.empty(years + 1),
    )  # fmt: skip


def first_covered(over: Cells, discs: Discs) -> Steps:
    """First year in which a disc covers each cell, (layers, ny, nx); Y where none ever does.

    Valid for: radii that never fall.
    """
    from growth import covering

    shape = (discs.layers, *over.weight.shape)
    first = np.full(shape, discs.radius_m.shape[1], np.uint8)
    marks, square = np.zeros(over.weight.shape, np.uint64), np.empty(discs.radius_m.shape[1])
    for layer in range(discs.layers):
        chosen = np.flatnonzero(discs.layer == layer)
        covering.paint(*_in_cells(over, discs), chosen, first[layer], marks, square)
    return first


def painted(over: Cells, discs: Discs, year: int) -> NDArray[np.bool_]:
    """Cells under some disc in one year, (layers, ny, nx): the plain path."""
    now = Discs(discs.xy_m, discs.radius_m[:, year : year + 1], discs.layer, discs.layers)
    return np.asarray(first_covered(over, now) == 0)


def _in_cells(over: Cells, discs: Discs) -> tuple[Array, NDArray[np.floating], float]:
    """Centres in cells, radii in metres, and the side of a cell."""
    centre = (discs.xy_m - (over.x0_m, over.y0_m)) / over.cell_m
    return centre, np.ascontiguousarray(discs.radius_m), over.cell_m
