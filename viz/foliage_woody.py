"""Broad-leaved trees and shrubs: clumps of sprigs on a branching frame, in leaf and bare.

Leaves sit on the outsides of clumps; their shading normals point away from the crown and from
the clump, and inner and lower leaves are darker, which gives a lit, round crown without cast
shadows. Bare plants keep the same frame and carry fine twigs. One function draws every form;
the forms differ in their envelope (growth.crowns) and in a few figures of habit.
Figures of habit are common practice, tuned by eye. Metres.
"""

from dataclasses import dataclass

import numpy as np

from viz.body import Body, cards_needed, clump_centres, inside_envelope
from viz.branches import Limb, Stems, frame, wood
from viz.cards import GOLDEN_ANGLE, UP, Array, Quads, cards, join, unit, varied
from viz.foliage_blades import stubble
from viz.palette import BARK, BARK_PALE, TIP_LEAF, linear, smooth


@dataclass(frozen=True)
class Habit:
    """How a woody plant of one form is built."""

    clumps: int
    clump_share: float  # clump radius over crown radius
    shell: float  # share of cards laid straight on the envelope
    stems: int = 1
    lean: float = 0.0  # of the crown radius
    least_rise: float = 0.25
    leader: float = 0.45  # how far the trunk runs up into the crown
    lobes: float = 0.14
    flat: float = 0.75
    clumped: float = 1.40  # times as many cards, for those that hide behind one another


TREES: dict[str, Habit] = {
    "rounded": Habit(36, 0.34, 0.16),
    "oval": Habit(36, 0.34, 0.20, leader=0.6),
    "spreading": Habit(46, 0.27, 0.14, lobes=0.20, least_rise=0.12),
    "columnar": Habit(30, 0.42, 0.60, leader=0.85, lobes=0.03),
    "pyramidal": Habit(40, 0.30, 0.32, leader=0.88, lobes=0.06),
    "vase": Habit(36, 0.33, 0.18, stems=3, lean=0.22, least_rise=0.7, clumped=1.15),
    "multi-stem": Habit(32, 0.34, 0.30, stems=4, lean=0.34, least_rise=0.5, leader=0.35),
    "upright": Habit(30, 0.36, 0.30, leader=0.7, least_rise=0.6),
}
FAR = Habit(12, 0.42, 0.45, clumped=1.0)
CLUMP = Habit(20, 0.34, 0.50, flat=0.85, clumped=0.9)
SHRUB = Habit(
    24, 0.32, 0.40, stems=5, lean=0.42, least_rise=0.5, leader=0.55, lobes=0.10, flat=0.85
)

CARD_LENGTH_M = {
    "ovate": 0.62, "small": 0.34, "needle": 0.30, "lobed": 0.74, "willow": 0.50, "scale": 0.34,
    "big": 0.52, "ivy": 0.34, "frond": 0.60, "blade": 0.30,
}  # fmt: skip
"""Length of one sprig on a grown tree; shrubs carry smaller ones."""

MOST_TREE, MOST_SHRUB, MOST_PERENNIAL, MOST_FLOWERS, MOST_FAR = 1300, 600, 190, 60, 230
LEAST_CARDS = 40
"""Most four-cornered pieces of one drawing; each is two triangles."""

INNER = 0.20
"""Share of cards that fill the inside of the crown."""

TRUNK_SHARE = 0.0135
"""Trunk radius over height of a tree."""


def tree(body: Body, *, bare: bool) -> Quads:
    """A broad-leaved tree of any form in TREES, or the plant's nearest."""
    habit = TREES.get(body.plant.form, TREES["rounded"])
    young = 0.45 + 0.55 * float(smooth(0.05, 0.45, body.grown))
    length = CARD_LENGTH_M[body.plant.card] * young
    return _woody(body, habit, length_m=length, most=MOST_TREE, bare=bare)


