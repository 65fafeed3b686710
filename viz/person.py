"""A person of 1.7 m for scale: a plain standing figure, and where it stands in each view.

The figure is a closed body of rings, made here. It stands upright on the graded ground of the
lot, off beds, water and steps, clear of built things and of low crowns at their largest; near
the middle of the view, on a surface that is walked on where one is about as near. Metres.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from growth.stand import Stand
from scenes.layout import Layout
from scenes.solids import Part, Solid, joined
from scenes.terrain import Terrain
from viz.views import Eye, Triple

Array = NDArray[np.float64]

TALL_M = 1.7
SIDES = 14
CHEST_M = np.array([0.0, 0.0, 1.2])
"""Above the feet: what must be seen of the figure."""

Ring = tuple[float, float, float, float, float]
"""Height, middle to the right and ahead, half width and half depth, in metres."""

HEAD: Sequence[Ring] = (
    (1.46, 0, 0, 0.03, 0.03), (1.49, 0, 0, 0.065, 0.07), (1.54, 0, 0.01, 0.078, 0.092),
    (1.60, 0, 0.01, 0.081, 0.097), (1.65, 0, 0, 0.07, 0.082), (1.685, 0, 0, 0.042, 0.05),
    (TALL_M, 0, 0, 0.004, 0.004),
)  # fmt: skip
TRUNK: Sequence[Ring] = (
    (0.78, 0, 0, 0.10, 0.08), (0.86, 0, 0, 0.165, 0.115), (0.98, 0, 0, 0.155, 0.11),
    (1.12, 0, 0, 0.15, 0.105), (1.28, 0, 0, 0.18, 0.12), (1.37, 0, 0, 0.19, 0.105),
    (1.42, 0, 0, 0.12, 0.08), (1.45, 0, 0, 0.055, 0.055), (1.49, 0, 0, 0.05, 0.05),
)  # fmt: skip
LEG: Sequence[Ring] = (
    (0, 0.10, 0.04, 0.05, 0.13), (0.06, 0.10, 0.02, 0.048, 0.09), (0.12, 0.10, 0, 0.042, 0.05),
    (0.30, 0.10, 0, 0.058, 0.062), (0.48, 0.095, 0, 0.06, 0.062), (0.84, 0.085, 0, 0.085, 0.095),
)  # fmt: skip
ARM: Sequence[Ring] = (
    (0.70, 0.245, 0.03, 0.025, 0.035), (0.80, 0.245, 0.02, 0.035, 0.042),
    (1.05, 0.232, 0, 0.042, 0.045), (1.30, 0.21, 0, 0.052, 0.055), (1.39, 0.18, 0, 0.045, 0.05),
)  # fmt: skip

NEARLY = 1e-9
"""Distances of this much more are looked at too, for they are rounded in other ways."""

APART_M, UNDER_M, STEP_M = 0.5, 2.0, 0.5
"""Room to built things and trunks, under roofs and crowns; and between places looked at."""

OFF = ("water", "steps", "ramp")
WALKED = ("walk", "patio", "deck", "lawn", "gravel")
BESIDE_DEG = 4.0
"""So much nearer to the middle of the view may unpaved ground lie and still not be taken."""
EDGE_M = 0.35
NEAREST_M = 2.5


def figure(at: Triple) -> Solid:
    """The figure with its feet at a place, looking south."""
    mirrored = [[(z, -x, y, a, b) for z, x, y, a, b in rings] for rings in (LEG, ARM)]
    parts = [_body(rings) for rings in (HEAD, TRUNK, LEG, ARM, *mirrored)]
    whole = joined("figure", parts)
    points = whole.points_m * [1, -1, 1] + np.asarray(at)
    return Solid("person", "person", 0.0, (Part("figure", points, whole.triangles[:, ::-1]),))


def _body(rings: Sequence[Ring]) -> Part:
    """A closed body through level rings, from the lowest up."""
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    points = [
        np.column_stack([x + a * np.cos(turn), y + b * np.sin(turn), np.full(SIDES, z)])
        for z, x, y, a, b in rings
    ]
    n, top = np.arange(SIDES), SIDES * (len(rings) - 1)
    after = (n + 1) % SIDES
    sides = [
        np.concatenate([
            np.column_stack([n + k, after + k, after + k + SIDES]),
            np.column_stack([n + k, after + k + SIDES, n + k + SIDES]),
        ])
        for k in range(0, top, SIDES)
    ]  # fmt: skip
    fan = np.arange(1, SIDES - 1)
    zeros = np.zeros_like(fan)
    ends = [np.column_stack([zeros, fan + 1, fan]), np.column_stack([zeros, fan, fan + 1]) + top]
    return Part("figure", np.concatenate(points), np.concatenate([*sides, *ends]))


@dataclass(frozen=True)
class Places:
    """Where the figure may stand: feet (n, 3), and which of them on a surface for walking."""

    feet_m: Array
    walked: NDArray[np.bool_]


def standing(
    places: Places, terrain: Terrain, layout: Layout, stand: Stand, views: Sequence[Eye]
) -> tuple[Triple | None, ...]:
    """The feet of the figure in each view; None where no place is both free and seen."""
    clear = ~_under_crowns(stand, places.feet_m[:, :2])
    free = Places(places.feet_m[clear], places.walked[clear])
    return tuple(_in_view(free, terrain, layout, eye) for eye in views)


def open_ground(terrain: Terrain, layout: Layout) -> Places:
    """Where the figure may stand as far as beds and built things go."""
    west, south, east, north = terrain.boundary.bounds
    grid = np.meshgrid(np.arange(west, east, STEP_M), np.arange(south, north, STEP_M))
    xy_m = np.stack(grid, axis=-1).reshape(-1, 2)
    spots = shapely.points(xy_m)
    free = shapely.contains(_ready(terrain.boundary.buffer(-EDGE_M)), spots)
    for taken in _taken(terrain, layout):
        free[free] = ~shapely.intersects(_ready(taken), spots[free])
    paths = shapely.union_all(
        [each.outline.buffer(-EDGE_M) for each in layout.surfaces if each.kind in WALKED]
    )
    walked = shapely.intersects(_ready(paths), spots[free])
    return Places(np.column_stack([xy_m, terrain.height_m(xy_m)])[free], walked)


def _ready(shape: BaseGeometry) -> BaseGeometry:
    """The same shape, made ready to be asked of many points."""
    shapely.prepare(shape)
    return shape


def _taken(terrain: Terrain, layout: Layout) -> Iterator[BaseGeometry]:
    """Ground that the figure keeps off."""
    yield from (bed.outline for bed in layout.beds)
    yield from (each.outline for each in layout.surfaces if each.kind in OFF)
    for solid in layout.solids:
        for part in solid.parts:
            corners = part.points_m[part.triangles]
            ground = terrain.height_m(corners[:, 0, :2])
            low = corners[corners[..., 2].min(axis=1) < ground + UNDER_M]
            if len(low):
                shapes = shapely.convex_hull(shapely.multipoints(low[..., :2]))
                yield shapely.union_all(shapely.buffer(shapes, APART_M))


def _under_crowns(stand: Stand, xy_m: Array) -> NDArray[np.bool_]:
    """Whether places (n, 2) lie under low crowns at their largest, or at a trunk."""
    low = stand.crown_base_m.expected < UNDER_M
    reach = np.where(low, stand.spread_m.expected / 2, 0).max(axis=0, initial=0) + 0.2
    reach = np.maximum(reach, APART_M)
    under = np.zeros(len(xy_m), dtype=bool)
    near = cKDTree(xy_m).query_ball_point(stand.xyz_m[:, :2], reach * (1 + NEARLY))
    place = np.concatenate([*near, []]).astype(int)
    plant = np.repeat(np.arange(len(reach)), [len(each) for each in near])
    away_m = np.hypot(*(xy_m[place] - stand.xyz_m[plant, :2]).T)
    under[place[away_m < reach[plant]]] = True
    return under


def _in_view(places: Places, terrain: Terrain, layout: Layout, eye: Eye) -> Triple | None:
    """The seen place nearest to the middle of a view."""
    to = places.feet_m + CHEST_M - np.asarray(eye.eye_m)
    ahead = np.asarray(eye.focal_m) - np.asarray(eye.eye_m)
    far = np.linalg.norm(to, axis=1)
    off = np.degrees(np.arccos(np.clip(to @ ahead / (far * np.linalg.norm(ahead)), -1, 1)))
    cost = off + BESIDE_DEG * eye.angle_deg / 60 * ~places.walked
    seen = np.flatnonzero((off < 0.4 * eye.angle_deg) & (far > NEAREST_M))
    for place in seen[np.argsort(cost[seen], kind="stable")]:
        if not _hidden(places.feet_m[place] + CHEST_M, terrain, layout, eye):
            x, y, z = (float(value) for value in places.feet_m[place])
            return x, y, z
    return None


def _hidden(at: Array, terrain: Terrain, layout: Layout, eye: Eye) -> bool:
    """Whether ground or a built thing stands between the eye and a point."""
    from_, way = np.asarray(eye.eye_m), at - np.asarray(eye.eye_m)
    line = from_ + np.linspace(0.02, 0.98, 60)[:, None] * way
    if (line[:, 2] < terrain.height_m(line[:, :2])).any():
        return True
    return any(
        _meets(part.points_m[part.triangles], from_, way)
        for solid in layout.solids
        for part in solid.parts
    )


def _meets(corners: Array, eye: Array, way: Array) -> bool:
    """Whether the line from an eye along `way` meets any triangle (n, 3, 3) before its end."""
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    over = np.cross(way, two)
    whole = (one * over).sum(axis=1)
    whole = np.where(np.abs(whole) < 1e-12, np.inf, whole)
    start = eye - corners[:, 0]
    u = (start * over).sum(axis=1) / whole
    side = np.cross(start, one)
    v, far = (side @ way) / whole, (two * side).sum(axis=1) / whole
    return bool(((u >= 0) & (v >= 0) & (u + v <= 1) & (far > 0.01) & (far < 0.99)).any())
