"""Unlike plants set nearer to each other than half the sum of their mature spreads.

Trees are held against trees and palms, shrubs against shrubs and bamboo; what stands under a
tree, and plants of one kind set close as a hedge or a mass, is left out. Of every two kinds
the nearest pair is named, with the year in which their expected crowns meet in plan.

Source: half the sum of the spreads, University of Missouri guide (Rothenberger).
"""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from growth.checks.clearance import spacing_m
from growth.checks.findings import Crowded
from growth.plants import Plant
from growth.stand import Stand

CLASSES = (("tree", "palm"), ("shrub", "bamboo"))
"""Kinds of plant that are held against each other."""


def crowded(stand: Stand) -> tuple[Crowded, ...]:
    """The nearest pair of every two kinds that stand too close, the soonest to meet first."""
    found = (
        pair
        for kinds in CLASSES
        for one, other in combinations(_kinds(stand, kinds), 2)
        for pair in _pair(stand, one, other)
    )
    return tuple(sorted(found, key=lambda pair: (pair.first_year is None, pair.first_year or 0)))


def _kinds(stand: Stand, kinds: tuple[str, ...]) -> list[int]:
    """Numbers of the stand's plants of some kinds."""
    return [n for n, plant in enumerate(stand.plants) if plant.kind in kinds]


def _pair(stand: Stand, one: int, other: int) -> Iterator[Crowded]:
    """The nearest pair of two kinds, where it is nearer than their mature spreads ask for."""
    first, second = stand.plants[one], stand.plants[other]
    wanted_m = spacing_m(_middle_m(first), _middle_m(second))
    mine, theirs = _places(stand, one), _places(stand, other)
    if first.name == second.name or not len(mine) or not len(theirs):
        return
    distance_m, nearest = cKDTree(stand.xyz_m[theirs, :2]).query(stand.xyz_m[mine, :2])
    at = int(np.argmin(distance_m))
    a, b = int(mine[at]), int(theirs[nearest[at]])
    if distance_m[at] >= wanted_m or (stand.kept[a] and stand.kept[b]):
        return
    together = stand.present[:, a] & stand.present[:, b]
    reach_m = (stand.spread_m.expected[:, a] + stand.spread_m.expected[:, b]) / 2
    years = stand.years[together & (reach_m > distance_m[at])]
    yield Crowded(
        plant=first.name,
        at=_point(stand, a),
        other=second.name,
        other_at=_point(stand, b),
        distance_m=float(distance_m[at]),
        wanted_m=wanted_m,
        first_year=int(years[0]) if len(years) else None,
    )


def _middle_m(plant: Plant) -> float:
    return sum(plant.spread_m) / 2


def _places(stand: Stand, kind: int) -> NDArray[np.int64]:
    return np.flatnonzero(stand.plant == kind)


def _point(stand: Stand, n: int) -> tuple[float, float]:
    return float(stand.xyz_m[n, 0]), float(stand.xyz_m[n, 1])