def shrub(body: Body, *, bare: bool) -> Quads:
    """A broad-leaved shrub, leafy to the ground."""
    size = np.clip(0.24 * np.sqrt(body.height_m * body.spread_m), 0.09, 0.36)
    length = float(size) * CARD_LENGTH_M[body.plant.card] / 0.5
    return _woody(body, SHRUB, length_m=length, most=MOST_SHRUB, bare=bare)


def far_tree(body: Body, *, bare: bool) -> Quads:
    """A tree or thicket that is only seen from afar, of few and large cards."""
    return _woody(body, FAR, length_m=1.0, most=MOST_FAR, bare=bare)


def perennial(body: Body, *, bare: bool) -> Quads:
    """A leafy clump without wood; it dies back to the ground."""
    if bare:
        return stubble(body)
    length = float(np.clip(0.30 * np.sqrt(body.height_m * body.spread_m), 0.07, 0.26))
    centres, clump_m = _clumps(body, CLUMP)
    leaves = _leaves(body, CLUMP, centres, clump_m, length_m=length, most=MOST_PERENNIAL)
    return inside_envelope(body, leaves)


def _clumps(body: Body, habit: Habit) -> tuple[Array, float]:
    """Centres of the clumps of leaves and their radius in metres."""
    share = float(smooth(0.0, 0.5, body.grown))
    count = max(7, round(habit.clumps * (0.25 + 0.75 * share)))
    clump_m = habit.clump_share * body.radius_m * (1.5 - 0.5 * share)
    clump_m = min(clump_m, 0.35 * (body.height_m - body.base_m))
    centres = clump_centres(
        body, body.rng(of="clumps"), count, radius_m=clump_m, flat=habit.flat, lobes=habit.lobes
    )
    return centres, clump_m


def _woody(body: Body, habit: Habit, *, length_m: float, most: int, bare: bool) -> Quads:
    """Wood first; leaves or twigs get what is left of `most` pieces."""
    centres, clump_m = _clumps(body, habit)
    limbs = frame(body.rng(of="frame"), centres, _stems(body, habit))
    bark = BARK_PALE if body.plant.form == "multi-stem" else BARK
    if bare:
        wooden = wood(limbs, bark=0.85 * bark, kept=1.0, inside_from_m=body.height_m)
        left = max(most - len(wooden.points_m), LEAST_CARDS)
        return join([wooden, _twigs(body, centres, clump_m, bark, most=left)])
    wooden = _leafy_wood(body, limbs, bark)
    flowers = MOST_FLOWERS if body.flowering else 0
    left = max(most - len(wooden.points_m) - flowers, LEAST_CARDS)
    leaves = _leaves(body, habit, centres, clump_m, length_m=length_m, most=left)
    return join([wooden, inside_envelope(body, leaves)])


def _stems(body: Body, habit: Habit) -> Stems:
    crown_m = body.height_m - body.base_m
    shrubby = body.plant.kind not in ("tree", "palm")
    radius = 0.012 * max(body.height_m, 0.5) if shrubby else TRUNK_SHARE * body.height_m
    return Stems(
        count=habit.stems,
        lean_m=habit.lean * body.radius_m,
        least_rise=habit.least_rise,
        top_m=body.base_m + habit.leader * crown_m,
        radius_m=radius / habit.stems**0.4,
    )


def _leafy_wood(body: Body, limbs: tuple[Limb, ...], bark: Array) -> Quads:
    kept = 0.40 if body.grown > 0.15 else 0.8
    if body.plant.kind != "tree":
        kept = 0.25
    return wood(limbs, bark=bark, kept=kept, inside_from_m=body.base_m)


