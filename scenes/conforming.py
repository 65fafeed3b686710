"""Points set on lines until Delaunay's triangles run along them.

A piece of a line is an edge of the triangles when no other point lies in the circle over it.
Pieces with such a point are split, the new point on the line with its level there, so that
the line itself stays as it was. At a corner pieces take lengths of powers of two metres,
without which two lines at a sharp angle would split each other for ever.

Source: J. Ruppert, J. Algorithms 18 (1995) 548-585, doi 10.1006/jagm.1995.1021: splitting of
encroached segments, and concentric shells at acute angles.
"""

import numpy as np
from scipy.spatial import cKDTree

from scenes.lattice import Array, BoolArray, IntArray
from scenes.shots import MOST_POINTS

ON_CIRCLE = 1 + 1e-9
"""Points on the circle but for rounding count as inside: there Delaunay may choose."""


def split_until_edges(points_m: Array, pieces: IntArray) -> Array:
    """The points (n, 3) and those set on the pieces (m, 2) until all are Delaunay edges.

    ValueError "wrong; remedy" where pieces lie so close that there is no end to it.
    """
    corners = len(points_m)
    while (split := _encroached(points_m, pieces)).any():
        if len(points_m) + np.count_nonzero(split) > MOST_POINTS:
            x, y = points_m[pieces[split][0, 0], :2]
            wrong = f"breaklines near x {x:.2f} m, y {y:.2f} m of the yard lie too close"
            raise ValueError(f"{wrong}; join them where they meet, or move them apart")
        first, last = pieces[split].T
        new = np.arange(len(first)) + len(points_m)
        points_m = np.vstack([points_m, _split_points(points_m, pieces[split], corners)])
        halves = (np.column_stack([first, new]), np.column_stack([new, last]))
        pieces = np.vstack([pieces[~split], *halves])
    return points_m


def _encroached(points_m: Array, pieces: IntArray) -> BoolArray:
    """Which pieces have a point inside the circle over them, or on it."""
    start, end = np.moveaxis(points_m[pieces, :2], 1, 0)
    half_m = np.hypot(*(end - start).T) / 2
    apart_m, near = cKDTree(points_m[:, :2]).query((start + end) / 2, k=3)
    other = (near != pieces[:, :1]) & (near != pieces[:, 1:])
    inside = other & (apart_m <= half_m[:, None] * ON_CIRCLE)
    return np.asarray(inside.any(axis=1))


def _split_points(points_m: Array, pieces: IntArray, corners: int) -> Array:
    """A point on each piece: its middle, or a power of two metres from its one corner."""
    start, end = np.moveaxis(points_m[pieces], 1, 0)
    length_m = np.hypot(*(end - start)[:, :2].T)
    share = np.exp2(np.round(np.log2(length_m / 2))) / length_m
    at_corner = pieces < corners
    along = np.where(at_corner[:, 0], share, 1 - share)
    along = np.where(at_corner[:, 0] == at_corner[:, 1], 0.5, along)
    return np.asarray(start + along[:, None] * (end - start))
