"""How the ground falls away from a building over the first ten feet.

From points along its walls, square to them, the ground is looked at a cell off the wall and
ten feet out: the fall over that run. Where another building, the lot's edge or the building's
own next wing comes first, the run ends there; runs under a metre are not looked at. A run that
lies mostly on paving is held against the rule for paving. Corners have no run of their own.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from scenes.lattice import Array
from scenes.lengths import METRES
from scenes.surfaces import PAVING, SurfaceShape
from scenes.terrain import Terrain

RING_M = 10 * METRES["ft"]
"""The first ten feet: IRC R401.3, as in limits.csv."""

LEAST_RUN_M = 1.0
EVERY_M = 0.5
"""Shorter runs are not looked at; how far apart runs are; no outside source."""


def ring_falls(
    terrain: Terrain,
    surfaces: tuple[SurfaceShape, ...],
    building: Polygon,
    buildings: Sequence[Polygon],
) -> dict[str, tuple[Array, Array]]:
    """Falls (n,) away from a building as rise over run and where (n, 2): on soil, on paving.

    `buildings`: all of the yard, itself included.
    """
    wall_m, outward = _along_walls(building)
    start_m = wall_m + outward * terrain.lattice.cell_m
    run_m = _free_run_m(start_m, outward, buildings, terrain.boundary)
    long_enough = run_m >= LEAST_RUN_M
    start_m, outward, run_m = start_m[long_enough], outward[long_enough], run_m[long_enough]
    end_m = start_m + outward * run_m[:, None]
    fall = (terrain.height_m(start_m) - terrain.height_m(end_m)) / run_m
    paving = shapely.union_all([s.outline for s in surfaces if s.kind in PAVING])
    paved = _share_on(paving, start_m, end_m) > 0.5
    found = {"ring": (fall[~paved], start_m[~paved])}
    if paved.any():
        found["paved ring"] = (fall[paved], start_m[paved])
    return found


def _along_walls(outline: Polygon) -> tuple[Array, Array]:
    """Points (n, 2) along the walls, and the way outwards (n, 2) at each."""
    corners = shapely.get_coordinates(shapely.geometry.polygon.orient(outline).exterior)
    points, outward = [], []
    for here, there in pairwise(corners):
        length_m = float(np.hypot(*(there - here)))
        count = max(1, int(length_m / EVERY_M))
        share = (np.arange(count) + 0.5) / count
        points.append(here + share[:, None] * (there - here))
        east, north = (there - here) / length_m
        outward.append(np.tile([north, -east], (count, 1)))
    return np.concatenate(points), np.concatenate(outward)


def _free_run_m(
    start_m: Array, outward: Array, buildings: Sequence[Polygon], lot: Polygon
) -> Array:
    """How far (n,) one gets from each start, ten feet at the most; 0 off the lot."""
    rays = shapely.linestrings(np.stack([start_m, start_m + outward * RING_M], axis=1))
    stops = shapely.union_all([*(shape.boundary for shape in buildings), lot.boundary])
    starts = shapely.points(start_m)
    hit_m = shapely.distance(starts, shapely.intersection(rays, stops))
    inside = shapely.intersects(lot, starts) & ~shapely.intersects(
        shapely.union_all(buildings), starts
    )
    return np.where(inside, np.fmin(hit_m, RING_M), 0.0)


def _share_on(area: BaseGeometry, start_m: Array, end_m: Array) -> Array:
    """The share (n,) of each line that lies on an area."""
    lines = shapely.linestrings(np.stack([start_m, end_m], axis=1))
    return np.asarray(shapely.length(shapely.intersection(lines, area)) / shapely.length(lines))
