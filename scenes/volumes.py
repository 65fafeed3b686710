"""Cut and fill between two surfaces on one lattice, inside an outline.

Each cell is taken as four triangles that meet at its middle, whose difference is the mean
of the four corners: over a whole cell this is the trade's four-corner method (area times
the mean difference), and where the difference changes sign a triangle is split along its
zero line, so cut and fill are exact for these facets. Cells that the outline crosses are
clipped by it. All volumes are bank volumes; swell and shrinkage are in `scenes.soils`.

What the cell costs is told with the result: between nodes a bent surface departs from its
facets, in volume by a twelfth of its second difference a node (the remainder of the
trapezoidal rule). These are added up without their signs, so the error told is an upper
one; it falls with the square of the cell where the ground is smooth.

Source: four-corner (borrow pit) method, as in surveying textbooks; the split is closed form.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from scenes.lattice import Array, BoolArray, IntArray, Lattice


@dataclass(frozen=True)
class Moved:
    """Volumes of every cell (ny - 1, nx - 1) in cubic metres, and its area in the outline."""

    cut_m3: Array
    fill_m3: Array
    area_m2: Array


def cut_and_fill(
    lattice: Lattice, *, before_m: Array, after_m: Array, outline: BaseGeometry
) -> Moved:
    """Bank volumes between two surfaces, cell by cell, of the part inside the outline."""
    rise_m = after_m - before_m
    corners_m = np.stack([rise_m[:-1, :-1], rise_m[:-1, 1:], rise_m[1:, 1:], rise_m[1:, :-1]])
    edge = edge_pieces(lattice, outline)
    crossed = np.zeros(corners_m.shape[1:], dtype=bool)
    crossed[edge.row, edge.column] = True
    inside = _middles_inside(lattice, outline) & ~crossed
    risen = corners_m.any(axis=0)
    whole, clipped = inside & risen, crossed & risen
    volumes_m3 = np.zeros((2, *crossed.shape))
    for side, sign in enumerate((-1, 1)):
        volumes_m3[side, whole] = _whole_m3(sign * corners_m[:, whole], lattice.cell_m)
    volumes_m3[:, clipped] = _clipped_m3(_triangles(lattice, corners_m, clipped), outline)
    area_m2 = np.where(inside, lattice.cell_m**2, 0.0)
    area_m2[crossed] = shapely.area(shapely.intersection(squares(lattice, crossed), outline))
    return Moved(cut_m3=volumes_m3[0], fill_m3=volumes_m3[1], area_m2=area_m2)


def cell_error_m3(lattice: Lattice, rise_m: Array, weight: Array) -> float:
    """How far cut and fill may each be off for the cell's size, in cubic metres.

    `weight` (ny, nx) says which nodes count: none outside the outline, and none beside a
    vertical side, whose volume is kept exactly.
    """
    padded = np.pad(rise_m, 1, mode="reflect", reflect_type="odd")
    bend_m = padded[:-2, 1:-1] + padded[2:, 1:-1] + padded[1:-1, :-2] + padded[1:-1, 2:]
    return float((weight * np.abs(bend_m - 4 * rise_m)).sum()) * lattice.cell_m**2 / 12


@dataclass(frozen=True)
class EdgePieces:
    """The straight pieces of an outline's edge, cell by cell: row, column and outward (k, 2).

    `outward_m` points out of the outline, square to the piece and as long as it is.
    """

    row: IntArray
    column: IntArray
    outward_m: Array


def edge_pieces(lattice: Lattice, outline: BaseGeometry) -> EdgePieces:
    """An outline's edge cut at the lines of the lattice; pieces beyond the lattice left out."""
    start = np.array([lattice.x0_m, lattice.y0_m])
    cells, steps = [np.empty((0, 2), dtype=np.int64)], [np.empty((0, 2))]
    for line in shapely.get_parts(shapely.boundary(shapely.orient_polygons(outline))):
        for here, there in pairwise((shapely.get_coordinates(line) - start) / lattice.cell_m):
            share = _cuts(here, there, (lattice.nx, lattice.ny))
            middles = here + (there - here) * ((share[:-1] + share[1:]) / 2)[:, None]
            cells.append(np.floor(middles).astype(np.int64))
            steps.append((there - here) * np.diff(share)[:, None] * lattice.cell_m)
    column, row = np.concatenate(cells).T
    ahead = np.concatenate(steps)
    on = (row >= 0) & (row < lattice.ny - 1) & (column >= 0) & (column < lattice.nx - 1)
    outward_m = np.stack([ahead[:, 1], -ahead[:, 0]], axis=-1)
    return EdgePieces(row[on], column[on], outward_m[on])


def _cuts(here: Array, there: Array, most: tuple[int, int]) -> Array:
    """Shares of one straight edge, in cells, at its ends and where it meets the lattice."""
    cuts = [np.array([0.0, 1.0])]
    for a, b, last in zip(here, there, most, strict=True):
        if a != b:
            lines = np.arange(max(np.ceil(min(a, b)), -1.0), min(max(a, b), last + 1.0))
            cuts.append((lines - a) / (b - a))
    return np.unique(np.clip(np.concatenate(cuts), 0, 1))


