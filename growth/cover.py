"""How much of an outline discs cover, year by year: the union, never the sum.

The outline is laid out in square cells, each weighted by its share inside. A cell is covered
in the years in which some disc holds its centre. Discs that only grow are settled at once by
the first year that covers each cell; discs that shrink or leave are painted year by year.
Layers are independent repetitions (one joint draw each) worked on together. Cell size follows
the smallest disc, within bounds on the number of cells that keep accuracy and memory sane.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Steps = NDArray[np.uint8]

CELLS_ACROSS = 2
"""Cells across the smallest disc, if the bound on cells allows it: larger discs have more."""

LEAST_CELLS, LEAST_CELLS_OF_LAYERS, MOST_CELLS = 10_000, 2_000, 2**21
"""Cells of an outline's area: enough for 0.5 % of it, few enough for a quick answer. Layers
need fewer: what the cells miss differs from one to the next."""

_PAIRS_AT_ONCE = 2**20


@dataclass(frozen=True)
class Cells:
    """Square cells over an outline; weight is the share of each cell inside it."""

    x0_m: float
    y0_m: float
    cell_m: float
    weight: Array  # (ny, nx)

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

    def only(self, chosen: NDArray[np.bool_]) -> "Discs":
        """The chosen discs alone."""
        return Discs(self.xy_m[chosen], self.radius_m[chosen], self.layer[chosen], self.layers)


def one_layer(xy_m: Array, radius_m: NDArray[np.floating]) -> Discs:
    """Discs that all count together."""
    return Discs(xy_m, radius_m, np.zeros(len(xy_m), np.int64), 1)


def cell_size_m(area_m2: float, smallest_m: float, *, layers: int = 1) -> float:
    """Side of the cells for an outline of that area and a smallest disc of that diameter."""
    coarsest = np.sqrt(area_m2 / (LEAST_CELLS if layers == 1 else LEAST_CELLS_OF_LAYERS))
    finest = np.sqrt(area_m2 / max(MOST_CELLS // max(1, layers // 16), LEAST_CELLS))
    return float(np.clip(smallest_m / CELLS_ACROSS, finest, coarsest))


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
    rising: NDArray[np.bool_] = np.all(np.diff(discs.radius_m, axis=1) >= 0, axis=1)
    first = first_covered(over, discs.only(rising))
    if rising.all():
        return _share_from_first(over, first, discs.radius_m.shape[1])
    leaving = discs.only(~rising)
    years = range(discs.radius_m.shape[1])
    return np.column_stack(
        [_share(over, (first <= year) | painted(over, leaving, year)) for year in years]
    )


def first_covered(over: Cells, discs: Discs) -> Steps:
    """First year in which a disc covers each cell, (layers, ny, nx); Y where none ever does.

    Valid for: radii that never fall.
    """
    years = discs.radius_m.shape[1]
    first = np.full((discs.layers, *over.weight.shape), years, np.uint8)
    flat = first.reshape(-1)
    square = _signed_square(discs.radius_m)
    for plants, place, d2 in _pairs(over, discs):
        step = np.zeros(d2.shape, np.uint8)
        for year in range(years):
            step += d2 > square[plants, year, None, None]
        hit = step < years
        np.minimum.at(flat, place[hit], step[hit])
    return first


def painted(over: Cells, discs: Discs, year: int) -> NDArray[np.bool_]:
    """Cells under some disc in one year, (layers, ny, nx): the plain path."""
    under = np.zeros((discs.layers, *over.weight.shape), bool)
    flat = under.reshape(-1)
    now = Discs(discs.xy_m, discs.radius_m[:, year : year + 1], discs.layer, discs.layers)
    square = _signed_square(now.radius_m)
    for plants, place, d2 in _pairs(over, now):
        flat[place[d2 <= square[plants, 0, None, None]]] = True
    return under


def _signed_square(radius_m: NDArray[np.floating]) -> NDArray[np.float32]:
    """Squared radii; negative where there is no disc, so that no distance is within it."""
    return np.where(radius_m > 0, radius_m**2, -1).astype(np.float32)


def _pairs(over: Cells, discs: Discs) -> Iterator[tuple[IntArray, IntArray, NDArray[np.float32]]]:
    """Discs, and for each the cells of its window: place (m, w, w), squared distance (m, w, w).

    Discs of like reach share a window of one width, so that no loop runs over plants.
    """
    reach = np.ceil(discs.radius_m.max(axis=1, initial=0) / over.cell_m).astype(np.int64)
    for wide in np.unique(reach[reach > 0]):
        members = np.flatnonzero(reach == wide)
        step = max(1, int(_PAIRS_AT_ONCE // (2 * wide + 1) ** 2))
        for start in range(0, len(members), step):
            plants = members[start : start + step]
            yield plants, *_window(over, discs, plants, wide)


def _window(
    over: Cells, discs: Discs, plants: IntArray, wide: int
) -> tuple[IntArray, NDArray[np.float32]]:
    """Flat place and squared distance of the cells around discs, infinite off the cells."""
    ny, nx = over.weight.shape
    column, across = _axis(discs.xy_m[plants, 0] - over.x0_m, over.cell_m, wide, nx)
    row, along = _axis(discs.xy_m[plants, 1] - over.y0_m, over.cell_m, wide, ny)
    row += discs.layer[plants, None] * ny
    return row[:, :, None] * nx + column[:, None, :], along[:, :, None] + across[:, None, :]


def _axis(
    at_m: Array, cell_m: float, wide: int, count: int
) -> tuple[IntArray, NDArray[np.float32]]:
    """Cell numbers along one axis and the squared distance of their centres, (m, 2 wide + 1)."""
    number = np.floor(at_m / cell_m).astype(np.int64)[:, None] + np.arange(-wide, wide + 1)
    off = ((number + 0.5) * cell_m - at_m[:, None]) ** 2
    inside = (number >= 0) & (number < count)
    return np.where(inside, number, 0), np.where(inside, off, np.inf).astype(np.float32)


def _share(over: Cells, under: NDArray[np.bool_]) -> Array:
    """Weighted share of the cells that are under, (layers,)."""
    total: Array = np.tensordot(under, over.weight, axes=2) / over.weight.sum()
    return total


def _share_from_first(over: Cells, first: Steps, years: int) -> Array:
    """Share covered by each year, from the first year of every cell, (layers, Y)."""
    layers = len(first)
    code = first.reshape(layers, -1).astype(np.int64) + (years + 1) * np.arange(layers)[:, None]
    weight = np.tile(over.weight.ravel(), layers)
    added = np.bincount(code.ravel(), weights=weight, minlength=layers * (years + 1))
    share: Array = np.cumsum(added.reshape(layers, -1)[:, :years], axis=1) / over.weight.sum()
    return share
