"""Plants of blades and fronds: grasses, sedges, straps, ferns, rosettes, cycads and palms.

Each leaf is an arching strip; a strip of grass carries a whole sheaf of blades from the atlas.
What dies back in winter stays as straw, or as a low tuft where nothing woody is left. The
whole is stretched to touch the envelope's top and widest place. Figures of habit are common
practice, tuned by eye. Metres.
"""

from dataclasses import dataclass, replace

import numpy as np

from viz.body import Body, fitted, stretched
from viz.cards import (
    GOLDEN_ANGLE,
    UP,
    Array,
    Quads,
    arcs,
    blades,
    cards,
    fronds,
    join,
    ribbons,
    tube,
    unit,
    varied,
)
from viz.palette import BARK, PLUME, STRAW, linear, smooth


@dataclass(frozen=True)
class Leaves:
    """How the leaves of a tuft stand: rise in the middle and at the rim, bend, all in radians."""

    count: int
    middle: float
    rim: float
    bend: float
    segments: int


FOUNTAIN = Leaves(56, 1.5, 0.75, 1.75, 4)
STIFF = Leaves(46, 1.53, 1.20, 0.45, 3)
STRAP = Leaves(56, 1.45, 0.65, 1.45, 4)
FERN = Leaves(26, 1.35, 0.45, 1.25, 4)
YUCCA = Leaves(46, 1.35, 0.10, 0.25, 3)
CYCAD = Leaves(28, 1.25, 0.10, 0.75, 4)
PALM = Leaves(26, 1.35, -0.55, 1.0, 5)


def _starts(body: Body, rng: np.random.Generator, leaves: Leaves) -> tuple[Array, Array, Array]:
    """Foot, direction and rank (0 middle, 1 rim) of leaves from the middle outwards."""
    count = max(9, round(leaves.count * (0.45 + 0.55 * float(smooth(0.0, 0.6, body.grown)))))
    rank = (np.arange(count) + 0.5) / count
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.15, count)
    rise = leaves.middle + (leaves.rim - leaves.middle) * rank + rng.normal(0, 0.07, count)
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    start = level * np.cos(rise)[:, None] + UP * np.sin(rise)[:, None]
    return 0.10 * body.radius_m * np.sqrt(rank)[:, None] * level, start, rank


def _length_m(body: Body) -> float:
    return float(np.hypot(body.height_m, 0.6 * body.radius_m))


def grass(body: Body, *, bare: bool) -> Quads:
    """An ornamental grass or sedge: a fountain, or upright and stiff."""
    rng = body.rng(of="grass")
    habit = STIFF if body.plant.form == "upright" else FOUNTAIN
    foot, start, rank = _starts(body, rng, habit)
    count = len(rank)
    length = _length_m(body) * rng.uniform(0.75, 1.1, count)
    bend = habit.bend * rng.uniform(0.75, 1.15, count)
    lines = arcs(foot, start, length_m=length, bend=bend, segments=habit.segments)
    shade = varied(rng, np.full(3, 0.95), count) * (0.70 + 0.35 * rank)[:, None]
    plumes = body.height_m > 0.5 and (bare or body.flowering)
    share = 0.86 if plumes else 1.0
    tuft = ribbons(
        fitted(body, lines, height_share=share), width_m=np.clip(0.26 * body.spread_m, 0.07, 0.24),
        cell="blade", shade=shade, tip_shade=shade * np.array([1.40, 1.28, 1.20]),
    )  # fmt: skip
    whole = stretched(body, tuft, height_share=share)
    if plumes:
        whole = join([whole, _plumes(body, rng)])
    return dried(whole) if bare else whole


