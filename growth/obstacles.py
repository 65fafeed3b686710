"""What ground and built things let through between an eye and its panel.

Each sight line is tested against the triangles of every solid and against the graded
ground. A solid passes its open share once, however many of its faces are met; the ground
passes nothing. The structure that carries the target is passed close to the panel, and its
glass, doors and trim never hide their own opening. Other glass counts as the wall it sits in.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.rays import Fan
from scenes.solids import Solid

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

OWN_M = 0.3
"""Hits of the own structure nearer to the panel than this do not count."""

CLEAR_M = 0.02
"""How far the ground must rise above a line to hide: survey and sampling noise; assumed."""

ON_WALLS = ("glass", "trim", "door")
"""Parts that lie on a wall: they add nothing to it, and never hide their own opening."""

_GROUND_STEPS = 128


def passing(
    fan: Fan, solids: Sequence[Solid], height_m: Callable[[Array], Array], *, own: str | None
) -> Array:
    """Share of each sight line that ground and built things let through, (nv, nu)."""
    left = np.where(_under_ground(fan, height_m), 0.0, 1.0)
    for solid in solids:
        hit = _hits(fan, _triangles(solid, own=solid.name == own), own=solid.name == own)
        left = np.where(hit, left * solid.open_share, left)
    return left


def _triangles(solid: Solid, *, own: bool) -> Array:
    """Corners (m, 3, 3) of a solid's triangles that can hide something."""
    parts = [part for part in solid.parts if not (own and part.role in ON_WALLS)]
    if not parts:
        return np.empty((0, 3, 3))
    return np.concatenate([part.points_m[part.triangles] for part in parts])


def _hits(fan: Fan, triangles: Array, *, own: bool) -> BoolArray:
    """Sight lines that meet a triangle between eye and panel, (nv, nu)."""
    from growth import sunward  # loads the compiler, a quarter of a second

    rows, columns = fan.rise_m.shape
    across = np.broadcast_to(fan.across_m[:, None], (2, rows, columns))
    lines = np.stack([*across, fan.rise_m], axis=-1).reshape(-1, 3)
    end = 1 - OWN_M / fan.length_m.ravel() if own else np.full(len(lines), 1 - 1e-6)
    start = np.maximum(np.broadcast_to(fan.start, (rows, columns)).ravel(), 1e-6)
    hit = np.zeros(len(lines), bool)
    work = (np.asarray(fan.eye_m, float), lines, start, end, triangles)
    in_parts(lambda first, last: sunward.stopped(*work, first, last, hit), len(lines))
    return hit.reshape(rows, columns)


def _under_ground(fan: Fan, height_m: Callable[[Array], Array]) -> BoolArray:
    """Sight lines that dip below the graded ground before the last bit to the panel."""
    start = np.broadcast_to(fan.start, fan.rise_m.shape[1:])
    share = (np.arange(_GROUND_STEPS)[:, None] + 0.5) / _GROUND_STEPS
    share = start + share * (1 - start)  # (steps, nu)
    xy = fan.eye_m[:2] + share[:, :, None] * fan.across_m.T
    ground = height_m(xy.reshape(-1, 2)).reshape(len(share), 1, -1)
    z = fan.eye_m[2] + share[:, None] * fan.rise_m
    near = share[:, None] * fan.length_m < fan.length_m - OWN_M
    return np.asarray(((z < ground - CLEAR_M) & near).any(axis=0))