def _leaves(
    body: Body, habit: Habit, centres: Array, clump_m: float, *, length_m: float, most: int
) -> Quads:
    rng = body.rng(of="leaves")
    count, length = cards_needed(
        body, length_m=length_m, cell=body.plant.card, most=most, clumped=habit.clumped,
        sky=body.plant.see_through_leaf,
    )  # fmt: skip
    place, away = _in_clumps(body, rng, centres, clump_m, count, flat=habit.flat)
    on_shell, within = int(habit.shell * count), int(INNER * count)
    place[:on_shell], away[:on_shell] = _on_shell(body, rng, on_shell)
    place[-within:], away[-within:] = _within(body, rng, within)
    out = _outward(body, place)
    facing = unit(away + 0.46 * rng.normal(size=(count, 3)))
    along = unit(0.5 * away + 0.45 * out + rng.normal(0, 0.45, (count, 3)) + 0.15 * UP)
    turned = facing * np.sign(np.sum(facing * away, axis=1, keepdims=True))
    lengths = length * rng.uniform(0.75, 1.25, count)
    leaves = cards(
        place - along * lengths[:, None] / 2, along, facing,
        length_m=lengths, width_m=lengths, cell=body.plant.card,
        shade=_shade(body, rng, place, away), mirrored=rng.uniform(size=count) < 0.5,
        normals=0.50 * out + 0.45 * away + 0.22 * turned,
    )  # fmt: skip
    return join([leaves, *_flowers(body, rng, place, away, out)])


def _in_clumps(
    body: Body, rng: np.random.Generator, centres: Array, clump_m: float, count: int, *, flat: float
) -> tuple[Array, Array]:
    """Places on the outsides of the clumps, and the way out of the clump there."""
    pick = rng.integers(0, len(centres), count)
    out = _outward(body, centres)[pick]
    away = unit(unit(rng.normal(size=(count, 3))) + 0.75 * out + 0.25 * UP)
    reach = clump_m * rng.uniform(0.78, 1.2, len(centres))[pick] * rng.uniform(0.7, 1.02, count)
    return centres[pick] + away * reach[:, None] * [1, 1, flat], away


def _on_shell(body: Body, rng: np.random.Generator, count: int) -> tuple[Array, Array]:
    """Places evenly over the envelope, which close the holes between clumps."""
    z = np.linspace(body.base_m, body.height_m, 66)[1:-1]
    weight = np.cumsum(body.envelope_m(z) + 0.06 * body.radius_m)
    height = np.interp((np.arange(count) + 0.5) / max(count, 1), weight / weight[-1], z)
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.12, count)
    r = body.envelope_m(height) * rng.uniform(0.80, 0.98, count)
    place = np.stack([r * np.cos(turn), r * np.sin(turn), height], axis=1)
    return place, unit(_outward(body, place) + 0.35 * rng.normal(size=(count, 3)))


def _within(body: Body, rng: np.random.Generator, count: int) -> tuple[Array, Array]:
    """Places all through the inner crown, which end the view through it."""
    crown_m = body.height_m - body.base_m
    height = body.base_m + crown_m * rng.uniform(0.12, 0.85, count)
    turn = rng.uniform(0, 2 * np.pi, count)
    r = body.envelope_m(height) * 0.72 * np.sqrt(rng.uniform(0, 1, count))
    place = np.stack([r * np.cos(turn), r * np.sin(turn), height], axis=1)
    return place, unit(_outward(body, place) + 0.8 * rng.normal(size=(count, 3)))


def _outward(body: Body, place: Array) -> Array:
    """Normals of the ellipsoid that the crown nearly is."""
    crown_m = body.height_m - body.base_m
    middle = np.array([0, 0, body.base_m + 0.42 * crown_m])
    return unit((place - middle) / [body.radius_m, body.radius_m, 0.55 * crown_m])


