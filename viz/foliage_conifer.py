"""Conifers: flat sprays on whorled branches, and upright plumes of scale leaves.

Spruce, fir and pine carry two flat sprays on every branch, hanging low on the tree and rising
at its top, with upright under-sprays that give mass from the side and dark inner sprays round
the trunk that hide the sky. Arborvitae, juniper and upright yew carry plumes that stand on
shells of the envelope, one inside the other. Figures are common practice, tuned by eye. Metres.
"""

import numpy as np

from viz.body import Body, cards_needed, inside_envelope
from viz.cards import GOLDEN_ANGLE, UP, Array, Quads, cards, join, tube, unit, varied
from viz.foliage_woody import tree
from viz.palette import BARK, TIP_NEEDLE, smooth

MOST_SPRAYS, MOST_PLUMES, MOST_SHRUB_PLUMES = 740, 1150, 520


def spruce(body: Body, *, bare: bool) -> Quads:
    """A needle-leaved tree with whorled branches."""
    if bare:
        return tree(body, bare=True)
    rng = body.rng(of="sprays")
    sprays = _sprays(body, rng)
    under = _under_sprays(body, rng, sprays)
    return join([_trunk(body), inside_envelope(body, join([sprays, under, _inner(body, rng)]))])


def _trunk(body: Body) -> Quads:
    high = body.height_m
    line = np.array([[0, 0, 0], [0, 0, 0.5 * high], [0, 0, 0.96 * high]])
    shade = np.array([0.6, 0.4, 0.6])[:, None] * BARK
    return tube(line, [0.0125 * high, 0.009 * high, 0.004], sides=5, colour=shade)


def _whorls(body: Body, rng: np.random.Generator) -> tuple[Array, Array, Array]:
    """Height, turn and reach of every branch, from the ground up."""
    layers = int(np.clip(5 + 2.0 * body.height_m, 8, 28))
    share = np.arange(layers) / (layers - 1)
    low, high = body.base_m, body.height_m
    z = low + (0.95 * high - low) * (0.02 + 0.98 * share**0.92)
    most = int(np.clip(MOST_SPRAYS / 1.5 / layers, 5, 12))
    counts = np.maximum(4, np.round(most * (1 - 0.45 * share))).astype(int)
    layer = np.repeat(np.arange(layers), counts)
    order = np.concatenate([np.arange(count) for count in counts])
    turn = layer * GOLDEN_ANGLE + order * 2 * np.pi / counts[layer]
    turn = turn + rng.normal(0, 0.12, len(layer))
    reach = body.envelope_m(z)[layer] * rng.uniform(0.86, 1.10, len(layer))
    return z[layer], turn, np.maximum(reach, 0.05 * body.radius_m)


def _sprays(body: Body, rng: np.random.Generator) -> Quads:
    z, turn, reach = _whorls(body, rng)
    share = (z - body.base_m) / (body.height_m - body.base_m)
    rise = np.interp(share, [0, 0.6, 1], [-0.30, 0.05, 0.9]) + rng.normal(0, 0.06, len(z))
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros_like(turn)], axis=1)
    parts = []
    for start, length, width in ((0.04, 0.62, 0.80), (0.42, 0.62, 0.70)):
        tilt = rise - 0.3 * start + 0.15 * (start > 0.3)
        along = level * np.cos(tilt)[:, None] + UP * np.sin(tilt)[:, None]
        foot = level * (reach * start)[:, None]
        foot[:, 2] = z + np.sin(rise) * reach * start
        facing = unit(np.column_stack([rng.normal(0, 0.45, (len(z), 2)), np.ones(len(z))]))
        parts.append(
            cards(
                foot, along, facing, length_m=1.08 * reach * length, width_m=1.4 * reach * width,
                cell=body.plant.card, normals=0.75 * level + 0.5 * UP,
                shade=_shade(rng, start + 0.35 + 0.2 * share, share),
            )
        )  # fmt: skip
    parts.append(_leader(body, rng))
    return join(parts)


def _shade(rng: np.random.Generator, out: Array, share: Array) -> Array:
    """Dark at the trunk and low down, fresh at the tips."""
    fresh = (smooth(0.5, 1.0, out) * rng.uniform(0.1, 0.9, len(out)))[:, None]
    colour = varied(rng, np.ones(3), len(out), spread=0.10) * (1 - fresh) + TIP_NEEDLE * fresh
    return 1.30 * colour * ((0.40 + 0.42 * out) * (0.72 + 0.28 * share))[:, None]


