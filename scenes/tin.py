"""The ground as surveyed: a surface of flat triangles through the measured points.

The triangles are the survey's own where it brings them, else those of Delaunay. Beyond them
a node takes the height of the nearest place on their edge: the ground runs on level,
outwards. A fitted plane would carry the slope on, but it can leave the range of measured
heights by any amount; running level never does, which is the calmer guess. Such nodes are
flagged.
"""

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from shapely.geometry import Polygon

from scenes.faces import outer_edges
from scenes.lattice import Array, BoolArray, IntArray, Lattice
from scenes.survey import Survey

ON_EDGE_M = 1e-6
"""Nodes this near to the surface count as on it: they are on its edge but for rounding."""


def surveyed_ground(survey: Survey, lattice: Lattice) -> tuple[Array, BoolArray]:
    """Heights (ny, nx) in metres at the nodes, and which of them lie beyond the survey."""
    middle = survey.points_m[:, :2].mean(axis=0)
    points_m = survey.points_m - [*middle, 0.0]
    nodes_m = (lattice.nodes_m() - middle).reshape(-1, 2)
    if survey.faces is None:
        net = Delaunay(points_m[:, :2])
        edges = np.asarray(net.convex_hull)
        heights_m = LinearNDInterpolator(net, points_m[:, 2])(nodes_m)
    else:
        edges = outer_edges(survey.faces)
        heights_m = _on_faces(points_m, survey.faces, nodes_m)
    lost = np.flatnonzero(np.isnan(heights_m))
    beyond = np.zeros(len(nodes_m), dtype=bool)
    heights_m[lost], apart_m = _nearest_on_edges(points_m[edges], nodes_m[lost])
    beyond[lost] = apart_m > ON_EDGE_M
    shape = (lattice.ny, lattice.nx)
    return heights_m.reshape(shape), beyond.reshape(shape)


def share_beyond(boundary: Polygon, survey: Survey) -> float:
    """The share of the lot's area that lies beyond the surveyed triangles."""
    if survey.faces is None:
        hull = shapely.MultiPoint(survey.points_m[:, :2]).convex_hull
        covered_m2 = boundary.intersection(hull).area
    else:
        triangles = shapely.polygons(survey.points_m[survey.faces][:, :, :2])
        covered_m2 = shapely.area(shapely.intersection(triangles, boundary)).sum()
    return float(1 - covered_m2 / boundary.area)


def _on_faces(points_m: Array, faces: IntArray, xy_m: Array) -> Array:
    """Heights (n,) on given triangles, nan where there is none."""
    from matplotlib.tri import LinearTriInterpolator, Triangulation  # heavy, and seldom needed

    net = Triangulation(points_m[:, 0], points_m[:, 1], faces)
    heights_m = LinearTriInterpolator(net, points_m[:, 2])(xy_m[:, 0], xy_m[:, 1])
    return np.asarray(heights_m.filled(np.nan), dtype=float)


def _nearest_on_edges(edges_m: Array, xy_m: Array) -> tuple[Array, Array]:
    """Height (n,) of the nearest place on the edges (m, 2, 3), and how far it is, in metres."""
    tree = shapely.STRtree(shapely.linestrings(edges_m[:, :, :2]))
    points = shapely.points(xy_m)
    nearest = edges_m[tree.nearest(points)]
    reach_m = nearest[:, 1] - nearest[:, 0]
    along = ((xy_m - nearest[:, 0, :2]) * reach_m[:, :2]).sum(axis=1)
    share = np.clip(along / (reach_m[:, :2] ** 2).sum(axis=1), 0, 1)[:, None]
    place_m = nearest[:, 0] + share * reach_m
    return place_m[:, 2], np.hypot(*(xy_m - place_m[:, :2]).T)
