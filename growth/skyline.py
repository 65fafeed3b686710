"""What ground and built things leave of the sun at points: the share that passes them.

Built things are met triangle by triangle, a thing letting its open share through once, however
many of its faces are met. The ground hides the sun below the skyline it makes in each of 72
directions, straight between them; beyond the lattice it lies level. Glass, doors and trim lie
on walls and add nothing; what stands outside the yard's document is not known.

Source: ray and triangle, Moeller and Trumbore 1997, J. Graphics Tools 2(1):21-28.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from growth.obstacles import CLEAR_M, ON_WALLS
from scenes.solids import Part, Solid

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

BEARINGS, STATIONS = 72, 48
"""Directions of the skyline, and places along each that are looked at, closer when near."""

NEAREST_M, FARTHEST_M = 0.3, 200.0


def sun_past_ground_and_built(
    points_m: Array, towards: Array, solids: Sequence[Solid], height_m: Callable[[Array], Array]
) -> Floats:
    """Share of the sun in each direction (m, 3) that reaches each point (e, 3), (e, m)."""
    left = (~_under_skyline(points_m, towards, height_m)).astype(np.float32)
    for solid in solids:
        hit = np.zeros(left.shape, bool)
        for part in solid.parts if solid.open_share < 1 else ():
            if part.role not in ON_WALLS:
                hit |= _behind(points_m, towards, part, (left > 0) & ~hit)
        left[hit] *= np.float32(solid.open_share)
    return left


def _under_skyline(
    points_m: Array, towards: Array, height_m: Callable[[Array], Array]
) -> BoolArray:
    """Whether the ground hides each direction at each point, (e, m)."""
    bearing = np.arange(BEARINGS) * 2 * np.pi / BEARINGS
    away_m = np.geomspace(NEAREST_M, FARTHEST_M, STATIONS)
    offset = away_m[:, None, None] * np.stack([np.cos(bearing), np.sin(bearing)], axis=-1)
    xy, number = np.unique(points_m[:, :2], axis=0, return_inverse=True)
    ground = height_m((xy[:, None, None] + offset).reshape(-1, 2)).reshape(len(xy), STATIONS, -1)
    slope = np.full((len(points_m), BEARINGS), -np.inf)
    for station, distance in enumerate(away_m):
        rise = ground[number, station] - CLEAR_M - points_m[:, 2:]
        np.maximum(slope, rise / distance, out=slope)
    place = np.arctan2(towards[:, 1], towards[:, 0]) % (2 * np.pi) * BEARINGS / (2 * np.pi)
    before = place.astype(int) % BEARINGS
    share = place - np.floor(place)
    line = (1 - share) * slope[:, before] + share * slope[:, (before + 1) % BEARINGS]
    return np.asarray(towards[:, 2] / np.hypot(towards[:, 0], towards[:, 1]) < line)


def _behind(points_m: Array, towards: Array, part: Part, open_: BoolArray) -> BoolArray:
    """Whether a part of a solid stands before each direction at each point, among the open ones."""
    triangles = part.points_m[part.triangles]
    point, sun = np.nonzero(open_ & _may_meet(points_m, towards, part.points_m))
    hit = np.zeros(open_.shape, bool)
    for triangle in triangles[np.argsort(-_size(triangles))] if len(point) else ():
        met = _meets(points_m, towards, triangle, point, sun)
        hit[point[met], sun[met]] = True
        point, sun = point[~met], sun[~met]
    return hit


def _size(triangles: Array) -> Array:
    """Twice the area of triangles (m, 3, 3), square metres, (m,)."""
    sides = np.diff(triangles, axis=1)
    return np.asarray(np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1))


def _may_meet(points_m: Array, towards: Array, corners_m: Array) -> BoolArray:
    """Whether lines pass the upright cylinder round some corners below its top, (e, m)."""
    low, high = corners_m.min(axis=0), corners_m.max(axis=0)
    middle, radius = (low + high)[:2] / 2, np.hypot(*(high - low)[:2]) / 2
    level = np.hypot(towards[:, 0], towards[:, 1])
    unit = towards[:, :2] / level[:, None]
    away = middle - points_m[:, :2]
    along = away @ unit.T
    aside = away @ np.stack([unit[:, 1], -unit[:, 0]])
    half = np.sqrt(np.maximum(radius**2 - aside**2, 0))
    near = np.maximum(along - half, 0) * towards[:, 2] / level
    return np.asarray((half > 0) & (along + half > 0) & (near < high[2] - points_m[:, 2:]))


def _meets(
    points_m: Array, towards: Array, triangle: Array, point: IntArray, sun: IntArray
) -> BoolArray:
    """Whether the lines from the points numbered `point` towards `sun` meet a triangle (3, 3)."""
    first, second = triangle[1] - triangle[0], triangle[2] - triangle[0]
    normal = np.cross(first, second)
    axes = np.array([np.cross(second, normal), np.cross(normal, first), normal]) / (normal @ normal)
    u0, v0, w0 = axes @ (points_m - triangle[0]).T
    du, dv, dw = axes @ towards.T
    with np.errstate(divide="ignore", invalid="ignore"):
        t = -w0[point] / dw[sun]
        u, v = u0[point] + t * du[sun], v0[point] + t * dv[sun]
        return np.asarray((u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-6))
