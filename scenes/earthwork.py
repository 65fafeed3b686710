"""The soil that moves: cut and fill, areas apart, topsoil, and what it makes loose and placed.

Cut and fill are bank volumes inside the boundary, from the ground before to the ground
after. Topsoil to be stripped (`ground.strip`) is told by itself: it comes off the whole
disturbed area and the same depth goes back on, so it leaves cut and fill as they are. What
paving takes of its place is not counted. Field soil is used first; what lacks comes in by
truck, what is left goes out.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import label
from shapely.geometry import Polygon

from scenes.document import Ground
from scenes.lattice import Array, Lattice
from scenes.points import Point
from scenes.soils import (
    COMMON_EARTH,
    NOTHING_CARTED,
    TRUCK_M3,
    Balance,
    Soil,
    balance,
    compacted_m3,
    loose_m3,
    soil_called,
)
from scenes.volumes import Moved, cell_error_m3, cut_and_fill

LEAST_AREA_M3 = 0.01
"""Areas that move less than a bucket of soil are not named by themselves."""


@dataclass(frozen=True)
class Area:
    """Disturbed ground apart from the rest: a place in it, and what moves there."""

    at: Point
    area_m2: float
    cut_m3: float
    fill_m3: float


@dataclass(frozen=True)
class Earthwork:
    """Bank volumes inside the boundary; net is fill less cut (above zero: soil is needed).

    `error_m3`: how far cut and fill may each be off for the cell's size. `loose_m3` and
    `compacted_m3`: the cut once dug, and once placed. Loads: trucks in and out, loose soil.
    """

    cell_m: float
    cut_m3: float
    fill_m3: float
    net_m3: float
    error_m3: float = 0.0
    disturbed_m2: float = 0.0
    strip_m3: float = 0.0
    soil: Soil = COMMON_EARTH
    loose_m3: float = 0.0
    compacted_m3: float = 0.0
    balance: Balance = NOTHING_CARTED
    truck_m3: float = TRUCK_M3
    loads: int = 0
    areas: tuple[Area, ...] = ()


def earthwork(
    lattice: Lattice,
    *,
    before_m: Array,
    after_m: Array,
    disturbed: Array,
    outline: Polygon,
    ground: Ground,
    soil_words: str | None,
) -> Earthwork:
    """The soil that moves inside the outline; `disturbed` is each node's share (ny, nx)."""
    moved = cut_and_fill(lattice, before_m=before_m, after_m=after_m, outline=outline)
    cut_m3, fill_m3 = float(moved.cut_m3.sum()), float(moved.fill_m3.sum())
    share = _of_cells(disturbed)
    soil = soil_of(ground, soil_words)
    carted = balance(cut_m3, fill_m3, soil)
    truck_m3 = ground.truck or TRUCK_M3
    disturbed_m2 = float((moved.area_m2 * share).sum())
    return Earthwork(
        cell_m=lattice.cell_m,
        cut_m3=cut_m3,
        fill_m3=fill_m3,
        net_m3=fill_m3 - cut_m3,
        error_m3=_error_m3(lattice, after_m - before_m, disturbed, moved),
        disturbed_m2=disturbed_m2,
        strip_m3=disturbed_m2 * (ground.strip or 0.0),
        soil=soil,
        loose_m3=loose_m3(cut_m3, soil),
        compacted_m3=compacted_m3(cut_m3, soil),
        balance=carted,
        truck_m3=truck_m3,
        loads=loads(carted, soil, truck_m3),
        areas=_areas(lattice, moved, share),
    )


def soil_of(ground: Ground, soil_words: str | None) -> Soil:
    """The yard's soil by its word, with the document's own swell and shrink where written."""
    soil = soil_called(soil_words)
    swell, shrink = ground.swell_percent, ground.shrink_percent
    return Soil(
        name=soil.name,
        swell=soil.swell if swell is None else swell / 100,
        shrink=soil.shrink if shrink is None else shrink / 100,
    )


def loads(carted: Balance, soil: Soil, truck_m3: float) -> int:
    """Truck loads of loose soil in and out of the yard, each way by itself."""
    each_way = (carted.import_m3, carted.export_m3)
    return sum(math.ceil(loose_m3(bank_m3, soil) / truck_m3 - 1e-9) for bank_m3 in each_way)


def _of_cells(nodes: Array) -> Array:
    """The mean of the four corners of every cell (ny - 1, nx - 1)."""
    return np.asarray((nodes[:-1, :-1] + nodes[:-1, 1:] + nodes[1:, :-1] + nodes[1:, 1:]) / 4)


def _error_m3(lattice: Lattice, rise_m: Array, disturbed: Array, moved: Moved) -> float:
    """The cell's error over the nodes inside the outline that are not beside vertical sides."""
    vertical = (disturbed > 0) & (disturbed < 1)
    beside = np.pad(vertical, 1)
    beside = beside[:-2, 1:-1] | beside[2:, 1:-1] | beside[1:-1, :-2] | beside[1:-1, 2:] | vertical
    inside = _of_cells(np.pad(moved.area_m2, 1)) / lattice.cell_m**2
    return cell_error_m3(lattice, rise_m, inside * ~beside)


def _areas(lattice: Lattice, moved: Moved, share: Array) -> tuple[Area, ...]:
    """Disturbed areas that do not touch, the one that moves most first."""
    pieces, count = label((share > 0) & (moved.area_m2 > 0), structure=np.ones((3, 3)))
    row, column = np.nonzero(pieces)
    piece = pieces[row, column] - 1
    cells = np.bincount(piece, minlength=count)
    area_m2, cut_m3, fill_m3, x_m, y_m = (
        np.bincount(piece, weights=np.asarray(amount, dtype=float), minlength=count)
        for amount in (
            (moved.area_m2 * share)[row, column],
            moved.cut_m3[row, column],
            moved.fill_m3[row, column],
            lattice.x0_m + lattice.cell_m * (column + 0.5),
            lattice.y0_m + lattice.cell_m * (row + 0.5),
        )
    )
    most_first = np.argsort(-(cut_m3 + fill_m3), kind="stable")
    return tuple(
        Area(
            at=(float(x_m[k] / cells[k]), float(y_m[k] / cells[k])),
            area_m2=float(area_m2[k]),
            cut_m3=float(cut_m3[k]),
            fill_m3=float(fill_m3[k]),
        )
        for k in most_first
        if cut_m3[k] + fill_m3[k] >= LEAST_AREA_M3
    )
