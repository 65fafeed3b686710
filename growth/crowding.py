"""Which plants stand so far under taller neighbours that their base goes bare, and from when.

By our ruling crowding takes away only the part of a crown inside a taller neighbour; the rest
stays where it is. For the checks nothing changes by that: bed cover and canopy are unions of
crowns, and along a sight line the denser leaf counts once. What a forecast must still say is
that leaf under a taller crown is lost: a screen so shaded is bare below.

Rule (common practice, simple geometry): the base is shaded out from the first year in which
half of the crown's edge lies under crowns of plants at least half as tall again, by expected
sizes. Plants that bear shade, and all but trees, shrubs and bamboo, are not named.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree

from growth.courses import IntArray
from growth.plants import Plant
from growth.ranges import Array
from growth.stand import Stand

TALLER = 1.5
"""Neighbours this many times as tall take the light. Common practice."""

SHADED_SHARE = 0.5
"""Share of the edge under taller crowns from which the base is shaded out. Assumed."""

EDGE_POINTS = 16

BARE_BELOW = ("tree", "shrub", "bamboo")
BEARS_SHADE = ("sun to shade", "part shade to shade", "part shade")

_NEVER = np.iinfo(np.int64).max
_PAIRS_AT_ONCE = 2**17


@dataclass(frozen=True)
class ShadedOut:
    """Plants of a place of the document whose base is shaded out: how many, since which year."""

    plant: str
    source: int
    shaded: int
    of: int
    first_year: int


def shaded_out(stand: Stand) -> tuple[ShadedOut, ...]:
    """Every source with plants shaded out at their base, in the order of sources."""
    first = first_shaded_year(stand)
    found = []
    for source in np.unique(stand.source[first < _NEVER]):
        years = first[stand.source == source]
        name = stand.plants[stand.plant[stand.source == source][0]].name
        shaded = int((years < _NEVER).sum())
        found.append(ShadedOut(name, int(source), shaded, len(years), int(years.min())))
    return tuple(found)


def first_shaded_year(stand: Stand) -> IntArray:
    """First year in which each plant's base is shaded out, (n,); the largest integer if none."""
    first: IntArray = np.full(len(stand.plant), _NEVER)
    named = np.array([_goes_bare(plant) for plant in stand.plants], bool)
    mine = np.flatnonzero(named[stand.plant]) if len(stand.plant) else np.zeros(0, int)
    below, above = _pairs(stand, mine)
    if not len(below):
        return first
    tall_m, wide_m = stand.height_m.expected, stand.spread_m.expected
    for number, year in enumerate(stand.years):
        taller = tall_m[number, above] >= TALLER * tall_m[number, below]
        taller &= (wide_m[number, below] > 0) & (first[below] == _NEVER)
        share = _edge_share(stand, below[taller], above[taller], wide_m[number] / 2)
        first[(share >= SHADED_SHARE) & (first == _NEVER)] = year
    return first


def _goes_bare(plant: Plant) -> bool:
    return plant.kind in BARE_BELOW and plant.light not in BEARS_SHADE


def _pairs(stand: Stand, mine: IntArray) -> tuple[IntArray, IntArray]:
    """Plants and the others whose largest crowns may reach over them, two index arrays."""
    reach_m = stand.spread_m.expected.max(axis=0, initial=0) / 2
    below, above = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
    for size_m in np.unique(np.ceil(reach_m[reach_m > 0])):  # few sizes, many plants
        wide = np.flatnonzero(np.ceil(reach_m) == size_m)
        near = KDTree(stand.xyz_m[wide, :2]).query_ball_point(
            stand.xyz_m[mine, :2], size_m + reach_m[mine]
        )
        victims = np.repeat(mine, [len(found) for found in near])
        others = wide[np.concatenate([*near, []]).astype(np.int64)]
        below.append(victims[victims != others])
        above.append(others[victims != others])
    return np.concatenate(below), np.concatenate(above)


def _edge_share(stand: Stand, below: IntArray, above: IntArray, radius_m: Array) -> Array:
    """Share of every plant's edge that lies under the crowns of its pairs, (n,)."""
    angle = 2 * np.pi * np.arange(EDGE_POINTS) / EDGE_POINTS
    ring = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    under = np.zeros((len(radius_m), EDGE_POINTS), bool)
    for start in range(0, len(below), _PAIRS_AT_ONCE):
        mine, other = (side[start : start + _PAIRS_AT_ONCE] for side in (below, above))
        edge = stand.xyz_m[mine, None, :2] + radius_m[mine, None, None] * ring
        away = edge - stand.xyz_m[other, None, :2]
        hit = (away**2).sum(axis=-1) <= radius_m[other, None] ** 2
        row, point = np.nonzero(hit)
        under[mine[row], point] = True
    return np.asarray(under.mean(axis=1))
