"""Which plants come too near to what, from which year on, by how much, and what cures it.

A plant overlaps a thing by the radius of its crown within the thing's band of levels, and the
distance kept round the thing, less its own distance in plan. Its range is that of one plant:
the fastest tenth touch by the low year, the slowest tenth not before the high year. A share of
plants that are clear has the range of joint draws. Crowns count whole: crowding, and what a
wall holds back, are left out, and a crown inside a roof's slope counts from the eave up.

Clipping cures where a shrub or hedge clears the thing at a spread no smaller than it was
planted with and half its mature spread; lifting cures where a tree keeps two thirds of its
height in leaf; a wider spacing always cures, and from a wall it also gives half the middle
mature spread and a foot.

Source: half the mature spread and a foot from a wall, Clemson Extension, Carolina Yards; half
the sum of spreads between unlike plants, University of Missouri (Rothenberger).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from growth.checks.findings import Clash, Cure
from growth.checks.keepclear import FOOT_M, HEADROOM_M, THORNS_M, Keep
from growth.crownbands import Floats, widest_m
from growth.crowns import FORMS, WITH_TRUNK
from growth.plants import Plant
from growth.ranges import Array, Range, range_of_draws
from growth.stand import Draws, Stand
from scenes.layout import Layout
from scenes.solids import HeightAt

TOUCH_M = 0.05
"""Overlaps below this are within the accuracy of a plan."""

CLIPPED_SHARE, LEAF_SHARE = 0.5, 2 / 3
"""Least of the mature spread that a clipped plant keeps, and of its height that a lifted tree
keeps in leaf (common practice)."""

WALL_GAP_M = FOOT_M
"""Between a wall and the mature plant: Clemson Extension, Carolina Yards."""

_CLIPPABLE = ("shrub", "grass", "groundcover", "bamboo", "vine", "perennial", "fern")


@dataclass(frozen=True)
class Near:
    """Plants near things: numbers of plant and thing, distance, and the band above the foot."""

    plant: NDArray[np.int64]
    keep: NDArray[np.int64]
    distance_m: Array
    low_m: Array
    high_m: Array
    round_m: Array


def wall_offset_m(spread_m: float) -> float:
    """Distance from a wall for a shrub of that mature spread: half of it and a foot."""
    return spread_m / 2 + WALL_GAP_M


def spacing_m(one_m: float, other_m: float) -> float:
    """Distance between plants of two mature spreads: half their sum."""
    return (one_m + other_m) / 2


def near(things: Sequence[Keep], stand: Stand, ground_m: HeightAt) -> Near:
    """Every pair of plant and thing that the largest course could bring together."""
    reach_m = stand.spread_m.high.max(axis=0, initial=0) / 2
    points = shapely.points(stand.xyz_m[:, :2])
    found = [_near_one(n, keep, stand, points, reach_m, ground_m) for n, keep in enumerate(things)]
    if not found:
        none = np.zeros(0)
        return Near(none.astype(int), none.astype(int), none, none, none, none)
    columns = (np.concatenate(column) for column in zip(*found, strict=True))
    return Near(*columns)


def _near_one(
    number: int, keep: Keep, stand: Stand, points: Array, reach_m: Array, ground_m: HeightAt
) -> tuple[NDArray[Any], ...]:
    """Columns of Near for one thing; only plants inside the lot can lean over its line."""
    distance = _signed_distance_m(keep, points)
    round_m = _round_m(keep, stand)
    close = distance < reach_m + round_m
    if keep.what == "lot line":
        close &= shapely.contains(shapely.Polygon(keep.shape), points)
    plant = np.flatnonzero(close)
    datum = np.full(len(plant), keep.datum_m if keep.datum_m is not None else 0.0)
    if keep.datum_m is None and len(plant):
        joins = shapely.shortest_line(keep.levels_of or keep.shape, points[plant])
        datum = ground_m(shapely.get_coordinates(joins)[::2])
    lift = datum - stand.xyz_m[plant, 2]
    band = lift + keep.low_m, lift + keep.high_m
    same = np.full(len(plant), number)
    return plant, same, distance[plant], *band, round_m[plant]


def _round_m(keep: Keep, stand: Stand) -> Array:
    """Distance each plant keeps from a thing: thorny ones stay farther back from ways."""
    thorny = np.array([plant.thorny for plant in stand.plants], bool)[stand.plant]
    return keep.round_m + np.where(thorny & (keep.what in HEADROOM_M), THORNS_M, 0.0)


def _signed_distance_m(keep: Keep, points: Array) -> Array:
    """Distance in plan, negative within an area."""
    distance = shapely.distance(points, keep.shape)
    if keep.shape.area > 0:
        within = shapely.contains(keep.shape, points)
        depth = shapely.distance(points, keep.shape.boundary)
        distance = np.where(within, -depth, distance)
    return np.asarray(distance, dtype=float)


def overlap_m(
    pairs: Near, stand: Stand, *, height_m: Floats, spread_m: Floats, base_m: Floats
) -> Floats:
    """Overlap of sizes (..., plant of the stand), (..., pair); minus infinity out of reach."""
    found = np.full((*height_m.shape[:-1], len(pairs.plant)), -np.inf)
    forms = np.array([plant.form for plant in stand.plants])[stand.plant[pairs.plant]]
    for form in np.unique(forms):
        mine = np.flatnonzero(forms == form)
        plant = pairs.plant[mine]
        radius = widest_m(
            FORMS[str(form)],
            height_m=height_m[..., plant],
            spread_m=spread_m[..., plant],
            base_m=base_m[..., plant],
            low_m=pairs.low_m[mine],
            high_m=pairs.high_m[mine],
        )
        found[..., mine] = radius + pairs.round_m[mine] - pairs.distance_m[mine]
    return found


def clearance(
    things: Sequence[Keep], pairs: Near, layout: Layout, stand: Stand
) -> tuple[Clash, ...]:
    """Every plant that touches a thing in some year of its expected, fastest or slowest course.

    The slow course may be the worse one: a tree that lingers under the headroom of a way.
    """
    slow, expected, fast = (
        overlap_m(pairs, stand, height_m=height, spread_m=spread, base_m=base)
        for height, spread, base in zip(
            _courses(stand.height_m), _courses(stand.spread_m), _courses(stand.crown_base_m),
            strict=True,
        )
    )  # fmt: skip
    low = np.minimum.reduce([slow, expected, fast])
    high = np.maximum.reduce([slow, expected, fast])
    touched = np.flatnonzero((high > TOUCH_M).any(axis=0))
    return tuple(
        _clash(things[pairs.keep[k]], pairs, int(k), layout, stand, low, expected, high)
        for k in touched
    )


def _courses(sizes: Range) -> tuple[Array, Array, Array]:
    return sizes.low, sizes.expected, sizes.high


def _clash(
    keep: Keep, pairs: Near, k: int, layout: Layout, stand: Stand,
    low: Floats, expected: Floats, high: Floats,
) -> Clash:  # fmt: skip
    n = int(pairs.plant[k])
    plant = stand.plants[stand.plant[n]]
    return Clash(
        plant=plant.name,
        place=layout.sources[stand.source[n]].place,
        at=(float(stand.xyz_m[n, 0]), float(stand.xyz_m[n, 1])),
        against=keep.of,
        what=keep.what,
        first_year=_first(stand, expected[:, k]),
        earliest_year=_first(stand, high[:, k]),
        latest_year=_first(stand, low[:, k]),
        overlap_m=_most_m(expected[:, k]),
        least_m=_most_m(low[:, k]),
        most_m=_most_m(high[:, k]),
        cures=cures(
            keep,
            plant,
            stand,
            n,
            float(pairs.distance_m[k] - pairs.round_m[k]),
            float(high[:, k].max()),
        ),
    )


def _most_m(overlap: Floats) -> float:
    return max(float(overlap.max()), 0.0)


def _first(stand: Stand, overlap: Floats) -> int | None:
    years = stand.years[overlap > TOUCH_M]
    return int(years[0]) if len(years) else None


def cures(
    keep: Keep, plant: Plant, stand: Stand, n: int, distance_m: float, worst_m: float
) -> tuple[Cure, ...]:
    """What cures an overlap of plant n: clipping, lifting, a wider spacing."""
    found = []
    spread_m = 2 * distance_m
    planted = stand.spread_m.expected[:, n]
    least_m = max(
        float(planted[planted > 0].min(initial=np.inf)), CLIPPED_SHARE * plant.spread_m[0]
    )
    if plant.kind in _CLIPPABLE and spread_m >= least_m:
        found.append(Cure("clip", spread_m))
    tall_m = float(stand.height_m.expected[:, n].max())
    liftable = keep.what in HEADROOM_M and plant.kind in WITH_TRUNK
    if liftable and keep.high_m <= (1 - LEAF_SHARE) * tall_m:
        found.append(Cure("lift", keep.high_m))
    if not stand.kept[n]:
        wanted_m = wall_offset_m(sum(plant.spread_m) / 2) if keep.what == "wall" else 0.0
        found.append(Cure("move", max(worst_m, wanted_m - distance_m)))
    return tuple(found)


def clear_of(
    of: str, things: Sequence[Keep], pairs: Near, stand: Stand, draws: Draws
) -> Range | None:
    """Share of plants clear of a named thing, of a kind clear of all things, or of all ("lot")."""
    every = np.arange(len(stand.plant))
    kinds = [n for n, plant in enumerate(stand.plants) if plant.name == of]
    named = np.array([keep.of == of for keep in things], bool)
    if of == "lot" or kinds:
        counted = every if of == "lot" else every[np.isin(stand.plant, kinds)]
        chosen = np.ones(len(pairs.plant), bool)
    elif named.any():
        counted, chosen = every, named[pairs.keep]
    else:
        return None
    return share_clear(chosen, counted, pairs, stand, draws) if len(counted) else None


def share_clear(
    chosen: NDArray[np.bool_], counted: NDArray[np.int64], pairs: Near, stand: Stand, draws: Draws
) -> Range:
    """Share of the counted plants that touch nothing among the chosen pairs, by year."""
    some = Near(*(column[chosen] for column in vars(pairs).values()))
    touched = np.zeros(draws.height_m.shape, bool)
    over = overlap_m(
        some, stand,
        height_m=draws.height_m, spread_m=draws.spread_m, base_m=draws.crown_base_m,
    ) > TOUCH_M  # fmt: skip
    for k, plant in enumerate(some.plant):
        touched[..., plant] |= over[..., k]
    return range_of_draws(1 - touched[..., counted].mean(axis=-1))