def _leader(body: Body, rng: np.random.Generator) -> Quads:
    """The pointed top."""
    count, high = 4, body.height_m
    foot = np.column_stack([np.zeros((count, 2)), high * (0.86 + 0.02 * np.arange(count))])
    turn = np.arange(count) * 1.6
    along = unit(np.column_stack([0.25 * np.cos(turn), 0.25 * np.sin(turn), np.ones(count)]))
    facing = unit(rng.normal(size=(count, 3)))
    return cards(
        foot, along, facing, length_m=0.10 * high, width_m=0.05 * high, cell=body.plant.card,
        shade=np.full((count, 3), 1.2), normals=np.tile([0.0, 0.0, 1.0], (count, 1)),
    )  # fmt: skip


def _under_sprays(body: Body, rng: np.random.Generator, sprays: Quads) -> Quads:
    """Upright sprays under the branches: mass as seen from the side."""
    count = len(sprays.points_m) - 4
    pick = rng.choice(count, int(0.85 * count), replace=False)
    foot = sprays.points_m[pick, :2].mean(axis=1)
    run = sprays.points_m[pick, 2:].mean(axis=1) - foot
    reach = np.linalg.norm(run, axis=1)
    along = unit(run) - 0.45 * UP
    facing = unit(np.cross(unit(run), [0, 0, 1.0]) + rng.normal(0, 0.3, (len(pick), 3)))
    return cards(
        foot + 0.35 * run, along, facing, length_m=0.70 * reach, width_m=0.62 * reach,
        cell=body.plant.card, shade=0.78 * sprays.tint[pick, 0, :3],
        normals=sprays.normals[pick, 0],
    )  # fmt: skip


def _inner(body: Body, rng: np.random.Generator) -> Quads:
    """Dark sprays round the trunk, upright."""
    count = int(np.clip(12 + 8 * body.height_m, 14, 110))
    share = (np.arange(count) + 0.5) / count * 0.86
    z = body.base_m + (body.height_m - body.base_m) * share
    turn = np.arange(count) * GOLDEN_ANGLE
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    wide = body.envelope_m(z)
    foot = 0.30 * wide[:, None] * level
    foot[:, 2] = z
    length = np.maximum(0.75 * wide, 0.05 * body.height_m)
    return cards(
        foot, unit(0.45 * level + 0.8 * UP), unit(level + 0.5 * rng.normal(size=(count, 3))),
        length_m=length, width_m=1.05 * length, cell=body.plant.card,
        shade=varied(rng, np.full(3, 0.42), count, spread=0.10), normals=unit(level + 0.4 * UP),
    )  # fmt: skip


SHELLS = ((0.92, 0.58), (0.68, 0.27), (0.42, 0.15))
"""Where plumes stand (share of the envelope's radius) and the share of plumes there."""


def plumed(body: Body, *, bare: bool) -> Quads:
    """An upright plant whose sprays stand up close together, leafy to the ground."""
    if bare:
        return tree(body, bare=True)
    rng = body.rng(of="plumes")
    natural = float(np.clip(0.16 * np.sqrt(body.height_m * body.spread_m) + 0.10, 0.12, 0.42))
    most = MOST_SHRUB_PLUMES if body.plant.kind == "shrub" else MOST_PLUMES
    count, length = cards_needed(
        body, length_m=natural, cell=body.plant.card, most=most, sky=body.plant.see_through_leaf
    )
    parts = [_plume_shell(body, rng, int(count * part), out, length) for out, part in SHELLS]
    return join([_trunk(body), inside_envelope(body, join(parts))])


def _plume_shell(
    body: Body, rng: np.random.Generator, count: int, out: float, length_m: float
) -> Quads:
    z = np.linspace(body.base_m, body.height_m, 66)[:-1]
    weight = np.cumsum(body.envelope_m(z) + 0.08 * body.radius_m)
    height = np.interp((np.arange(count) + 0.5) / max(count, 1), weight / weight[-1], z)
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.10, count)
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    ribs = 1 + 0.05 * np.sin(7 * turn) + rng.normal(0, 0.04, count)
    foot = level * (body.envelope_m(height) * out * ribs - 0.2 * length_m)[:, None]
    lengths = length_m * rng.uniform(0.8, 1.3, count)
    foot[:, 2] = height - 0.45 * lengths
    along = unit(0.30 * level + rng.normal(0, 0.22, (count, 3)) + UP)
    facing = unit(level + 0.55 * rng.normal(size=(count, 3)))
    share = (height - body.base_m) / (body.height_m - body.base_m)
    depth = np.full(count, float(smooth(0.3, 1.0, out)))
    return cards(
        foot, along, facing, length_m=lengths, width_m=0.85 * lengths, cell=body.plant.card,
        shade=_shade(rng, 0.15 + 0.95 * depth, share),
        normals=unit(level + 0.25 * UP + 0.3 * facing),
        mirrored=rng.uniform(size=count) < 0.5,
    )  # fmt: skip
