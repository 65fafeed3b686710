"""The parts a drawn plant is made of: leaf cards, tubes of wood, arching blades.

A plant is a set of four-cornered pieces. A card carries a whole cut-out sprig from the atlas,
so that a few hundred of them make a crown; leaves keep their size in metres at every age. Each
corner has a shading normal (bent towards the outside of the crown, which is what makes a crown
look round) and a tint: for leaves, shade relative to the kind's leaf colour; for wood and
flowers, a colour of their own. All lengths are metres, z up, the foot of the plant at 0, 0, 0.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from viz.atlas import cell_uv

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

GOLDEN_ANGLE = np.pi * (3 - np.sqrt(5))
"""Radians between successive leaves of a spiral that never lines up."""


UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True)
class Quads:
    """Four-cornered pieces: corners, shading normals, atlas places, tints (rgb and own colour)."""

    points_m: Array  # (n, 4, 3)
    normals: Array  # (n, 4, 3)
    uv: Array  # (n, 4, 2)
    tint: Array  # (n, 4, 4): rgb; 0 = leaf colour of the plant times rgb, 1 = rgb itself


def join(parts: Iterable[Quads]) -> Quads:
    """One set of pieces from several."""
    kept = list(parts)
    return Quads(
        *(
            np.concatenate([getattr(part, name) for part in kept])
            for name in ("points_m", "normals", "uv", "tint")
        )
    )


def unit(vectors: ArrayLike) -> Array:
    """Vectors of length one in the same directions."""
    v = np.asarray(vectors, dtype=float)
    length: Array = np.linalg.norm(v, axis=-1, keepdims=True)
    return v / np.maximum(length, 1e-9)


def tinted(shade: Array, *, own: bool) -> Array:
    """Tints (n, 4, 4) from shades (n, 4, 3)."""
    return np.concatenate([shade, np.full((*shade.shape[:2], 1), float(own))], axis=2)


def varied(
    rng: np.random.Generator, colour: ArrayLike, count: int, *, spread: float = 0.13
) -> Array:
    """`count` colours around one: brightness and warmth differ from leaf to leaf."""
    value = np.exp(rng.normal(0, spread, count))[:, None]
    warm = rng.normal(0, 0.06, count)[:, None]
    return np.asarray(colour) * value * np.hstack([1 + 1.3 * warm, 1 + 0.2 * warm, 1 - warm])


def cards(
    base_m: Array,
    along: Array,
    facing: Array,
    *,
    length_m: ArrayLike,
    width_m: ArrayLike,
    cell: str,
    shade: Array,
    normals: Array,
    own: bool = False,
    mirrored: BoolArray | None = None,
) -> Quads:
    """Flat cards from their stem ends (n, 3), along the stem, looking towards `facing`."""
    count = len(base_m)
    along = unit(along)
    side = unit(np.cross(along, facing - along * np.sum(facing * along, axis=-1, keepdims=True)))
    length = np.broadcast_to(length_m, count)[:, None] * along
    half = np.broadcast_to(width_m, count)[:, None] / 2 * side
    points = np.stack(
        [base_m - half, base_m + half, base_m + length + half, base_m + length - half], 1
    )
    uv = np.broadcast_to(cell_uv(cell), (count, 4, 2)).copy()
    if mirrored is not None:
        uv[mirrored] = uv[mirrored][:, [1, 0, 3, 2]]
    stem_to_tip = np.array([0.82, 0.82, 1.05, 1.05])[None, :, None]
    return Quads(
        points,
        np.repeat(unit(normals)[:, None], 4, axis=1),
        uv,
        tinted(shade[:, None] * stem_to_tip, own=own),
    )


def tube(line_m: Array, radius_m: ArrayLike, *, sides: int, colour: ArrayLike) -> Quads:
    """A tapering tube of wood along a line of points; colour is one or one a point."""
    count = len(line_m)
    radius = np.broadcast_to(radius_m, count)
    shade = np.broadcast_to(np.asarray(colour, dtype=float), (count, 3))
    return tubes(line_m[None], radius[None], sides=sides, colour=shade[None])


def tubes(lines_m: Array, radius_m: Array, *, sides: int, colour: Array) -> Quads:
    """Tapering tubes along lines (n, points, 3); radius (n, points), colour (n, points, 3)."""
    run = unit(np.gradient(lines_m, axis=1))
    across = unit(np.cross(run, [1.0, 0.3, 0.0]))
    other = np.cross(run, across)
    turn = np.arange(sides) * 2 * np.pi / sides
    ring = (
        across[..., None, :] * np.cos(turn)[:, None] + other[..., None, :] * np.sin(turn)[:, None]
    )
    skin = lines_m[:, :, None] + ring * radius_m[..., None, None]
    shade = np.broadcast_to(colour[:, :, None], ring.shape)
    walls = _walls(skin)
    uv = np.broadcast_to(cell_uv("solid").mean(axis=0), (len(walls), 4, 2))
    return Quads(walls, _walls(ring), uv.copy(), tinted(_walls(shade), own=True))


def _walls(rings: Array) -> Array:
    """Corners (m, 4, 3) of the walls between successive rings (n, count, sides, 3)."""
    following = np.roll(rings, -1, axis=2)
    corners = [rings[:, :-1], following[:, :-1], following[:, 1:], rings[:, 1:]]
    return np.stack(corners, axis=3).reshape(-1, 4, 3)


@dataclass(frozen=True)
class Arcs:
    """Centre lines of blades that start one way and bend towards the ground."""

    points_m: Array  # (n, segments + 1, 3)
    side: Array  # (n, 3) level, across the blade
    up: Array  # (n, segments + 1, 3) the upper face


def arcs(
    foot_m: Array, start: Array, *, length_m: ArrayLike, bend: ArrayLike, segments: int
) -> Arcs:
    """Arching centre lines; `bend` is the turn towards the ground over the length, radians."""
    count = len(foot_m)
    start = unit(start)
    level = unit(start * [1.0, 1.0, 0.0] + 1e-6)
    rise = np.arcsin(np.clip(start[:, 2], -1, 1))[:, None]
    share = ((np.arange(segments) + 0.5) / segments) ** 1.3
    angle = np.maximum(rise - np.broadcast_to(bend, count)[:, None] * share, -1.45)
    steps = level[:, None] * np.cos(angle)[..., None]
    steps[..., 2] = np.sin(angle)
    moved = np.cumsum(steps * (np.broadcast_to(length_m, count) / segments)[:, None, None], axis=1)
    line = np.concatenate([foot_m[:, None], foot_m[:, None] + moved], axis=1)
    side = unit(np.cross(level, [0.0, 0.0, 1.0]))
    up = unit(np.cross(side[:, None], np.concatenate([steps, steps[:, -1:]], axis=1)))
    return Arcs(line, side, up * np.where(up[..., 2:] < 0, -1, 1))


def blades(
    lines: Arcs, *, width_m: ArrayLike, shade: Array, tip_shade: Array, taper: float = 0.12
) -> Quads:
    """Solid blades of leaf along arcs, darker at the foot; shades are (n, 3)."""
    count, nodes = lines.points_m.shape[:2]
    share = np.linspace(0, 1, nodes)
    width = np.broadcast_to(width_m, count)[:, None] * np.interp(
        share, [0, 0.25, 0.6, 1], [0.7, 1, 0.85, taper]
    )
    out = lines.side[:, None] * width[..., None] / 2
    left, right = lines.points_m - out, lines.points_m + out
    colour = shade[:, None] * (1 - share)[:, None] + tip_shade[:, None] * share[:, None]
    colour = colour * np.interp(share, [0, 0.5, 1], [0.45, 0.9, 1.05])[:, None]
    normal = unit(0.7 * lines.up + 0.5 * unit(lines.points_m * [1.0, 1.0, 0.0] + 1e-6))
    uv = np.broadcast_to(cell_uv("solid").mean(axis=0), (count * (nodes - 1), 4, 2))
    return Quads(
        _between(left, right), _between(normal, normal), uv.copy(),
        tinted(_between(colour, colour), own=False),
    )  # fmt: skip


def ribbons(lines: Arcs, *, width_m: ArrayLike, cell: str, shade: Array, tip_shade: Array) -> Quads:
    """Strips along arcs that carry a cell of the atlas from foot to tip; shades are (n, 3)."""
    count, nodes = lines.points_m.shape[:2]
    share = np.linspace(0, 1, nodes)
    width = np.broadcast_to(width_m, count)[:, None] * np.interp(
        share, [0, 0.5, 1], [0.35, 0.9, 1.1]
    )
    out = lines.side[:, None] * width[..., None] / 2
    colour = shade[:, None] * (1 - share)[:, None] + tip_shade[:, None] * share[:, None]
    colour = colour * np.interp(share, [0, 0.5, 1], [0.45, 0.9, 1.05])[:, None]
    normal = unit(0.7 * lines.up + 0.5 * unit(lines.points_m * [1.0, 1.0, 0.0] + 1e-6))
    return Quads(
        _between(lines.points_m - out, lines.points_m + out), _between(normal, normal),
        _strip_uv(cell, share, count), tinted(_between(colour, colour), own=False),
    )  # fmt: skip


def _strip_uv(cell: str, share: Array, count: int) -> Array:
    (u_low, v_low), (u_high, v_high) = cell_uv(cell)[0], cell_uv(cell)[2]
    v = v_low + (v_high - v_low) * share
    sides = [np.stack([np.full_like(v, u), v], axis=1) for u in (u_low, u_high)]
    left, right = (np.broadcast_to(side, (count, *side.shape)) for side in sides)
    return _between(left, right)


def fronds(lines: Arcs, *, width_m: ArrayLike, shade: Array, vee: float) -> Quads:
    """Feathered leaves along arcs, their two halves folded up by `vee` (rise over half width)."""
    count, nodes = lines.points_m.shape[:2]
    share = np.linspace(0, 1, nodes)
    width = (
        np.broadcast_to(width_m, count)[:, None] * np.sin(np.pi * np.clip(share, 0.03, 0.98)) ** 0.6
    )
    colour = shade[:, None] * np.interp(share, [0, 0.5, 1], [0.5, 0.9, 1.05])[:, None]
    return join(
        _half_frond(lines, width, colour, share, sign=sign, vee=vee) for sign in (-1.0, 1.0)
    )


def _half_frond(
    lines: Arcs, width: Array, colour: Array, share: Array, *, sign: float, vee: float
) -> Quads:
    corners = cell_uv("frond")
    (u_low, v_low), (u_high, v_high) = corners[0], corners[2]
    half = width[..., None] / 2
    edge = lines.points_m + sign * lines.side[:, None] * half + lines.up * half * vee
    normal = unit(0.9 * lines.up - sign * 0.35 * lines.side[:, None])
    v = v_low + (v_high - v_low) * share
    middle = np.stack([np.full_like(v, (u_low + u_high) / 2), v], axis=1)
    outer = np.stack([np.full_like(v, u_high if sign > 0 else u_low), v], axis=1)
    count = len(lines.points_m)
    uv = _between(
        np.broadcast_to(middle, (count, *middle.shape)),
        np.broadcast_to(outer, (count, *outer.shape)),
    )
    return Quads(
        _between(lines.points_m, edge), _between(normal, normal), uv,
        tinted(_between(colour, colour), own=False),
    )  # fmt: skip


def _between(left: Array, right: Array) -> Array:
    """Corners (m, 4, k) between two lines of nodes (n, nodes, k), from foot to tip."""
    corners = np.stack([left[:, :-1], right[:, :-1], right[:, 1:], left[:, 1:]], axis=2)
    return corners.reshape(-1, 4, left.shape[-1])