def _plumes(body: Body, rng: np.random.Generator) -> Quads:
    """Flower heads over the leaves, two crossed cards each."""
    count = max(4, round(12 * float(smooth(0.1, 0.7, body.grown))))
    turn = np.arange(count) * GOLDEN_ANGLE
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    reach = 0.45 * body.radius_m * np.sqrt((np.arange(count) + 0.5) / count)
    size = 0.55 * body.height_m
    foot = level * (0.5 * reach)[:, None]
    foot[:, 2] = body.height_m - 0.97 * size * rng.uniform(0.98, 1.15, count)
    along = unit(level * (reach / size)[:, None] + 1.2 * UP)
    colour = varied(rng, PLUME, count, spread=0.08)
    crossed = [unit(np.cross(along, level + 0.1)), unit(level)]
    return join(
        cards(
            foot, along, facing, length_m=0.97 * size, width_m=0.42 * size, cell="plume",
            shade=colour, normals=unit(level + 0.8 * UP), own=True,
        )
        for facing in crossed
    )  # fmt: skip


def dried(leaves: Quads) -> Quads:
    """The same leaves as winter straw."""
    tint = leaves.tint.copy()
    leafy = tint[..., 3] == 0
    tint[leafy, :3] = STRAW * tint[leafy, 1:2]
    tint[..., 3] = 1.0
    return replace(leaves, tint=tint)


def strap(body: Body, *, bare: bool) -> Quads:
    """A clump of strap leaves, with flowers on stalks where it flowers."""
    rng = body.rng(of="strap")
    if bare:
        return stubble(body)
    foot, start, rank = _starts(body, rng, STRAP)
    count = len(rank)
    lines = arcs(
        foot, start, length_m=1.2 * _length_m(body) * rng.uniform(0.75, 1.05, count),
        bend=STRAP.bend * rng.uniform(0.7, 1.15, count), segments=STRAP.segments,
    )  # fmt: skip
    shade = varied(rng, np.full(3, 0.80), count) * (0.70 + 0.35 * rank)[:, None]
    share = 0.80 if body.flowering else 1.0
    leaves = blades(
        fitted(body, lines, height_share=share), shade=shade, tip_shade=1.25 * shade,
        width_m=np.clip(0.05 * body.spread_m, 0.012, 0.030),
    )  # fmt: skip
    whole = stretched(body, leaves, height_share=share)
    return join([whole, _stalks(body, rng)]) if body.flowering else whole


def _stalks(body: Body, rng: np.random.Generator) -> Quads:
    """Flower stalks: a spike each, or on large clumps a few open flowers at the top."""
    count = 9
    turn = np.arange(count) * GOLDEN_ANGLE
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    along = unit(0.20 * level + UP)
    reach = 0.93 * body.height_m * rng.uniform(0.82, 1.0, count)
    foot = 0.20 * body.radius_m * level
    top = foot + along * reach[:, None]
    open_ = body.height_m > 0.5
    size = min(0.11, 0.14 * body.height_m) if open_ else 0.55 * body.height_m
    start = top - along * (0.5 * size if open_ else 0.9 * size)
    colour = varied(rng, 0.9 * linear(body.plant.colour_flower), count, spread=0.08)
    facing = unit(level + 0.7 * UP) if open_ else unit(rng.normal(size=(count, 3)) * [1, 1, 0.1])
    normals = unit(level + 0.8 * UP)
    stalks = cards(
        foot, along, unit(level), length_m=reach, width_m=0.010, cell="solid",
        shade=np.full((count, 3), 0.9), normals=normals,
    )  # fmt: skip
    flowers = cards(
        start, along, facing, length_m=size, width_m=size if open_ else 0.5 * size,
        cell="floral" if open_ else "spike", shade=colour, normals=normals, own=True,
    )  # fmt: skip
    both = join([stalks, flowers])
    rise = body.height_m / both.points_m[..., 2].max()
    return replace(both, points_m=both.points_m * [1, 1, rise])


def stubble(body: Body) -> Quads:
    """What a plant that dies back leaves over winter: a low tuft of straw."""
    rng = body.rng(of="stubble")
    count = 12
    turn = np.arange(count) * GOLDEN_ANGLE
    level = np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1)
    foot = level * 0.35 * body.radius_m * np.sqrt((np.arange(count) + 0.5) / count)[:, None]
    size = np.clip(0.5 * body.height_m, 0.06, 0.25) * rng.uniform(0.6, 1.2, count)
    return cards(
        foot, unit(0.5 * level + 0.6 * UP), unit(rng.normal(size=(count, 3))), length_m=size,
        width_m=size, cell="blade", shade=varied(rng, 0.8 * STRAW, count), normals=level + UP,
        own=True,
    )  # fmt: skip