def _middles_inside(lattice: Lattice, outline: BaseGeometry) -> BoolArray:
    x = lattice.x0_m + lattice.cell_m * (np.arange(lattice.nx - 1) + 0.5)
    y = lattice.y0_m + lattice.cell_m * (np.arange(lattice.ny - 1) + 0.5)
    return np.asarray(shapely.contains_xy(outline, *np.meshgrid(x, y)))


def _whole_m3(corners_m: Array, cell_m: float) -> Array:
    """Volume (c,) above zero of whole cells with corners (4, c)."""
    volume_m3 = np.maximum(corners_m.mean(axis=0), 0.0) * cell_m**2
    mixed = (corners_m.min(axis=0) < 0) & (corners_m.max(axis=0) > 0)
    corners = corners_m[:, mixed]
    middle = np.broadcast_to(corners.mean(axis=0), corners.shape)
    heights_m = np.stack([corners, np.roll(corners, -1, axis=0), middle], axis=-1)
    volume_m3[mixed] = positive_prisms_m3(cell_m**2 / 4, heights_m).sum(axis=0)
    return np.asarray(volume_m3)


def positive_prisms_m3(area_m2: Array | float, heights_m: Array) -> Array:
    """Volume above zero under triangles of an area (...) with corner heights (..., 3).

    With one corner above, the part above is a smaller pyramid: area z^3 / ((z-a)(z-b)) / 3.
    With two above, it is the whole signed prism less the (negative) pyramid below.
    """
    z = np.sort(heights_m, axis=-1)
    low, middle, high = z[..., 0], z[..., 1], z[..., 2]
    prism = area_m2 * z.mean(axis=-1)
    volume = np.where(
        middle > 0,
        prism + _pyramid_m3(area_m2, -low, -middle, -high),
        _pyramid_m3(area_m2, high, low, middle),
    )
    volume = np.where(low >= 0, prism, volume)
    return np.where(high <= 0, 0.0, volume)


def _pyramid_m3(area_m2: Array | float, peak: Array, low: Array, other: Array) -> Array:
    """Volume above zero of a triangle with one corner `peak` above and two not above."""
    spread = (peak - low) * (peak - other)
    share = np.divide(peak**2, spread, out=np.zeros_like(peak), where=spread > 0)
    return area_m2 * share * peak / 3


def squares(lattice: Lattice, cells: BoolArray) -> Array:
    """Some cells of the lattice as polygons (c,)."""
    row, column = np.nonzero(cells)
    x_m, y_m = lattice.x0_m + lattice.cell_m * column, lattice.y0_m + lattice.cell_m * row
    return np.asarray(shapely.box(x_m, y_m, x_m + lattice.cell_m, y_m + lattice.cell_m))


def _triangles(lattice: Lattice, corners_m: Array, cells: BoolArray) -> Array:
    """The four triangles (c, 4, 3, 3) of x, y, rise of some cells, which meet at its middle."""
    row, column = np.nonzero(cells)
    x_m = lattice.x0_m + lattice.cell_m * (column[:, None] + np.array([0, 1, 1, 0]))
    y_m = lattice.y0_m + lattice.cell_m * (row[:, None] + np.array([0, 0, 1, 1]))
    corners = np.stack([x_m, y_m, corners_m[:, cells].T], axis=-1)
    middle = np.broadcast_to(corners.mean(axis=1, keepdims=True), corners.shape)
    return np.stack([corners, np.roll(corners, -1, axis=1), middle], axis=2)


def _clipped_m3(triangles: Array, outline: BaseGeometry) -> Array:
    """Cut and fill (2, c) of the parts of cells (c, 4, 3, 3) inside the outline."""
    flat = triangles.reshape(-1, 3, 3)
    pieces, of = shapely.get_parts(
        shapely.intersection(shapely.polygons(flat[:, :, :2]), outline), return_index=True
    )
    areas = shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON
    filling, of_piece = shapely.get_parts(
        shapely.constrained_delaunay_triangles(pieces[areas]), return_index=True
    )
    corners = shapely.get_coordinates(filling).reshape(-1, 4, 2)[:, :3]
    of_triangle = of[areas][of_piece]
    height_m = _planes_at(flat[of_triangle], corners)
    area_m2 = shapely.area(filling)
    return np.stack(
        [
            np.bincount(
                of_triangle // 4,
                weights=positive_prisms_m3(area_m2, sign * height_m),
                minlength=len(triangles),
            )
            for sign in (-1, 1)
        ]
    )


def _planes_at(triangles: Array, corners: Array) -> Array:
    """Heights (k, 3) at corners (k, 3, 2) of the planes through triangles (k, 3, 3)."""
    origin = triangles[:, :1]
    edges = triangles[:, 1:] - origin
    slope = np.linalg.solve(edges[:, :, :2], edges[:, :, 2:])
    rise_m = (corners - origin[:, :, :2]) @ slope
    return np.asarray(origin[:, :, 2] + rise_m[:, :, 0])
