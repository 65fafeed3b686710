"""Cut and fill between two surfaces on one lattice, inside an outline.

Each cell is taken as four triangles that meet at its middle, whose difference is the mean
of the four corners: over a whole cell this is the trade's four-corner method (area times
the mean difference), and where the difference changes sign a triangle is split along its
zero line, so cut and fill are exact for these facets. Triangles that the outline crosses
are clipped by it. Swell and shrinkage are not part of these bank volumes.

Source: four-corner (borrow pit) method, as in surveying textbooks; the split is closed form.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from scenes.lattice import Array, Lattice

BLOCK = 200_000
"""Cells taken at a time: keeps memory small on the largest lattices."""


@dataclass(frozen=True)
class Earthwork:
    """Bank volumes inside the boundary; net is fill less cut (above zero: soil is needed)."""

    cell_m: float
    cut_m3: float
    fill_m3: float
    net_m3: float


def cut_and_fill(
    lattice: Lattice, *, before_m: Array, after_m: Array, outline: BaseGeometry
) -> Earthwork:
    """Cut, fill and net volume in cubic metres between two surfaces, inside the outline."""
    shapely.prepare(outline)
    cells = _moved_cells(lattice, after_m - before_m)
    blocks = np.array_split(cells, len(cells) // BLOCK + 1)
    cut_m3, fill_m3 = np.sum([_cut_and_fill_m3(block, outline) for block in blocks], axis=0)
    return Earthwork(lattice.cell_m, float(cut_m3), float(fill_m3), float(fill_m3 - cut_m3))


def _moved_cells(lattice: Lattice, difference_m: Array) -> Array:
    """Corners (c, 4, 3) of x, y, difference, of the cells where anything moves."""
    surface = np.concatenate([lattice.nodes_m(), difference_m[..., None]], axis=-1)
    corners = np.stack(
        [surface[:-1, :-1], surface[:-1, 1:], surface[1:, 1:], surface[1:, :-1]], axis=2
    ).reshape(-1, 4, 3)
    return corners[np.any(corners[:, :, 2] != 0, axis=1)]


def _cut_and_fill_m3(cells: Array, outline: BaseGeometry) -> tuple[float, float]:
    """Cut and fill in cubic metres of the parts of some cells inside the outline."""
    squares = shapely.polygons(cells[:, :, :2])
    whole = shapely.contains_properly(outline, squares)
    crossed = shapely.intersects(outline, squares) & ~whole
    on_edge = _clipped(_triangles(cells[crossed]), outline)
    inside = np.concatenate([_triangles(cells[whole]), on_edge])
    cut_m3 = positive_prisms_m3(inside * np.array([1.0, 1.0, -1.0])).sum()
    return float(cut_m3), float(positive_prisms_m3(inside).sum())


def _triangles(cells: Array) -> Array:
    """The four triangles (4c, 3, 3) of each cell that meet at its middle."""
    middle = cells.mean(axis=1)
    return np.concatenate(
        [np.stack([cells[:, k], cells[:, (k + 1) % 4], middle], axis=1) for k in range(4)]
    )


def positive_prisms_m3(triangles: Array) -> Array:
    """Volume (t,) between zero and each triangle (t, 3, 3), where the triangle is above zero.

    With one corner above, the part above is a smaller pyramid: area z^3 / ((z-a)(z-b)) / 3.
    With two above, it is the whole signed prism less the (negative) pyramid below.
    """
    z = np.sort(triangles[:, :, 2], axis=1)
    area_m2 = _area_m2(triangles)
    one_above = _pyramid_m3(area_m2, z[:, 2], z[:, 0], z[:, 1])
    one_below = _pyramid_m3(area_m2, -z[:, 0], -z[:, 1], -z[:, 2])
    prism = area_m2 * z.mean(axis=1)
    volume = np.where(z[:, 1] > 0, prism + one_below, one_above)
    volume = np.where(z[:, 0] >= 0, prism, volume)
    return np.where(z[:, 2] <= 0, 0.0, volume)


def _area_m2(triangles: Array) -> Array:
    a, b = triangles[:, 1, :2] - triangles[:, 0, :2], triangles[:, 2, :2] - triangles[:, 0, :2]
    return 0.5 * np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])


def _pyramid_m3(area_m2: Array, peak: Array, low: Array, other: Array) -> Array:
    """Volume above zero of a triangle with one corner `peak` above and two not above."""
    spread = (peak - low) * (peak - other)
    share = np.divide(peak**2, spread, out=np.zeros_like(peak), where=spread > 0)
    return area_m2 * share * peak / 3


def _clipped(triangles: Array, outline: BaseGeometry) -> Array:
    """Triangles (k, 3, 3) that fill the parts of the triangles inside the outline."""
    pieces, of = shapely.get_parts(
        shapely.intersection(shapely.polygons(triangles[:, :, :2]), outline), return_index=True
    )
    areas = shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON
    filling, of_piece = shapely.get_parts(
        shapely.constrained_delaunay_triangles(pieces[areas]), return_index=True
    )
    corners = shapely.get_coordinates(filling).reshape(-1, 4, 2)[:, :3]
    height_m = _planes_at(triangles[of[areas][of_piece]], corners)
    return np.concatenate([corners, height_m[..., None]], axis=-1)


def _planes_at(triangles: Array, corners: Array) -> Array:
    """Heights (k, 3) at corners (k, 3, 2) of the planes through triangles (k, 3, 3)."""
    origin = triangles[:, :1]
    edges = triangles[:, 1:] - origin
    slope = np.linalg.solve(edges[:, :, :2], edges[:, :, 2:])
    rise_m = (corners - origin[:, :, :2]) @ slope
    return np.asarray(origin[:, :, 2] + rise_m[:, :, 0])
