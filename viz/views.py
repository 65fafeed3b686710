"""Where the picture is looked at from: the document's views, the whole yard, and the plan.

A view of the document looks from its eye at the middle of its panel, wide enough to show the
panel in its surroundings. The whole yard is seen from above, from the side where houses hide
least of the lot, the sunny one where that leaves a choice; the plan is seen straight down from
so high that it is nearly a drawing to scale. Metres and degrees.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from scenes.layout import Layout, Look
from scenes.terrain import Terrain
from viz.palette import Light

Array = NDArray[np.float64]
Triple = tuple[float, float, float]

WHOLE_YARD, PLAN = "Whole yard", "Plan"

WIDEST_DEG, NARROWEST_DEG, AROUND = 75.0, 40.0, 2.2
"""Limits of a view's angle, and how much wider than its panel a view is."""

ABOVE_DEG, OVERVIEW_DEG, PLAN_DEG = 35.0, 36.0, 10.0
SIDES_DEG = (14.0, 104.0, 284.0)
"""Where the whole yard may be seen from, clockwise from the sunny side."""
ROOFED = ("house", "garage", "shed")
FILLED = 0.94
"""Share of the picture that the whole yard fills."""


@dataclass(frozen=True)
class Eye:
    """A camera: place, point looked at, angle from left to right, and what is up."""

    name: str
    eye_m: Triple
    focal_m: Triple
    angle_deg: float
    up: Triple = (0.0, 0.0, 1.0)


def eyes(terrain: Terrain, layout: Layout, light: Light, *, tops_m: Array) -> tuple[Eye, ...]:
    """The document's views, then "Whole yard", which shows `tops_m` (n, 3), and "Plan"."""
    return (
        *(_look(look) for look in layout.looks),
        _whole_yard(terrain, layout, light, tops_m),
        _plan(terrain),
    )


def _triple(point: Array) -> Triple:
    x, y, z = (float(value) for value in point)
    return x, y, z


def _look(look: Look) -> Eye:
    to = look.panel_m - look.eye_m
    middle = to.mean(axis=0)
    distance = np.linalg.norm(middle)
    widest = np.arccos(np.clip(to @ middle / (np.linalg.norm(to, axis=1) * distance), -1, 1)).max()
    angle = np.clip(np.degrees(widest) * 2 * AROUND, NARROWEST_DEG, WIDEST_DEG)
    return Eye(look.name, _triple(look.eye_m), _triple(look.eye_m + middle), float(angle))


def _lot(terrain: Terrain) -> tuple[Array, float, float]:
    """The lot's middle on the ground (3,), and its width and depth in metres."""
    west, south, east, north = terrain.boundary.bounds
    middle = np.array([(west + east) / 2, (south + north) / 2])
    ground = float(terrain.height_m(middle[None])[0])
    return np.array([*middle, ground]), east - west, north - south


def _whole_yard(terrain: Terrain, layout: Layout, light: Light, tops_m: Array) -> Eye:
    """As near as the lot, its buildings and its plants' tops stay in the picture."""
    middle, width, depth = _lot(terrain)
    sunny = 180.0 if light.towards[1] < 0 else 0.0
    ways = [_away(sunny + turn) for turn in SIDES_DEG]
    hidden = [round(hidden_share(terrain, layout, away), 2) for away in ways]
    away = ways[int(np.argmin(hidden))]
    sides = np.array([[-0.5, -0.5, 0], [0.5, -0.5, 0], [0.5, 0.5, 0], [-0.5, 0.5, 0]])
    tops_m = _with_roofs(tops_m, terrain, layout)
    corners = np.concatenate([sides * [width, depth, 0], tops_m - middle])
    focal, distance = _framed(corners, away)
    focal = focal + middle
    return Eye(WHOLE_YARD, _triple(focal + away * distance), _triple(focal), OVERVIEW_DEG)


def _with_roofs(tops_m: Array, terrain: Terrain, layout: Layout) -> Array:
    """Those points, and those of the buildings that stand on the lot."""
    roofed = [s for s in layout.solids if s.kind in ROOFED]
    points = [np.concatenate([part.points_m for part in solid.parts]) for solid in roofed]
    lot = terrain.boundary
    roofs = [each for each in points if shapely.contains_xy(lot, *each[:, :2].mean(axis=0))]
    return np.concatenate([tops_m, *roofs])


def _away(azimuth_deg: float) -> Array:
    """Unit vector from the yard to an eye above it."""
    turn, rise = np.radians(azimuth_deg), np.radians(ABOVE_DEG)
    level = np.cos(rise)
    return np.array([np.sin(turn) * level, np.cos(turn) * level, np.sin(rise)])


def hidden_share(terrain: Terrain, layout: Layout, away: Array) -> float:
    """Share of the lot that houses hide from a far eye in direction `away`; each as its box."""
    middle, width, depth = _lot(terrain)
    steps = np.linspace(-0.48, 0.48, 25)
    grid = np.stack(np.meshgrid(steps * width, steps * depth), -1).reshape(-1, 2) + middle[:2]
    foot = np.column_stack([grid, terrain.height_m(grid)])
    hidden, under = np.zeros(len(foot), dtype=bool), np.zeros(len(foot), dtype=bool)
    for solid in layout.solids:
        if solid.kind not in ROOFED:
            continue
        points = np.concatenate([part.points_m for part in solid.parts])
        low, high = points.min(axis=0), points.max(axis=0)
        ends = np.sort(np.stack([low - foot, high - foot]) / away, axis=0)
        hidden |= np.maximum(ends[0].max(axis=1), 0.0) < ends[1].min(axis=1)
        under |= np.all((foot > low)[:, :2] & (foot < high)[:, :2], axis=1)
    return float(hidden[~under].mean()) if not under.all() else 0.0


def _framed(points: Array, away: Array) -> tuple[Array, float]:
    """Point to look at and distance from which points (n, 3) fill a 16:9 picture."""
    right = np.cross([0.0, 0.0, 1.0], away)
    right /= np.linalg.norm(right)
    up = np.cross(away, right)
    wide = np.tan(np.radians(OVERVIEW_DEG / 2)) * FILLED
    focal, distance = np.zeros(3), 1.0
    for _ in range(30):
        to = points - focal
        deep = distance - to @ away
        across, high = to @ right / deep, to @ up / deep
        aside, aloft = (across.max() + across.min()) / 2, (high.max() + high.min()) / 2
        focal = focal + (right * aside + up * aloft) * distance * 0.7
        distance *= max(np.ptp(across) / 2 / wide, np.ptp(high) / 2 * 16 / 9 / wide) ** 0.8
        distance = max(distance, float((points @ away).max()) + 1.0)
    return focal, distance


def _plan(terrain: Terrain) -> Eye:
    middle, width, depth = _lot(terrain)
    distance = (0.53 * max(width, 16 / 9 * depth) + 2.0) / np.tan(np.radians(PLAN_DEG / 2))
    return Eye(
        PLAN,
        _triple(middle + distance * np.array([0, 0, 1])),
        _triple(middle),
        PLAN_DEG,
        (0.0, 1.0, 0.0),
    )