def _shade(body: Body, rng: np.random.Generator, place: Array, away: Array) -> Array:
    """Shade of each card: dark inside and below, fresh growth outside and above."""
    h = np.clip((place[:, 2] - body.base_m) / (body.height_m - body.base_m), 0, 1)
    rho = np.hypot(place[:, 0], place[:, 1])
    edge = np.maximum(body.envelope_m(place[:, 2]), 0.15 * body.radius_m)
    depth = np.maximum(rho / edge, np.abs(h - 0.40) / 0.60)
    open_ = (0.30 + 0.70 * smooth(0.35, 1.0, depth)) * (0.68 + 0.32 * h)
    open_ *= 0.55 + 0.45 * smooth(-0.75, 0.75, away[:, 2])
    fresh = (
        smooth(0.6, 1.1, depth) * smooth(-0.2, 0.9, away[:, 2]) * rng.uniform(0.2, 1, len(place))
    )
    colour = varied(rng, np.ones(3), len(place))
    mixed = colour * (1 - fresh)[:, None] + TIP_LEAF * fresh[:, None]
    return 1.25 * mixed * open_[:, None]


def _twigs(body: Body, centres: Array, clump_m: float, bark: Array, *, most: int) -> Quads:
    """Fine bare twigs that go on from the clumps, upwards and outwards."""
    rng = body.rng(of="twigs")
    shrubby = body.plant.kind != "tree"
    count, length_m = cards_needed(
        body,
        length_m=1.15 * clump_m,
        cell="twig",
        most=min(most, 420),
        sky=body.plant.see_through_bare,
    )
    pick = rng.integers(0, len(centres), count)
    away = unit(0.8 * rng.normal(size=(count, 3)) + _outward(body, centres)[pick] + 0.3 * UP)
    foot = centres[pick] - 0.15 * clump_m * away + rng.normal(0, 0.2 * clump_m, (count, 3))
    foot[:, 2] = np.maximum(foot[:, 2] * (0.55 if shrubby else 1.0), 0.02 * body.height_m)
    length = min(length_m, 1.3 * clump_m) * rng.uniform(0.7, 1.2, count)
    twigs = cards(
        foot, away, unit(rng.normal(size=(count, 3))), length_m=length, width_m=0.85 * length,
        cell="twig", shade=varied(rng, 0.9 * bark, count), normals=away + 0.3 * UP, own=True,
        mirrored=rng.uniform(size=count) < 0.5,
    )  # fmt: skip
    return inside_envelope(body, twigs)


def _flowers(
    body: Body, rng: np.random.Generator, place: Array, away: Array, out: Array
) -> list[Quads]:
    """Flowers on the outside of the crown, where the plant is in flower."""
    outer = np.flatnonzero((away[:, 2] > -0.2) & (out[:, 2] > -0.3))
    if not body.flowering or len(outer) == 0:
        return []
    cell = _flower_cell(body)
    count = min(len(outer), MOST_FLOWERS)
    pick = rng.choice(outer, count, replace=False)
    facing = unit(away[pick] + 0.25 * rng.normal(size=(count, 3)))
    size = np.clip(0.14 * body.spread_m, 0.07, 0.20) * rng.uniform(0.75, 1.2, count)
    along = unit(np.cross(facing, rng.normal(size=(count, 3))))
    if cell == "spike":
        along, size = unit(out[pick] + 1.2 * UP), 1.6 * size
        facing = unit(np.cross(along, rng.normal(size=(count, 3))))
    proud = 0.14 if cell == "spike" else 0.06
    foot = place[pick] + out[pick] * proud * body.radius_m - along * size[:, None] / 2
    colour = varied(rng, 0.9 * linear(body.plant.colour_flower), count, spread=0.08)
    return [
        cards(
            foot, along, facing, length_m=size, width_m=0.5 * size if cell == "spike" else size,
            cell=cell, shade=colour, normals=unit(out[pick] + 0.3 * facing), own=True,
        )
    ]  # fmt: skip


def _flower_cell(body: Body) -> str:
    """Heads on large-leaved shrubs, spikes on low small-leaved plants, loose flowers else."""
    if body.plant.card in ("big", "lobed") and body.plant.kind == "shrub":
        return "bloom"
    low = sum(body.plant.height_m) / 2 < 0.8
    return "spike" if low and body.plant.card in ("needle", "small") else "floral"
