"""The edge of a bed: straight from point to point, or one smooth closed curve.

A smooth edge is a cubic spline through the points, its parameter the square root of the
distance between them (centripetal), which keeps it from looping where points are crowded.
At corners the curve is cut, so they stay sharp. A curve that crosses itself all the same
is refused.

Source: E. T. Y. Lee, Choosing nodes in parametric curve interpolation, Computer-Aided
Design 21 (1989): the centripetal parameter.
"""

import numpy as np
from scipy.interpolate import CubicSpline
from shapely.geometry import Polygon

from scenes.document import Bed
from scenes.lattice import Array

STEPS = 12
"""Straight steps drawn between two points of a smooth edge."""


def bed_outline(bed: Bed) -> Polygon:
    """The area of a bed inside its edge; it may cross itself, which the caller must check."""
    points_m = np.array(bed.edge, dtype=float)
    if not bed.smooth:
        return Polygon(points_m)
    return Polygon(smooth_edge_m(points_m, corners=bed.corners))


def smooth_edge_m(points_m: Array, *, corners: tuple[int, ...]) -> Array:
    """A closed curve (m, 2) in metres through points (n, 2), sharp at the corners."""
    if not corners:
        closed = np.vstack([points_m, points_m[:1]])
        return _curve_m(closed, ends="periodic")[:-1]
    cuts = sorted(set(corners))
    ends = [*cuts[1:], cuts[0] + len(points_m)]
    pieces = [
        _curve_m(points_m[np.arange(start, end + 1) % len(points_m)], ends="natural")[:-1]
        for start, end in zip(cuts, ends, strict=True)
    ]
    return np.vstack(pieces)


def _curve_m(points_m: Array, *, ends: str) -> Array:
    """A cubic spline through the points, a dozen steps from each to the next."""
    chords_m = np.linalg.norm(np.diff(points_m, axis=0), axis=1)
    knots = np.concatenate([[0.0], np.cumsum(np.sqrt(chords_m))])
    parts = np.interp(np.arange(STEPS * len(chords_m) + 1) / STEPS, np.arange(len(knots)), knots)
    return np.asarray(CubicSpline(knots, points_m, bc_type=ends)(parts))
