"""Low and clinging plants: mats of shoots, sheets of groundcover, climbers.

A mat lies on the ground with shoots that run outwards; a sheet fills its circle evenly, so that
neighbours close without seams; a climber wraps a column with leaves whose tips hang. Under mats
and sheets lies a dark disc that stops the soil from showing through. Metres.
"""

import numpy as np

from viz.atlas import cell_uv
from viz.body import Body, inside_envelope, stretched
from viz.cards import GOLDEN_ANGLE, UP, Array, Quads, cards, join, tinted, tube, unit, varied
from viz.foliage_blades import stubble
from viz.palette import BARK, TIP_LEAF, linear, smooth

TALL_M = 0.6
"""A climber above this height is drawn climbing; below, it covers the ground."""


def _spots(
    body: Body, rng: np.random.Generator, count: int, *, lobes: float
) -> tuple[Array, Array]:
    """Places (n, 2) over the plant's circle, and their share of its radius."""
    share = np.sqrt((np.arange(count) + 0.5) / count)
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.25, count)
    wave = 1 + lobes * (np.sin(3 * turn + 1) + 0.5 * np.sin(7 * turn))
    r = 0.9 * body.radius_m * share * wave
    return np.stack([r * np.cos(turn), r * np.sin(turn)], axis=1), share


def _density(body: Body) -> float:
    return 0.30 + 0.70 * float(smooth(0.0, 0.6, body.spread_m / (0.5 * sum(body.plant.spread_m))))


def mat(body: Body, *, bare: bool) -> Quads:
    """A low spreading shrub of overlapping shoots."""
    if bare:
        return stubble(body)
    rng = body.rng(of="mat")
    count = round(205 * _density(body))
    xy, share = _spots(body, rng, count, lobes=0.06)
    out = np.arctan2(xy[:, 1], xy[:, 0]) + rng.normal(0, 0.45, count)
    rise = rng.uniform(0.10, 0.6, count) * np.clip(3 * body.height_m / body.spread_m, 0.4, 1.4)
    along = np.stack([np.cos(out) * np.cos(rise), np.sin(out) * np.cos(rise), np.sin(rise)], axis=1)
    length = np.clip(0.26 * body.spread_m, 0.09, 0.55) * rng.uniform(0.75, 1.2, count)
    z = body.height_m * (0.55 * (1 - share**2) + 0.02 + rng.uniform(0, 0.25, count) * (1.1 - share))
    foot = np.column_stack([xy, z]) - 0.45 * length[:, None] * along * [1, 1, 0.2]
    shoots = cards(
        foot, along, unit(np.column_stack([rng.normal(0, 0.45, (count, 2)), np.ones(count)])),
        length_m=length, width_m=0.70 * length, cell=body.plant.card,
        shade=_fresh(rng, count, 0.75 + 0.35 * rng.uniform(size=count)),
        normals=np.column_stack([0.5 * xy / body.radius_m, np.ones(count)]),
        mirrored=rng.uniform(size=count) < 0.5,
    )  # fmt: skip
    return join([_disc(body, 0.30), inside_envelope(body, shoots)])


def sheet(body: Body, *, bare: bool) -> Quads:
    """A carpet of leaves of even height."""
    if bare:
        return stubble(body)
    rng = body.rng(of="sheet")
    count = round(220 * _density(body))
    xy, share = _spots(body, rng, count, lobes=0.04)
    size = np.clip(0.20 * body.spread_m, 0.07, 0.20) * rng.uniform(0.8, 1.25, count)
    z = body.height_m * (0.30 + 0.45 * rng.uniform(size=count)) * (1 - 0.75 * share**4)
    along = unit(
        np.column_stack([rng.normal(size=(count, 2)), np.abs(rng.normal(0.35, 0.3, count))])
    )
    up = unit(np.column_stack([rng.normal(0, 0.5, (count, 2)), np.ones(count)]))
    leaves = cards(
        np.column_stack([xy, z]) - along * size[:, None] / 2, along, up,
        length_m=size, width_m=size, cell=body.plant.card,
        shade=_fresh(rng, count, 0.62 + 0.5 * z / body.height_m),
        normals=unit(np.column_stack([rng.normal(0, 0.22, (count, 2)), np.ones(count)])),
        mirrored=rng.uniform(size=count) < 0.5,
    )  # fmt: skip
    flowers = _low_flowers(body, rng, xy) if body.flowering else []
    return join([_disc(body, 0.22), inside_envelope(body, join([leaves, *flowers]))])


