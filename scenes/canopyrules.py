"""Local canopy rules: what counts over what, how a tree is credited, and the share that is asked.

canopyrules.csv holds local examples with place, date and source, not the law. A `[[canopy_rule]]`
of the document names one of them, or writes its own figures; what it writes goes first.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from math import pi
from pathlib import Path
from typing import Any

from scenes.document import CanopyRule, Yard
from scenes.errors import Mistake, shown
from scenes.mistakes import nearest

TABLE = Path(__file__).with_name("canopyrules.csv")

ALL_TREES = "all"
"""The word in the table for a rule that holds for every tree."""

LARGE_FROM_M = 12.192
"""Mature height from which a tree is large where nothing is written: 40 ft, the least height of
a canopy tree in Montgomery County, Maryland (zoning 6.4, second hand)."""

_FIGURES = ("taller_than_m", "factor", "radius_m", "large_m2", "small_m2", "share")
_KEYS = {
    "over": "over", "counts": "counts", "taller_than": "taller_than_m", "factor": "factor",
    "radius": "radius_m", "large_credit": "large_m2", "small_credit": "small_m2",
    "large_from": "large_from_m", "share": "share", "year": "year",
}  # fmt: skip


@dataclass(frozen=True)
class CanopyCount:
    """How canopy is counted: metres, square metres, shares of 0-1; None = not asked.

    A mature tree is credited with `credit_m2` by its planting or plant, else by its size
    (large, small), else with factor times a circle of the radius or of its mean mature spread.
    """

    name: str
    trees: str = ALL_TREES
    over: str = "lot"
    counts: str = "mature"
    taller_than_m: float | None = None
    factor: float | None = None
    radius_m: float | None = None
    large_m2: float | None = None
    small_m2: float | None = None
    large_from_m: float = LARGE_FROM_M
    share: float | None = None
    year: int | None = None
    place: str = ""
    date: str = ""
    source: str = "as written in the document"
    credit_m2: dict[str, float] = field(default_factory=dict)

    def area_m2(
        self, spread_m: tuple[float, float], height_m: tuple[float, float], names: tuple[str, ...]
    ) -> float:
        """Credit in square metres of one tree: its mature spread and height, low and high."""
        for name in names:
            if name in self.credit_m2:
                return self.credit_m2[name]
        if self.large_m2 is not None and self.small_m2 is not None:
            return self.large_m2 if sum(height_m) / 2 >= self.large_from_m else self.small_m2
        radius_m = sum(spread_m) / 4 if self.radius_m is None else self.radius_m
        return (1.0 if self.factor is None else self.factor) * pi * radius_m**2


@cache
def canopy_rules() -> dict[str, CanopyCount]:
    """The rules of canopyrules.csv by name."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return {row["rule"]: _preset(row) for row in csv.DictReader(file)}


def _preset(row: dict[str, str]) -> CanopyCount:
    figures: dict[str, Any] = {key: float(row[key]) if row[key] else None for key in _FIGURES}
    return CanopyCount(
        name=row["rule"], trees=row["trees"], over=row["over"], counts=row["counts"],
        large_from_m=float(row["large_from_m"] or LARGE_FROM_M),
        year=int(row["year"]) if row["year"] else None,
        place=row["place"], date=row["date"], source=row["source"], **figures,
    )  # fmt: skip


def canopy_counts(yard: Yard) -> tuple[CanopyCount, ...]:
    """The canopy rules of a document in its order."""
    return tuple(_written(rule) for rule in yard.canopy_rule)


def _written(rule: CanopyRule) -> CanopyCount:
    preset = canopy_rules().get(rule.rule or "", CanopyCount(rule.name))
    known = {kept: getattr(preset, kept) for kept in _KEYS.values()}
    own = {kept: getattr(rule, key) for key, kept in _KEYS.items()}
    figures: dict[str, Any] = known | {key: own[key] for key in own if own[key] is not None}
    return CanopyCount(
        name=rule.name, place=preset.place, date=preset.date,
        source=f"{rule.rule}: {preset.source}" if rule.rule else preset.source,
        credit_m2=dict(rule.credit or {}), **figures,
    )  # fmt: skip


def canopy_rules_known(yard: Yard) -> Iterator[Mistake]:
    """Canopy rules of an unknown name, with half a pair of keys, or credits for nothing planted."""
    grown = {name: None for item in yard.planting for name in (item.name, item.plant) if name}
    grown |= {name: None for item in yard.kept for name in (item.name, item.plant) if name}
    grown |= {name: None for item in yard.planting for name in item.mix or ()}
    for number, rule in enumerate(yard.canopy_rule, 1):
        place = f"canopy_rule[{number}]"
        if rule.rule is not None and rule.rule not in canopy_rules():
            close = nearest(rule.rule, canopy_rules()) or list(canopy_rules())
            remedy = f"write one of {', '.join(map(shown, close))}, or leave it out"
            yield Mistake(f"{place}.rule", f"{shown(rule.rule)} is not a rule we know", remedy)
        for one, other in (("large_credit", "small_credit"), ("share", "year")):
            written = [key for key in (one, other) if getattr(rule, key) is not None]
            if len(written) == 1 and rule.rule is None:
                yield Mistake(place, f"{written[0]} stands alone", f"write {one} and {other}")
        for name in rule.credit or ():
            if name not in grown:
                close = nearest(name, grown) or list(grown)[:5]
                remedy = f"did you mean {' or '.join(map(shown, close))}?" if close else "plant it"
                yield Mistake(f"{place}.credit", f"{shown(name)} is not planted or kept", remedy)
