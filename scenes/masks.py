"""Which nodes of the lattice lie inside an outline.

Only the rows and columns that the outline reaches are looked at: on a large lot with many
small outlines that is what makes the difference.
"""

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from scenes.lattice import Array, BoolArray, IntArray, Lattice, Window, part, within


def nodes_inside(lattice: Lattice, outline: BaseGeometry) -> BoolArray:
    """Whether each node (ny, nx) lies inside the outline or on its edge."""
    inside = np.zeros((lattice.ny, lattice.nx), dtype=bool)
    if outline.is_empty:
        return inside
    window = window_over(lattice, outline)
    nodes_m = part(lattice, window).nodes_m()
    inside[window] = shapely.intersects_xy(outline, nodes_m[..., 0], nodes_m[..., 1])
    return inside


def window_over(lattice: Lattice, outline: BaseGeometry, *, margin_m: float = 0.0) -> Window:
    """The rows and columns of the nodes that an outline and a margin round it reach."""
    low_m, high_m = np.array(outline.bounds).reshape(2, 2)
    return within(lattice, low_m - margin_m, high_m + margin_m)


def points_m(lattice: Lattice, flat: IntArray) -> Array:
    """Positions (n, 2) in metres of nodes by their flat index."""
    row, column = np.divmod(flat, lattice.nx)
    return np.column_stack(
        [lattice.x0_m + lattice.cell_m * column, lattice.y0_m + lattice.cell_m * row]
    )
