"""What ground and built things leave of the sun at points: the share that passes them.

Built things are met triangle by triangle, a thing letting its open share through once, however
many of its faces are met. The ground hides the sun below the skyline it makes in each of
many directions, straight between them; beyond the lattice it lies level. Glass, doors and trim lie
on walls and add nothing; what stands outside the yard's document is not known.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.obstacles import CLEAR_M, ON_WALLS
from growth.shade import level_ways
from scenes.solids import Part, Solid

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
BoolArray = NDArray[np.bool_]

FINE, COARSE = (72, 48), (36, 24)
"""Directions of the skyline, and places along each that are looked at, closer when near: for
single plants, and for the many cells of a map."""

NEAREST_M, FARTHEST_M = 0.3, 200.0


def sun_past_ground_and_built(
    points_m: Array,
    towards: Array,
    solids: Sequence[Solid],
    height_m: Callable[[Array], Array],
    *,
    skyline: tuple[int, int] = FINE,
) -> Floats:
    """Share of the sun in each direction (m, 3) that reaches each point (e, 3), (e, m)."""
    left = (~_under_skyline(points_m, towards, height_m, *skyline)).astype(np.float32)
    for solid in solids:
        hit = np.zeros(left.shape, bool)
        for part in solid.parts if solid.open_share < 1 else ():
            if part.role not in ON_WALLS:
                hit |= _behind(points_m, towards, part)
        left[hit] *= np.float32(solid.open_share)
    return left


def _under_skyline(
    points_m: Array,
    towards: Array,
    height_m: Callable[[Array], Array],
    bearings: int,
    stations: int,
) -> BoolArray:
    """Whether the ground hides each direction at each point, (e, m)."""
    bearing = np.arange(bearings) * 2 * np.pi / bearings
    away_m = np.geomspace(NEAREST_M, FARTHEST_M, stations)
    offset = away_m[:, None, None] * np.stack([np.cos(bearing), np.sin(bearing)], axis=-1)
    xy, number = np.unique(points_m[:, :2], axis=0, return_inverse=True)
    ground = height_m((xy[:, None, None] + offset).reshape(-1, 2)).reshape(len(xy), stations, -1)
    slope = np.full((len(points_m), bearings), -np.inf)
    for station, distance in enumerate(away_m):
        rise = ground[number, station] - CLEAR_M - points_m[:, 2:]
        np.maximum(slope, rise / distance, out=slope)
    place = np.arctan2(towards[:, 1], towards[:, 0]) % (2 * np.pi) * bearings / (2 * np.pi)
    before = place.astype(int) % bearings
    share = place - np.floor(place)
    line = (1 - share) * slope[:, before] + share * slope[:, (before + 1) % bearings]
    return np.asarray(towards[:, 2] / np.hypot(towards[:, 0], towards[:, 1]) < line)


def _behind(points_m: Array, towards: Array, part: Part) -> BoolArray:
    """Whether a part of a solid stands before each direction at each point, (e, m)."""
    from growth import sunward  # loads the compiler, a quarter of a second

    triangles = part.points_m[part.triangles]
    ends = part.points_m.min(axis=0), part.points_m.max(axis=0)
    hit = np.zeros((len(points_m), len(towards)), bool)
    lines = (
        points_m,
        towards,
        level_ways(towards),
        triangles[np.argsort(-_size(triangles))],
        *ends,
    )

    def work(first: int, end: int) -> None:
        sunward.behind(*lines, first, end, np.empty(len(towards), np.float32), hit)

    in_parts(work, len(points_m))
    return hit


def _size(triangles: Array) -> Array:
    """Twice the area of triangles (m, 3, 3), square metres, (m,)."""
    sides = np.diff(triangles, axis=1)
    return np.asarray(np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1))
