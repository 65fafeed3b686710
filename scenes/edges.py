"""Where points lie beside a line or an outline: its nearest point, how far, on which side.

Every point is held against the straight edges that can be its nearest: points are halved
into ever smaller groups, and an edge is dropped for a group when another is surely nearer.
So an outline of a thousand edges costs little more than one of ten.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from scenes.lattice import Array, IntArray

PAIRS = 20_000
"""Groups of so many pairs of an edge and a point are no longer halved."""


@dataclass(frozen=True)
class Nearest:
    """Of each point (n,): the nearest point of the edges (n, 2), and where that lies.

    `along_m` is the length of the edges up to it; `right_m` how far the point lies to the
    right of the edge there, below zero to its left.
    """

    xy_m: Array
    away_m: Array
    along_m: Array
    right_m: Array


def edges_of(geometry: BaseGeometry) -> Array:
    """The straight edges (m, 2, 2) of a line, or of all rings of an outline, in their order."""
    lines = shapely.boundary(geometry) if geometry.geom_type == "Polygon" else geometry
    rings = [shapely.get_coordinates(line) for line in shapely.get_parts(lines)]
    return np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])


def corners_along_m(edges_m: Array) -> Array:
    """How far along each corner of edges (m, 2, 2) lies, start and end included (m + 1,)."""
    return np.append(0.0, np.cumsum(np.hypot(*(edges_m[:, 1] - edges_m[:, 0]).T)))


def lengths_along_m(line: LineString, *, step_m: float) -> Array:
    """Lengths (n,) along a line, evenly from end to end, a step or a little more apart."""
    return np.linspace(0, line.length, max(2, int(line.length / step_m) + 1))


def beside(line: LineString, along_m: Array, *, left_m: float = 0.0) -> Array:
    """Points (n, 2) so far to the left of a line, at lengths along it."""
    edges_m = edges_of(line)
    ends_m = corners_along_m(edges_m)
    edge = np.minimum(np.searchsorted(ends_m[1:], along_m), len(edges_m) - 1)
    ahead = (edges_m[edge, 1] - edges_m[edge, 0]) / np.diff(ends_m)[edge, None]
    on_line = edges_m[edge, 1] - ahead * (ends_m[edge + 1] - along_m)[:, None]
    return np.asarray(on_line + left_m * np.stack([-ahead[:, 1], ahead[:, 0]], axis=-1))


def nearest_on(edges_m: Array, xy_m: Array) -> Nearest:
    """The nearest points on edges (m, 2, 2) to points (n, 2)."""
    which = _nearest_edge(edges_m, xy_m) if len(xy_m) else np.empty(0, dtype=np.int64)
    step = (edges_m[:, 1] - edges_m[:, 0])[which]
    out = xy_m - edges_m[which, 0]
    share = np.clip(_dot(out, step) / _dot(step, step), 0.0, 1.0)
    foot = edges_m[which, 0] + share[:, None] * step
    away_m = np.hypot(*(xy_m - foot).T)
    corner_m = corners_along_m(edges_m)
    along_m = corner_m[which] + share * np.diff(corner_m)[which]
    right = np.sign(step[:, 1] * out[:, 0] - step[:, 0] * out[:, 1])
    return Nearest(foot, away_m, along_m, right * away_m)


def _nearest_edge(edges_m: Array, xy_m: Array) -> IntArray:
    """The number (n,) of the nearest edge to each point."""
    low, high = xy_m.min(axis=0), xy_m.max(axis=0)
    gap_m = np.sqrt(_gap2(edges_m, (low + high) / 2))
    near = np.flatnonzero(gap_m <= gap_m.min() + np.hypot(*(high - low)))
    axis = int(np.argmax(high - low))
    lower = xy_m[:, axis] <= (low + high)[axis] / 2
    if len(near) * len(xy_m) <= PAIRS or lower.all():
        return np.asarray(near[_gap2(edges_m[near, None], xy_m).argmin(axis=0)])
    which = np.zeros(len(xy_m), dtype=np.int64)
    for half in (lower, ~lower):
        which[half] = near[_nearest_edge(edges_m[near], xy_m[half])]
    return which


def _gap2(edges_m: Array, xy_m: Array) -> Array:
    """Squared distances of points (..., 2) to edges (..., 2, 2), spread over each other."""
    start, step = edges_m[..., 0, :], edges_m[..., 1, :] - edges_m[..., 0, :]
    x, y = xy_m[..., 0] - start[..., 0], xy_m[..., 1] - start[..., 1]
    along = (x * step[..., 0] + y * step[..., 1]) / (step**2).sum(axis=-1)
    share = np.clip(along, 0.0, 1.0)
    x, y = x - share * step[..., 0], y - share * step[..., 1]
    return np.asarray(x * x + y * y)


def _dot(one: Array, other: Array) -> Array:
    return np.asarray(np.einsum("nk,nk->n", one, other))
