"""Weeping trees: strands that leave a dome of scaffold limbs and hang towards the ground.

Each strand is a chain of narrow cards that first runs outwards and then falls; in the bare
season the chains are thin twigs. The dome and the hem follow the envelope of growth.crowns.
Figures are common practice, tuned by eye. Metres.
"""

import numpy as np

from viz.body import Body, inside_envelope
from viz.branches import Stems, frame, wood
from viz.cards import GOLDEN_ANGLE, UP, Array, Quads, cards, join, unit, varied
from viz.palette import BARK, smooth

LINKS = 4
TWIG = np.array([0.125, 0.100, 0.058])


def weeping(body: Body, *, bare: bool) -> Quads:
    """A weeping tree in leaf or bare."""
    rng = body.rng(of="strands")
    share = float(smooth(0.0, 0.5, body.grown))
    scaffold = _scaffold(body, body.rng(of="scaffold"), round(10 + 12 * share))
    stems = Stems(top_m=0.45 * body.height_m, radius_m=0.019 * body.height_m, least_rise=0.12)
    limbs = frame(body.rng(of="frame"), scaffold, stems)
    wooden = wood(limbs, bark=BARK, kept=1.0 if bare else 0.7, inside_from_m=body.base_m)
    sky = body.plant.see_through_bare if bare else body.plant.see_through_leaf
    count = round((14 + 46 * share) * -np.log(np.clip(sky, 0.05, 0.9)) / (0.85 if bare else 1.0))
    nodes = _strands(body, rng, count)
    chains = _twigs(body, rng, nodes) if bare else _leaves(body, rng, nodes)
    return join([wooden, inside_envelope(body, chains)])


def _dome_m(body: Body, rho: Array) -> Array:
    """Height of the dome at distances from the trunk, as shares of the radius."""
    crown = body.height_m - body.base_m
    return body.base_m + crown * (0.45 + 0.53 * np.sqrt(np.clip(1 - rho**2, 0, 1)))


def _scaffold(body: Body, rng: np.random.Generator, count: int) -> Array:
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.15, count)
    rho = 0.80 * np.sqrt((np.arange(count) + 0.6) / count)
    z = _dome_m(body, rho) - rng.uniform(0.02, 0.10, count) * body.height_m
    r = rho * body.radius_m
    return np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1)


def _strands(body: Body, rng: np.random.Generator, count: int) -> Array:
    """Nodes (links + 1, n, 3) of strands from the dome to the hem."""
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.25, count)
    rho = 0.94 * np.sqrt((np.arange(count) + 0.5) / count)
    lobe = 1 + 0.07 * np.sin(3 * turn + 1.3) + 0.04 * np.sin(5 * turn)
    rho = np.minimum(rho * lobe, 0.97)
    end = np.minimum(rho + 0.18 * rng.uniform(0.3, 1, count), 1.0)
    top = _dome_m(body, rho) * rng.uniform(0.96, 1.0, count)
    ragged = np.interp(end, [0, 0.5, 1], [0.5, 0.3, 0.02]) * rng.uniform(0.4, 1.6, count)
    hem = body.base_m + (body.height_m - body.base_m) * np.clip(ragged, 0.0, 0.9)
    hem = np.minimum(hem, top - 0.15 * body.height_m)
    nodes = []
    for fall in np.linspace(0, 1, LINKS + 1):
        out = body.radius_m * (rho + (end - rho) * np.sin(fall * np.pi / 2))
        z = top + (hem - top) * fall**1.25
        sway = rng.normal(0, 0.015 * body.radius_m, (count, 2)) * (fall > 0)
        nodes.append(
            np.column_stack([out * np.cos(turn) + sway[:, 0], out * np.sin(turn) + sway[:, 1], z])
        )
    return np.stack(nodes)


def _leaves(body: Body, rng: np.random.Generator, nodes: Array) -> Quads:
    count = nodes.shape[1]
    out = unit(nodes[-1] * [1.0, 1.0, 0.0])
    rho = np.hypot(nodes[-1, :, 0], nodes[-1, :, 1]) / body.radius_m
    width = max(0.12 * body.radius_m, 0.10)
    parts = []
    for link in range(LINKS):
        run = nodes[link + 1] - nodes[link]
        reach = np.linalg.norm(run, axis=1)
        light = (0.40 + 0.60 * smooth(0.25, 0.95, rho)) * (1.05 - 0.25 * link / LINKS)
        fresh = 1 + rng.uniform(0, 0.5, (count, 1)) * np.array([0.55, 0.35, 0.4])
        parts.append(
            cards(
                nodes[link], run, unit(out + 0.55 * rng.normal(size=(count, 3))),
                length_m=1.15 * reach, width_m=np.maximum(0.55 * reach, width),
                cell=body.plant.card, shade=varied(rng, 1.25 * fresh, count) * light[:, None],
                normals=0.8 * out + 0.45 * UP + 0.2 * rng.normal(size=(count, 3)),
                mirrored=rng.integers(0, 2, count).astype(bool),
            )
        )  # fmt: skip
    return join([*parts, _cap(body, rng, count)])


def _cap(body: Body, rng: np.random.Generator, count: int) -> Quads:
    """Leaves over the top of the dome, where strands begin."""
    turn = np.arange(count) * GOLDEN_ANGLE + 1.0
    rho = 0.88 * np.sqrt((np.arange(count) + 0.5) / count)
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    foot = level * (rho * body.radius_m)[:, None]
    foot[:, 2] = _dome_m(body, rho) - 0.02 * body.height_m
    up = unit(level * rho[:, None] + 0.8 * UP)
    size = max(0.30 * body.radius_m, 0.2) * rng.uniform(0.8, 1.2, count)
    return cards(
        foot, unit(level - 0.25 * UP + 0.3 * rng.normal(size=(count, 3))),
        unit(up + 0.4 * rng.normal(size=(count, 3))), length_m=size, width_m=0.8 * size,
        cell=body.plant.card, shade=varied(rng, np.full(3, 1.45), count), normals=up,
    )  # fmt: skip


def _twigs(body: Body, rng: np.random.Generator, nodes: Array) -> Quads:
    count = nodes.shape[1]
    out = unit(nodes[-1] * [1.0, 1.0, 0.0])
    wide = max(0.20 * body.radius_m, 0.10)
    return join(
        cards(
            nodes[link], nodes[link + 1] - nodes[link],
            unit(out + 0.6 * rng.normal(size=(count, 3))),
            length_m=1.02 * np.linalg.norm(nodes[link + 1] - nodes[link], axis=1), width_m=wide,
            cell="twig", shade=varied(rng, TWIG, count), normals=out + 0.5 * UP, own=True,
            mirrored=rng.integers(0, 2, count).astype(bool),
        )
        for link in range(LINKS)
    )  # fmt: skip
