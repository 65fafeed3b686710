"""The slope layer: how every node of the lot stands against the usual limits of what lies there.

What lies at a node is the surface or bed there (the smaller on the larger), a bank where
grading made one, else open ground. Its slope is held against every limit of that kind on a
slope or along a line, in two tiers. A line's limit is held against the whole slope, which for
a walk holds its crossfall too: the map may warn a little early; the falls beside it are measured
along the line. Under buildings, outside the lot and where no limit is known there is no tier.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.document import Yard
from scenes.falls import BANK, MOVED_M, Fall, falls
from scenes.lattice import Array
from scenes.layout import Layout
from scenes.limits import FallLimit, limits_of
from scenes.masks import nodes_inside
from scenes.slopes import slopes
from scenes.surfaces import building_outlines
from scenes.terrain import Terrain

NONE, WITHIN, FLATTER, TOO_FLAT, STEEPER, TOO_STEEP = range(6)
"""Tiers: no limit known, as desired, flatter or steeper than desired, beyond a limit."""

HELD = ("slope", "along")
NOTABLE_SHARE = 0.05
"""Less than a twentieth of a place beyond its limit gets no label."""


def slope_layer(yard: Yard, terrain: Terrain, layout: Layout) -> Mapping[str, Any]:
    """Tier of every node (ny, nx) and labels of the falls beyond their limits."""
    found = falls(yard, terrain, layout)
    return {
        "tier": slope_tiers(yard, terrain, layout),
        "labels": [_label(fall) for fall in found if _notable(fall)],
    }


def slope_tiers(yard: Yard, terrain: Terrain, layout: Layout) -> NDArray[np.uint8]:
    """Tier of every node (ny, nx) by the limits of what lies there."""
    percent = 100 * slopes(terrain.lattice, terrain.after_m)
    tiers = np.zeros(percent.shape, dtype=np.uint8)
    limits = [limit for limit in limits_of(yard) if limit.measure in HELD]
    kind = _kinds(yard, terrain, layout, percent)
    for name in np.unique(kind):
        here = kind == name
        tiers[here] = tier_of(percent[here], [limit for limit in limits if limit.of == name])
    return tiers


def tier_of(percent: Array, limits: Iterable[FallLimit]) -> NDArray[np.uint8]:
    """The worst tier of slopes (n,) in percent against some limits of one kind."""
    tier = np.full(len(percent), NONE, dtype=np.uint8)
    for limit in limits:
        sign = -1 if limit.at_least else 1
        near, beyond = (FLATTER, TOO_FLAT) if limit.at_least else (STEEPER, TOO_STEEP)
        mine = np.full(len(percent), WITHIN, dtype=np.uint8)
        mine[sign * (percent - limit.desirable_percent) > 1e-6] = near
        mine[sign * (percent - limit.limit_percent) > 1e-6] = beyond
        tier = np.where(_badness(mine) > _badness(tier), mine, tier)
    return tier


def _badness(tier: NDArray[np.uint8]) -> NDArray[np.int64]:
    return np.array([0, 1, 2, 3, 2, 3])[tier]


def _kinds(yard: Yard, terrain: Terrain, layout: Layout, percent: Array) -> NDArray[np.str_]:
    """What lies at each node (ny, nx), "" where nothing is held against a limit."""
    lattice = terrain.lattice
    kind = np.full(percent.shape, "", dtype="U16")
    moved = np.abs(terrain.after_m - terrain.before_m) > MOVED_M
    lot = nodes_inside(lattice, terrain.boundary)
    kind[lot] = "open ground"
    kind[lot & moved & (percent > 100 * BANK)] = "bank"
    shapes = [(bed.outline, "bed") for bed in layout.beds]
    shapes += [(surface.outline, surface.kind) for surface in layout.surfaces]
    for outline, name in sorted(shapes, key=lambda shape: -shape[0].area):
        kind[nodes_inside(lattice, outline) & lot] = name
    for outline in building_outlines(yard).values():
        kind[nodes_inside(lattice, outline)] = ""
    return kind


def _notable(fall: Fall) -> bool:
    return fall.met is False and fall.at is not None and fall.share_beyond >= NOTABLE_SHARE


def _label(fall: Fall) -> Mapping[str, Any]:
    side = "at least" if fall.at_least else "at most"
    worst = fall.worst_percent or 0.0
    figure = f"{round(worst, 1) + 0.0:.1f}".replace("-", "−")
    towards = " towards it" if figure.startswith("−") else ""
    return {
        "at": list(fall.at or ()),
        "text": f"{fall.place}: {figure} %{towards} ({side} {fall.limit_percent:.4g} % is usual)",
    }
