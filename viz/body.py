"""One plant at one size, ready to be drawn: its crown's envelope and what fills it.

The envelope is the one that sight lines meet and areas are counted by (growth.crowns); leaf
cards are moved inside it and the whole is stretched by the last few percent until it touches
top and sides, so that what is drawn is what is checked. How many cards fill it follows from
the share of sky seen through the crown. Metres; the foot of the plant is at 0, 0, 0.
"""

from dataclasses import dataclass, replace

import numpy as np

from growth.crowns import FORMS, base_share, relative_radius
from growth.plants import Plant
from viz.atlas import OPACITY
from viz.cards import GOLDEN_ANGLE, Arcs, Array, Quads
from viz.palette import smooth

SOIL_M = 0.004
"""Leaves lie at least this high, so that they do not vanish in the ground."""

DENT = 0.12

CARD_SEEN = 0.5
"""Mean share of a flat card's area seen from any side. Source: Cauchy's projection theorem."""


@dataclass(frozen=True)
class Body:
    """A plant of a height and spread in metres; `grown` is its share of the mature height."""

    plant: Plant
    height_m: float
    spread_m: float
    grown: float
    flowering: bool

    @property
    def radius_m(self) -> float:
        """Half the spread."""
        return self.spread_m / 2

    @property
    def base_m(self) -> float:
        """Height of the lowest leaves."""
        form = FORMS[self.plant.form]
        return self.height_m * float(
            base_share(form, kind=self.plant.kind, grown=np.array(self.grown))
        )

    def rng(self, *, of: str) -> np.random.Generator:
        """A generator that gives the same plant every time, one for each part of it."""
        key = f"{self.plant.name}|{self.height_m:.2f}|{of}"
        return np.random.default_rng(list(key.encode()))

    def envelope_m(self, z_m: Array) -> Array:
        """Radius of the crown at heights above the ground; 0 above and below it."""
        h = (z_m - self.base_m) / (self.height_m - self.base_m)
        return self.radius_m * relative_radius(FORMS[self.plant.form], h)


def cards_needed(
    body: Body, *, length_m: float, cell: str, most: int, sky: float, clumped: float = 1.0
) -> tuple[int, float]:
    """Number of cards, and their length in metres, that leave `sky`, the share seen through.

    Beer-Lambert: the cards' leaf area, seen from one side, over the crown's outline. The
    inner part is 1.3 times as deep as the mean (a sphere: 4/3 r against the full 2 r). Cards in
    clumps hide one another, and it takes `clumped` times as many. Young plants are sparse.
    Where that takes more than `most` cards, fewer and larger ones cover the same area.
    """
    z = np.linspace(body.base_m, body.height_m, 41)
    outline_m2 = 2 * np.trapezoid(body.envelope_m(z), z)
    depth = -np.log(np.clip(sky, 0.02, 0.95)) / 1.3 * clumped
    depth *= 0.30 + 0.70 * float(smooth(0.05, 0.50, body.grown))
    leaf_m2 = outline_m2 * depth / (CARD_SEEN * OPACITY[cell])
    count = int(np.clip(leaf_m2 / length_m**2, 14, most))
    return count, float(np.clip(np.sqrt(leaf_m2 / count), 0.5 * length_m, 3 * length_m))


def clump_centres(
    body: Body, rng: np.random.Generator, count: int, *, radius_m: float, flat: float, lobes: float
) -> Array:
    """Centres (count, 3) of clumps of leaves, most of them near the outside of the crown."""
    low = body.base_m + radius_m * flat * 0.6
    high = body.height_m - radius_m * flat * 0.8
    z = np.linspace(low, max(high, low + 0.05 * body.height_m), 64)
    weight = np.cumsum(body.envelope_m(z) + 0.10 * body.radius_m)
    place = (np.arange(count) + rng.uniform(0.2, 0.8, count)) / count
    height = np.interp(place, weight / weight[-1], z)
    turn = np.arange(count) * GOLDEN_ANGLE + rng.normal(0, 0.25, count)
    inside = rng.uniform(size=count) < 0.20
    share = np.where(inside, rng.uniform(0.15, 0.55, count), rng.uniform(0.88, 1.0, count))
    wave = 1 + lobes * np.sin(3 * turn + 5 * height / body.height_m + rng.uniform(0, 6))
    reach = np.maximum(body.envelope_m(height) - 0.55 * radius_m, 0.35 * body.envelope_m(height))
    r = reach * share * wave
    return np.stack([r * np.cos(turn), r * np.sin(turn), height], axis=1)


def inside_envelope(body: Body, leaves: Quads) -> Quads:
    """The cards moved into the envelope, then stretched to touch its top and widest place."""
    points = leaves.points_m.copy()
    points[..., 2] -= np.maximum(points[..., 2].max(axis=1) - body.height_m, 0)[:, None]
    points[..., 2] += np.maximum(0.9 * body.base_m - points[..., 2].min(axis=1), 0)[:, None]
    for _ in range(3):
        points[..., :2] -= _excess(body, points)
    return stretched(body, replace(leaves, points_m=points))


def stretched(body: Body, leaves: Quads, *, height_share: float = 1.0) -> Quads:
    """The pieces stretched to the plant's spread, and to `height_share` of its height."""
    points = leaves.points_m.copy()
    points[..., :2] *= body.radius_m / np.hypot(points[..., 0], points[..., 1]).max()
    points[..., 2] *= height_share * body.height_m / points[..., 2].max()
    points[..., 2] = np.maximum(points[..., 2], SOIL_M)
    return replace(leaves, points_m=points)


def fitted(body: Body, lines: Arcs, *, height_share: float = 1.0) -> Arcs:
    """Arcs that fill the plant's spread and height: most reach the rim, none goes beyond."""
    points = lines.points_m.copy()
    reach = np.hypot(points[..., 0], points[..., 1]).max(axis=1)
    top = points[..., 2].max(axis=1)
    wide, high = np.quantile(reach, 0.85), np.quantile(top, 0.85)
    points[..., :2] *= (body.radius_m / np.maximum(wide, reach))[:, None, None]
    points[..., 2] *= (height_share * body.height_m / np.maximum(high, top))[:, None]
    return replace(lines, points_m=points)


def _excess(body: Body, points: Array) -> Array:
    """How far, and which way, each card (n, 1, 2) sticks out of the envelope.

    Shallow dents, at most DENT of the radius, keep the outline from being a turned ball.
    """
    rho = np.hypot(points[..., 0], points[..., 1])
    turn = np.arctan2(points[..., 1], points[..., 0])
    rise = points[..., 2] / body.height_m
    dent = DENT * (0.5 + 0.5 * np.sin(4 * turn + 9 * rise) * np.cos(11 * rise + 2 * turn))
    width = np.linalg.norm(points[:, 1] - points[:, 0], axis=1)[:, None]
    allowed = np.maximum(body.envelope_m(points[..., 2]) * (1 - dent), 0.5 * width)
    out = np.maximum(np.sort(rho - allowed, axis=1)[:, -2], 0)  # one corner may stick out
    centre = points[..., :2].mean(axis=1)
    reach = np.maximum(np.linalg.norm(centre, axis=1), 1e-6)
    step: Array = centre * (np.minimum(out, reach) / reach)[:, None]
    return step[:, None]