def _fresh(rng: np.random.Generator, count: int, light: Array) -> Array:
    fresh = rng.uniform(0, 0.8, (count, 1))
    colour = varied(rng, np.ones(3), count) * (1 - fresh) + TIP_LEAF * fresh
    return 1.15 * colour * light[:, None]


def _low_flowers(body: Body, rng: np.random.Generator, xy: Array) -> list[Quads]:
    pick = rng.choice(len(xy), min(24, len(xy)), replace=False)
    count = len(pick)
    foot = np.column_stack([xy[pick], np.full(count, 0.95 * body.height_m)])
    along = unit(rng.normal(size=(count, 3)) * [1, 1, 0.1])
    size = np.clip(0.10 * body.spread_m, 0.04, 0.09)
    return [
        cards(
            foot, along, np.tile([0.1, 0.1, 1.0], (count, 1)), length_m=size, width_m=size,
            cell="floral",
            shade=varied(rng, 0.9 * linear(body.plant.colour_flower), count, spread=0.08),
            normals=np.tile([0.0, 0.0, 1.0], (count, 1)), own=True,
        )
    ]  # fmt: skip


def _disc(body: Body, rise: float, *, sides: int = 9) -> Quads:
    """A dark low cone under the leaves, smaller than the plant."""
    turn = np.linspace(0, 2 * np.pi, sides + 1)
    r = 0.55 * body.radius_m
    rim = np.column_stack([r * np.cos(turn), r * np.sin(turn), np.full(sides + 1, 0.012)])
    top = np.broadcast_to([0.0, 0.0, rise * body.height_m], rim[:-1].shape)
    points = np.stack([rim[:-1], rim[1:], top, top], axis=1)
    normals = np.broadcast_to([0.0, 0.0, 1.0], points.shape)
    uv = np.broadcast_to(cell_uv("solid").mean(axis=0), (sides, 4, 2))
    return Quads(points, normals.copy(), uv.copy(), tinted(np.full(points.shape, 0.13), own=False))


def climber(body: Body, *, bare: bool) -> Quads:
    """A climber on its support; low ones cover the ground instead."""
    if body.height_m < TALL_M:
        return sheet(body, bare=bare)
    rng = body.rng(of="climber")
    stems = join(_stem(body, rng, turn) for turn in np.arange(7) * 2 * np.pi / 7)
    if bare:
        return stems
    count = round(420 * _density(body))
    z = body.height_m * rng.uniform(0.02, 1, count) ** 0.85
    turn = np.arange(count) * GOLDEN_ANGLE
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    foot = level * (body.radius_m * rng.uniform(0.6, 1.0, count))[:, None]
    foot[:, 2] = z
    size = np.clip(0.14 * np.sqrt(body.height_m * body.spread_m), 0.12, 0.36) * rng.uniform(
        0.75, 1.25, count
    )
    leaves = cards(
        foot, unit(0.25 * level + rng.normal(0, 0.4, (count, 3)) - UP),
        unit(level + rng.normal(0, 0.35, (count, 3)) + 0.35 * UP), length_m=size, width_m=size,
        cell=body.plant.card, shade=_fresh(rng, count, 0.6 + 0.4 * z / body.height_m),
        normals=unit(level + 0.35 * UP), mirrored=rng.uniform(size=count) < 0.5,
    )  # fmt: skip
    return join([stems, stretched(body, inside_envelope(body, leaves))])


def _stem(body: Body, rng: np.random.Generator, turn: float) -> Quads:
    share = np.linspace(0, 1, 5)
    out = body.radius_m * (0.15 + 0.45 * share**0.8)
    angle = turn + np.cumsum(rng.normal(0, 0.15, 5))
    line = np.column_stack([out * np.cos(angle), out * np.sin(angle), 0.92 * body.height_m * share])
    return tube(line, np.linspace(0.018, 0.005, 5), sides=3, colour=0.7 * BARK)