def _crown_of_fronds(body: Body, leaves: Leaves, *, width: float, vee: float) -> Quads:
    rng = body.rng(of="fronds")
    foot, start, rank = _starts(body, rng, leaves)
    count = len(rank)
    length = _length_m(body) * rng.uniform(0.88, 1.05, count)
    bend = leaves.bend * rng.uniform(0.85, 1.15, count)
    lines = arcs(foot, start, length_m=length, bend=bend, segments=leaves.segments)
    shade = varied(rng, np.full(3, 1.0), count) * (1.1 - 0.25 * rank)[:, None]
    if body.plant.kind != "palm":
        lines = fitted(body, lines)
    return fronds(lines, width_m=width * length, shade=shade, vee=vee)


def fern(body: Body, *, bare: bool) -> Quads:
    """A shuttlecock of feathered fronds."""
    if bare:
        return stubble(body)
    return stretched(body, _crown_of_fronds(body, FERN, width=0.30, vee=0.10))


def rosette(body: Body, *, bare: bool) -> Quads:
    """Stiff leaves from one place: a cycad's fronds, or straps as of a yucca."""
    if bare:
        return stubble(body)
    rng = body.rng(of="rosette")
    if body.plant.card == "frond":
        stub = tube(
            0.22 * body.height_m * np.array([0 * UP, UP]), body.spread_m * np.array([0.08, 0.06]),
            sides=7, colour=0.35 * BARK,
        )  # fmt: skip
        leaves = _crown_of_fronds(body, CYCAD, width=0.20, vee=0.45)
        return join([stub, stretched(body, _lifted(leaves, 0.15 * body.height_m))])
    foot, start, rank = _starts(body, rng, YUCCA)
    lines = arcs(
        foot, start, length_m=_length_m(body) * rng.uniform(0.85, 1.0, len(rank)), bend=YUCCA.bend,
        segments=YUCCA.segments,
    )  # fmt: skip
    shade = varied(rng, np.full(3, 0.9), len(rank)) * (1.1 - 0.3 * rank)[:, None]
    lines = fitted(body, lines)
    return stretched(
        body, blades(lines, width_m=0.075 * body.spread_m, shade=shade, tip_shade=shade, taper=0.05)
    )


def palm(body: Body, *, bare: bool) -> Quads:
    """A ringed trunk with a crown of arching fronds; old fronds hang and turn brown."""
    base = body.base_m
    heart = base + 0.45 * (body.height_m - base)
    z = np.linspace(0, heart, max(4, round(heart / 0.35)))
    rings = np.where(np.arange(len(z)) % 2 == 0, 0.75, 1.1)[:, None] * BARK
    thick = np.clip(0.055 * body.spread_m, 0.05, 0.16)
    radius = np.interp(z / heart, [0, 0.08, 1], [1.35, 1, 0.9]) * thick
    trunk = tube(np.column_stack([np.zeros((len(z), 2)), z]), radius, sides=7, colour=rings)
    leaves = _lifted(_crown_of_fronds(body, PALM, width=0.42, vee=0.35), 0.0)
    return join([trunk, _crowned(body, leaves, heart)])


def _lifted(leaves: Quads, by_m: float) -> Quads:
    return replace(leaves, points_m=leaves.points_m + by_m * UP)


def _crowned(body: Body, leaves: Quads, heart_m: float) -> Quads:
    """Fronds set on the trunk and stretched to the crown's top and sides."""
    points = leaves.points_m.copy()
    points[..., :2] *= body.radius_m / np.hypot(points[..., 0], points[..., 1]).max()
    above = points[..., 2] > 0
    points[..., 2] *= np.where(above, (body.height_m - heart_m) / points[..., 2].max(), 1.0)
    low = points[..., 2].min()
    if low < 0:
        points[..., 2] *= np.where(above, 1.0, min(1.0, (heart_m - 0.9 * body.base_m) / -low))
    points[..., 2] += heart_m
    return replace(leaves, points_m=points)
