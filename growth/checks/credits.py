"""Canopy as local rules count it: mature trees credited with areas, or crowns as they grow.

Credited are trees and palms that still stand in the last year: inside the lot, or, over paving,
those whose mature crown reaches over it. Credits add up, without regard to overlap, so they may
pass the whole area. What grows is counted by its crowns, overlaps once (`canopy`). The rules are
local examples (`scenes.canopyrules`), and the code of the place governs.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.findings import Credit, Ruled
from growth.checks.standing import standing
from growth.ranges import Range
from growth.stand import Stand
from scenes.canopyrules import ALL_TREES, CanopyCount, canopy_rules

CREDIT_WORDS = (
    "Canopy credits are sums over the trees and palms that still stand in the last year, each at "
    "its mature size from the first year on, overlaps counted twice: they may come to more than "
    "the whole lot. Rules for trees of a place's own choice are not summed."
)


def credited(
    areas: Mapping[str, BaseGeometry], stand: Stand, places: Sequence[str] = ()
) -> tuple[Credit, ...]:
    """The credit of every preset for mature trees over what is there: the lot, and paving."""
    presets = [rule for rule in canopy_rules().values() if rule.counts == "mature"]
    return tuple(credit(rule, areas[rule.over], stand, places) for rule in presets
                 if rule.over in areas)  # fmt: skip


def credited_trees(
    rule: CanopyCount, area: BaseGeometry, stand: Stand, places: Sequence[str] = ()
) -> Mapping[tuple[str, float], int]:
    """How many trees of a kind a rule credits with how many square metres each."""
    found: dict[tuple[str, float], int] = {}
    for tree in _trees(area, stand, reaching=rule.over == "paving"):
        plant = stand.plants[stand.plant[tree]]
        place = places[stand.source[tree]] if places else ""
        key = plant.name, rule.area_m2(plant.spread_m, plant.height_m, (place, plant.name))
        found[key] = found.get(key, 0) + 1
    return found


def credit(
    rule: CanopyCount, area: BaseGeometry, stand: Stand, places: Sequence[str] = ()
) -> Credit:
    """The credit of one rule over an area; places are the names of the tables plants come from."""
    if rule.trees != ALL_TREES:
        return Credit(rule, None, None)
    trees = credited_trees(rule, area, stand, places)
    total_m2 = sum(number * each_m2 for (_, each_m2), number in trees.items())
    return Credit(rule, total_m2, total_m2 / area.area)


def ruled(rule: CanopyCount, area: BaseGeometry, fraction: Range) -> Ruled:
    """A rule of the document judged by the share it counts, low, expected and high by year."""
    found = Ruled(rule, float(area.area), fraction, "")
    if rule.share is None:
        return found
    ends = (fraction.low, fraction.expected, fraction.high)
    low, expected, high = (float(end[found.year]) for end in ends)
    told = standing(limit=rule.share, at_least=True, low=low, expected=expected, high=high)
    return replace(found, standing=told)


def same_each_year(value: float, years: int) -> Range:
    """A credit as a range over the years: the same in all, from end to end."""
    constant = np.full(years, value)
    return Range(low=constant, expected=constant, high=constant)


def _trees(area: BaseGeometry, stand: Stand, *, reaching: bool) -> NDArray[np.int64]:
    """Trees and palms of the last year inside an area, or with a mature crown over it."""
    kinds = np.array([plant.kind in ("tree", "palm") for plant in stand.plants], bool)
    mature_m = np.array([sum(plant.spread_m) / 4 for plant in stand.plants])
    reach_m = mature_m[stand.plant] if reaching else np.zeros(len(stand.plant))
    away_m = shapely.distance(area, shapely.points(stand.xyz_m[:, :2]))
    counted = kinds[stand.plant] & stand.present[-1] & (away_m <= reach_m)
    return np.flatnonzero(counted).astype(np.int64)
