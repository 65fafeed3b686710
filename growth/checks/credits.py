"""Canopy credited by rule: each tree counts a fixed area for its mature size, not its growth.

Rules stand in canopy_rules.csv with place, date and source; they are local examples, and the
code of the place governs. Credited are trees and palms inside the lot that still stand in
the last year. Credits add up, without regard to overlap, so they may pass the lot's area. A
rule for trees that the place has chosen credits no lot: which trees those are is not known.
"""

import csv
from dataclasses import dataclass
from functools import cache
from math import pi
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import Polygon

from growth.plants import Plant
from growth.stand import Stand

ALL_TREES = "all"
"""The word in the table for a rule that holds for every tree."""

CREDIT_WORDS = (
    "Canopy credits are sums over the trees and palms that still stand in the last year, each at "
    "its mature size from the first year on, overlaps counted twice: they may come to more than "
    "the whole lot. Rules for trees of a place's own choice are not summed."
)

TABLE = Path(__file__).parents[1] / "canopy_rules.csv"


@dataclass(frozen=True)
class CreditRule:
    """One rule: factor times a circle of the mean mature spread, or of a fixed radius."""

    rule: str
    trees: str
    factor: float
    radius_m: float | None
    place: str
    date: str
    source: str

    def area_m2(self, spread_m: tuple[float, float]) -> float:
        """Credit in square metres of one tree by its mature spread, low and high."""
        radius_m = sum(spread_m) / 4 if self.radius_m is None else self.radius_m
        return self.factor * pi * radius_m**2


@dataclass(frozen=True)
class Credit:
    """What a rule credits the lot's trees with, summed; None where it holds for chosen trees.

    The fraction is of the lot's area, and above 1 where the sum is larger than the lot.
    """

    rule: CreditRule
    area_m2: float | None
    fraction: float | None


@cache
def rules() -> tuple[CreditRule, ...]:
    """The rules of canopy_rules.csv."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return tuple(
            CreditRule(
                rule=row["rule"],
                trees=row["trees"],
                factor=float(row["factor"]),
                radius_m=float(row["radius_m"]) if row["radius_m"] else None,
                place=row["place"],
                date=row["date"],
                source=row["source"],
            )
            for row in csv.DictReader(file)
        )


def credited(boundary: Polygon, stand: Stand) -> tuple[Credit, ...]:
    """The credit of every rule for the trees of a stand."""
    inside = np.asarray(shapely.intersects_xy(boundary, *stand.xyz_m[:, :2].T), bool)
    counted = stand.plant[inside & stand.present[-1]]
    trees = [p for p in (stand.plants[n] for n in counted) if p.kind in ("tree", "palm")]
    return tuple(_credit(rule, trees, float(boundary.area)) for rule in rules())


def _credit(rule: CreditRule, trees: list[Plant], lot_m2: float) -> Credit:
    if rule.trees != ALL_TREES:
        return Credit(rule, None, None)
    area_m2 = sum(rule.area_m2(tree.spread_m) for tree in trees)
    return Credit(rule, area_m2, area_m2 / lot_m2)
