"""Vertical sides on a lattice: a step at an outline kept in the nodes beside it.

A surface between nodes cannot stand upright, so a step is spread over the cell it falls in.
The values beside it are chosen so that the volume is exact wherever the ground is even: a
node's own square holds what of the rise lies in it, and a small term, an eighth of a cell
times the rise's slope across the edge, makes up for the facets that slant down beyond it.
Without it the cut and the fill of a narrow walk across a slope come out some per cent low.

Source: closed form; the trapezoidal rule up to a free end, a x + s x^2 / 2 over the last cell.
"""

from collections.abc import Callable

import numpy as np
import shapely
from shapely.geometry import Polygon

from scenes.lattice import Array, BoolArray, Lattice
from scenes.volumes import crossed_cells

ASIDE = 1e-6
"""Squares are shifted by this share of a cell, so that no side runs along an outline."""


def with_vertical_sides(
    outline: Polygon,
    lattice: Lattice,
    *,
    inside: BoolArray,
    rise_m: Array,
    rise_at: Callable[[Array], Array],
) -> tuple[Array, Array]:
    """A rise (ny, nx) that stops at an outline, and the share of each node's square inside.

    `rise_m` is the rise at the nodes, `rise_at` gives it at points.
    """
    cell_m = lattice.cell_m
    shift_m = (0.5 + ASIDE) * cell_m
    squares = Lattice(
        lattice.x0_m - shift_m, lattice.y0_m - shift_m, cell_m, lattice.nx + 1, lattice.ny + 1
    )
    crossed = crossed_cells(squares, outline)
    row, column = np.nonzero(crossed)
    low_m = np.stack([squares.x0_m + cell_m * column, squares.y0_m + cell_m * row], axis=-1)
    stepped_m, cover = np.where(inside, rise_m, 0.0), inside.astype(float)
    stepped_m[crossed], cover[crossed] = _beside(outline, low_m, cell_m, rise_at)
    return stepped_m, cover


def _beside(
    outline: Polygon, low_m: Array, cell_m: float, rise_at: Callable[[Array], Array]
) -> tuple[Array, Array]:
    """The value (k,) of the nodes whose squares the outline crosses, and their share inside."""
    boxes = shapely.box(*low_m.T, *(low_m + cell_m).T)
    pieces = shapely.intersection(boxes, outline)
    met = ~shapely.is_empty(pieces)
    share = shapely.area(pieces) / cell_m**2
    outward_m = _outward_m(outline, low_m[met], cell_m)
    edge_m = np.hypot(*outward_m.T)
    there = shapely.get_coordinates(shapely.centroid(pieces[met]))
    behind = there - outward_m / np.maximum(edge_m, 1e-12)[:, None] * cell_m / 2
    rise_m = rise_at(there)
    value_m = np.zeros(len(low_m))
    value_m[met] = share[met] * rise_m + edge_m / (4 * cell_m) * (rise_m - rise_at(behind))
    return value_m, share


def _outward_m(outline: Polygon, low_m: Array, cell_m: float) -> Array:
    """The outline's edge in each square, as its length (k, 2) along x and y, pointing out.

    By the divergence theorem it is what the square's own sides inside the outline lack.
    """
    corners = low_m[:, None] + cell_m * np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]])
    sides = shapely.linestrings(np.stack([corners[:, :-1], corners[:, 1:]], axis=2))
    south, east, north, west = shapely.length(shapely.intersection(sides, outline)).T
    return np.stack([west - east, south - north], axis=-1)
