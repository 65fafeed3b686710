"""The ground as surveyed: a surface of flat triangles through the measured points.

Inside the hull of the points, heights come from their Delaunay triangles. Beyond it a node
takes the height of the nearest point of the hull: the ground runs on level, outwards. A
fitted plane would carry the slope on, but it can leave the range of measured heights by
any amount; running level never does, which is the calmer guess. Such nodes are flagged.
"""

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator, NearestNDInterpolator

from scenes.lattice import Array, BoolArray, Lattice

ON_HULL_M = 1e-6
"""Nodes this near to the hull count as inside: they are on its edge but for rounding."""


def surveyed_ground(points_m: Array, lattice: Lattice) -> tuple[Array, BoolArray]:
    """Heights (ny, nx) in metres at the nodes, and which of them lie beyond the survey."""
    middle = points_m[:, :2].mean(axis=0)
    hull = shapely.MultiPoint(points_m[:, :2] - middle).convex_hull
    nodes = (lattice.nodes_m() - middle).reshape(-1, 2)
    grown = hull.buffer(ON_HULL_M, join_style="mitre")
    shapely.prepare(grown)
    beyond = ~shapely.contains_xy(grown, nodes)
    heights_m = _through_points(points_m - [*middle, 0.0], _onto_hull(hull, nodes))
    shape = (lattice.ny, lattice.nx)
    return heights_m.reshape(shape), beyond.reshape(shape)


def _onto_hull(hull: shapely.Polygon, xy_m: Array) -> Array:
    """The points, those beyond the hull moved to its nearest edge, all a hair inside."""
    shapely.prepare(hull)
    beyond = ~shapely.contains_xy(hull, xy_m)
    moved = xy_m.copy()
    along_m = shapely.line_locate_point(hull.exterior, shapely.points(xy_m[beyond]))
    edge = shapely.line_interpolate_point(hull.exterior, along_m)
    middle = np.array(hull.centroid.coords[0])
    moved[beyond] = middle + (shapely.get_coordinates(edge) - middle) * (1 - 1e-9)
    return moved


def _through_points(points_m: Array, xy_m: Array) -> Array:
    """Heights on the triangles through the points; by rounding outside them, the nearest's."""
    heights_m = LinearNDInterpolator(points_m[:, :2], points_m[:, 2])(xy_m)
    lost = np.isnan(heights_m)
    heights_m[lost] = NearestNDInterpolator(points_m[:, :2], points_m[:, 2])(xy_m[lost])
    return np.asarray(heights_m, dtype=float)
