"""Where the picture is looked at from: the document's views, the whole yard, and the plan.

A view of the document looks from its eye at the middle of its panel, wide enough to show the
panel in its surroundings. The whole yard is seen from the sunny side, from above; the plan is
seen straight down from so high that it is nearly a drawing to scale. Metres and degrees.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scenes.layout import Layout, Look
from scenes.terrain import Terrain
from viz.palette import Light

Array = NDArray[np.float64]
Triple = tuple[float, float, float]

WIDEST_DEG, NARROWEST_DEG, AROUND = 75.0, 40.0, 2.2
"""Limits of a view's angle, and how much wider than its panel a view is."""

ABOVE_DEG, OVERVIEW_DEG, PLAN_DEG = 35.0, 36.0, 10.0
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
        _whole_yard(terrain, light, tops_m),
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


def _whole_yard(terrain: Terrain, light: Light, tops_m: Array) -> Eye:
    """From the sunny side, as near as the lot and its plants' tops stay in the picture."""
    middle, width, depth = _lot(terrain)
    side = -1.0 if light.towards[1] < 0 else 1.0
    turn, rise = np.radians(14.0), np.radians(ABOVE_DEG)
    away = np.array([side * np.sin(turn), side * np.cos(turn), np.tan(rise)]) * np.cos(rise)
    sides = np.array([[-0.5, -0.5, 0], [0.5, -0.5, 0], [0.5, 0.5, 0], [-0.5, 0.5, 0]])
    corners = np.concatenate([sides * [width, depth, 0], tops_m - middle])
    focal, distance = _framed(corners, away)
    focal = focal + middle
    return Eye("Whole yard", _triple(focal + away * distance), _triple(focal), OVERVIEW_DEG)


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
        middle = (high.max() + high.min()) / 2
        focal = focal + up * middle * distance * 0.7
        distance *= (
            max(np.abs(across).max() / wide, (high.max() - high.min()) / 2 * 16 / 9 / wide) ** 0.8
        )
        distance = max(distance, float((points @ away).max()) + 1.0)
    return focal, distance


def _plan(terrain: Terrain) -> Eye:
    middle, width, depth = _lot(terrain)
    distance = (0.53 * max(width, 16 / 9 * depth) + 2.0) / np.tan(np.radians(PLAN_DEG / 2))
    return Eye(
        "Plan",
        _triple(middle + distance * np.array([0, 0, 1])),
        _triple(middle),
        PLAN_DEG,
        (0.0, 1.0, 0.0),
    )
