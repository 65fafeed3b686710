"""Symbols of plants seen from above, drawn at their spread, told apart without colour.

By the general conventions of the trade: a loose edge for what loses its leaves, spikes for
needles, scallops for broad evergreen leaves, rays for palms, strokes for grasses, and a dot
where the plant stands. The shapes are our own; no part reaches beyond the spread.
Source of the conventions: thelandscapelibrary; planting-plan rules listed in the references.
"""

from collections.abc import Iterator

import numpy as np

from growth.plants import Plant
from viz.planmarks import Area, Array, Line, Mark

TREES = ("tree", "palm")
FILLS = {"needle": "#b9cfae", "broad": "#c6dab0", "loose": "#dcebc6", "rays": "#d9e2b4"}
DOT = 0.35


def edge_of(plant: Plant) -> str:
    """How the edge of its symbol goes: needle, broad, loose or rays."""
    if plant.kind in ("palm", "cycad", "fern", "grass"):
        return "rays"
    if plant.leaf == "deciduous":
        return "loose"
    return "needle" if plant.card in ("needle", "scale") else "broad"


def symbol(plant: Plant, at: Array, radius: float, *, kept: bool, gone: bool) -> Iterator[Mark]:
    """The marks of one plant at a place on the sheet, its crown `radius` mm."""
    edge = edge_of(plant)
    width = 0.3 if plant.kind in TREES else 0.2
    dash = (1.2, 0.8) if gone else ()
    ring = at + radius * _outline(edge, radius, seed=_seed(at))
    opacity = 0.4 if plant.kind in TREES else 0.75
    yield Area("spread", (ring,), fill=FILLS[edge], opacity=opacity)
    yield Area("plant", (ring,), edge=2 * width if kept else width, dash=dash)
    if edge == "rays" and radius > 0.8:
        for angle in np.linspace(0, 2 * np.pi, 9)[:-1] + 0.2:
            way = np.array([np.cos(angle), np.sin(angle)])
            yield Line("ray", np.array([at + 0.25 * radius * way, at + 0.85 * radius * way]), 0.13)
    if kept:
        yield from _cross(at, min(0.25 * radius, 1.6))
    yield dot(at)


def dot(at: Array) -> Area:
    """Where a plant stands."""
    return Area("stands", (at + DOT * _circle(10),), fill="#000000")


def sign(at: Array, number: int) -> Iterator[Mark]:
    """A small sign for one plant of a mass: each kind of a mix has its own."""
    big = 0.55
    if number % 4 == 0:
        yield Area("stands", (at + 0.42 * _circle(8),), fill="#000000")
    elif number % 4 == 1:
        yield Area("stands", (at + big * _circle(8),), fill="#ffffff", edge=0.15)
    elif number % 4 == 2:
        yield Area(
            "stands", (at + big * 1.2 * _circle(3, turn=np.pi / 2),), fill="#ffffff", edge=0.15
        )
    else:
        yield Area("stands", (at + big * _circle(4),), fill="#000000")


def _cross(at: Array, arm: float) -> Iterator[Mark]:
    for way in (np.array([1.0, 0.0]), np.array([0.0, 1.0])):
        yield Line("trunk", np.array([at - arm * way, at + arm * way]), 0.25)


def _circle(corners: int, *, turn: float = 0.0) -> Array:
    angle = turn + np.linspace(0, 2 * np.pi, corners + 1)
    return np.column_stack([np.cos(angle), np.sin(angle)])


def _seed(at: Array) -> float:
    return float(np.sum(at) * 1.7 % (2 * np.pi))


def _outline(edge: str, radius: float, *, seed: float) -> Array:
    """The edge of a symbol of radius 1: its farthest points lie on the circle."""
    lobes = int(np.clip(round(2 * np.pi * radius / 2.2), 7, 40))
    if edge == "needle":
        angle = np.linspace(0, 2 * np.pi, 4 * lobes + 1)
        reach = np.where(np.arange(len(angle)) % 2 == 0, 1.0, 0.8)
    else:
        angle = np.linspace(0, 2 * np.pi, 10 * lobes + 1)
        if edge == "loose":
            wave = np.sin(lobes // 2 * angle + seed) + 0.6 * np.sin((lobes // 2 + 3) * angle)
            reach = 0.95 + 0.05 * wave / np.abs(wave).max()
        elif edge == "broad":
            reach = 0.9 + 0.1 * np.abs(np.sin(lobes * angle / 2))
        else:
            reach = np.ones_like(angle)
    return np.column_stack([np.cos(angle), np.sin(angle)]) * reach[:, None]
