"""Limits of falls: presets with their sources, and what a document puts in their place.

limits.csv holds a row a rule: what it is held against, how that is measured, a desirable and
an extreme limit in percent, where it comes from and how surely it is known. They are local
examples, not the law: the code of the place governs. A [[limit]] of the document replaces the
figures of the rule it names and must say by which source.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from scenes.document import Yard
from scenes.errors import Mistake, shown
from scenes.mistakes import nearest

TABLE = Path(__file__).with_name("limits.csv")


@dataclass(frozen=True)
class FallLimit:
    """One rule: what of what is limited to which percent, on which side, by whom."""

    rule: str
    of: str
    measure: str
    at_least: bool
    desirable_percent: float
    limit_percent: float
    source: str

    def standing(self, percent: float) -> str:
        """desirable, tolerable or beyond, of a fall in percent."""
        sign = 1 if self.at_least else -1
        if sign * (percent - self.desirable_percent) >= -1e-6:
            return "desirable"
        return "tolerable" if sign * (percent - self.limit_percent) >= -1e-6 else "beyond"


@cache
def presets() -> dict[str, FallLimit]:
    """The limits of limits.csv by their rule."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return {
            row["rule"]: FallLimit(
                rule=row["rule"],
                of=row["of"],
                measure=row["measure"],
                at_least=row["side"] == "at_least",
                desirable_percent=float(row["desirable_percent"]),
                limit_percent=float(row["limit_percent"]),
                source=f"{row['source']} ({row['place']}; {row['evidence']})",
            )
            for row in csv.DictReader(file)
        }


def limits_of(yard: Yard) -> tuple[FallLimit, ...]:
    """The presets, with the figures of the document where it writes its own."""
    own = {limit.rule: limit for limit in yard.limit}
    found = []
    for rule, preset in presets().items():
        if rule in own:
            desirable = own[rule].desirable_percent
            preset = replace(
                preset,
                limit_percent=own[rule].percent,
                desirable_percent=own[rule].percent if desirable is None else desirable,
                source=f"{own[rule].source} (written in the document)",
            )
        found.append(preset)
    return tuple(found)


def limits_known(yard: Yard) -> Iterator[Mistake]:
    """Limits of a rule that is not there, or written twice, or on the wrong side of each other."""
    seen = set()
    for number, limit in enumerate(yard.limit, 1):
        place = f"limit[{number}]"
        preset = presets().get(limit.rule)
        if preset is None:
            close = nearest(limit.rule, dict.fromkeys(presets())) or list(presets())[:3]
            remedy = f"did you mean {' or '.join(map(shown, close))}?"
            yield Mistake(f"{place}.rule", f"{shown(limit.rule)} is not a rule", remedy)
            continue
        if limit.rule in seen:
            wrong = f"{shown(limit.rule)} is written twice"
            yield Mistake(f"{place}.rule", wrong, "write each rule once")
        seen.add(limit.rule)
        desirable = limit.percent if limit.desirable_percent is None else limit.desirable_percent
        if (desirable - limit.percent) * (1 if preset.at_least else -1) < 0:
            side = "at least" if preset.at_least else "at most"
            wrong = f"{desirable:g} % is laxer than the limit of {limit.percent:g} %"
            yield Mistake(f"{place}.desirable_percent", wrong, f"write {side} {limit.percent:g}")
