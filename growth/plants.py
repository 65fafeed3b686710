"""The plants the tool knows, and those a document adds or changes.

A plant is its mature size, growth rate, crown form, see-through, colours and cautions.
The catalogue is plants.csv, one row a plant; every group of facts carries its source there,
or says "from memory". Colours are natural tones chosen for the picture. See-through is
assumed from the porosity class (dense, moderate, porous) unless a row says otherwise.
What no list says about poison is "not looked up", which is no promise of any kind.
"""

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from growth.crowns import FORMS
from growth.errors import GrowthError, growth_error
from growth.seen import SeenRow, seen_faults
from scenes.document import PlantFacts, Yard

CARDS = (
    "ovate", "small", "needle", "lobed", "frond", "willow", "scale", "big", "ivy", "blade",
)  # fmt: skip
"""Names of leaf drawings a plant may carry."""

FACT_GROUPS = ("size", "rate", "zones_light", "see_through", "colours", "cautions")
"""Groups of facts that share one source each."""

MEMORY, DOCUMENT, UNKNOWN = "from memory", "the document", "not looked up"

PARTS = ("spring", "leaf", "autumn", "winter", "flower")
"""Parts that may carry a colour; "leaf" is the foliage of summer."""

_NEEDED = ("kind", "form", "leaf", "height", "spread")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")

_ASSUMED_SEE_THROUGH = {
    "deciduous": (0.24, 0.64),
    "semi-evergreen": (0.20, 0.24),
    "evergreen": (0.08, 0.08),
}
"""Leaf and bare see-through of a plant that states none: the commonest class of its leaf."""

_CARD_OF_FORM = {
    "palm": "frond", "fountain": "blade", "strap": "blade", "rosette": "blade",
    "weeping": "willow", "climber": "ivy", "sheet": "small", "mat": "small", "mounding": "small",
}  # fmt: skip


@dataclass(frozen=True)
class Plant:
    """One kind of plant: metres, shares of 0-1, months 1-12, colours as "#rrggbb".

    A foliage colour of "" is that of summer, colour_leaf; flowers of "" are not showy.
    height_base_age_m is the height at 20 years, of shrubs at 10; None where not known.
    """

    name: str
    common: str
    kind: str
    form: str
    leaf: str
    height_m: tuple[float, float]
    spread_m: tuple[float, float]
    rate: str
    growth_m_per_year: float | None
    height_base_age_m: float | None
    root_depth_m: float | None
    zones: tuple[int, int] | None
    light: str
    see_through_leaf: float
    see_through_bare: float
    card: str
    colour_spring: str
    colour_leaf: str
    colour_autumn: str
    colour_winter: str
    colour_flower: str
    flower_months: tuple[int, ...]
    toxic_people: str
    toxic_pets: str
    thorny: bool
    invasive: str
    sources: Mapping[str, str] = field(hash=False)
    seen: tuple[SeenRow, ...] = ()

    @property
    def toxic(self) -> str:
        """What lists say of its poison, for people and for pets where they differ."""
        if self.toxic_people == self.toxic_pets:
            return self.toxic_people
        said = {"people": self.toxic_people, "pets": self.toxic_pets}
        return "; ".join(_to_whom(text, whom) for whom, text in said.items() if text != UNKNOWN)


def _to_whom(text: str, whom: str) -> str:
    """What a list says, with whom it says it of, unless it does so itself."""
    listed = "listed as toxic"
    if not text.startswith(listed):
        return f"{text} ({whom})"
    told = text.startswith(f"{listed} to ")
    return text if told else text.replace(listed, f"{listed} to {whom}", 1)


@cache
def catalogue() -> Mapping[str, Plant]:
    """The catalogue by botanical name, in the order of plants.csv."""
    table = Path(__file__).with_name("plants.csv")
    with table.open(newline="", encoding="utf-8") as rows:
        plants = [_plant_of_row(row) for row in csv.DictReader(rows)]
    return MappingProxyType({plant.name: plant for plant in plants})


def find(name: str, own: Mapping[str, Plant]) -> Plant:
    """The plant of that botanical name, the document's own before the catalogue's."""
    plant = own.get(name) or catalogue().get(name)
    if plant is None:
        raise GrowthError(f'"{name}" is not a known plant; {_nearest(name, own)}')
    return plant


def own_plants(yard: Yard) -> Mapping[str, Plant]:
    """Plants of a yard's [[plant]] tables: new ones, and catalogue ones with other figures."""
    return plants_of_facts(yard.plant, file=yard.path.name)


def plants_of_facts(tables: Sequence[PlantFacts], *, file: str) -> Mapping[str, Plant]:
    """Plants of [[plant]] tables by name.

    Raises GrowthError with a line for everything that is wrong.
    """
    plants: dict[str, Plant] = {}
    wrong: list[str] = []
    for number, facts in enumerate(tables, start=1):
        faults = _faults(facts)
        if facts.name in plants:
            faults.append(f'name: "{facts.name}" is written twice; keep one table')
        if faults:
            wrong += [f"plant[{number}].{fault}" for fault in faults]
        else:
            plants[facts.name] = _plant_of_facts(facts)
    if wrong:
        raise growth_error(file, wrong)
    return MappingProxyType(plants)


def _nearest(name: str, own: Mapping[str, Plant]) -> str:
    """A remedy with the nearest known names, botanical or common."""
    known = {plant.name.lower(): plant.name for plant in (*catalogue().values(), *own.values())}
    common = {plant.common.lower(): plant.name for plant in catalogue().values()}
    close = get_close_matches(name.lower(), [*known, *common], n=3, cutoff=0.5)
    names = dict.fromkeys({**common, **known}[word] for word in close)
    if not names:
        return "write a botanical name of the catalogue, or add a [[plant]] table"
    return f"the nearest are {', '.join(names)}; or add a [[plant]] table"


def _faults(facts: PlantFacts) -> list[str]:
    """What is wrong with one [[plant]] table, as `key: value; remedy` lines."""
    faults = _missing(facts)
    if facts.form is not None and facts.form not in FORMS:
        faults.append(f'form: "{facts.form}" is unknown; known are {", ".join(FORMS)}')
    for key in ("height", "spread", "zones"):
        pair = getattr(facts, key)
        if pair is not None and pair[0] > pair[1]:
            unit = "" if key == "zones" else " m"
            faults.append(
                f"{key}: {pair[0]:g}{unit} to {pair[1]:g}{unit} falls; write the low one first"
            )
    leaf, bare = _see_through_pair(facts, facts.leaf)
    if leaf is not None and bare is not None and bare < leaf:
        faults.append(f"see_through: bare {bare:g} is below leaf {leaf:g}; write leaf, then bare")
    return faults + seen_faults(facts.seen or ()) + _colour_faults(facts)


def _missing(facts: PlantFacts) -> list[str]:
    """A line that names the keys a new plant lacks, or none for a plant of the catalogue."""
    if facts.name in catalogue():
        return []
    lacking = [key for key in _NEEDED if getattr(facts, key) is None]
    if facts.rate is None and facts.growth_per_year is None:
        lacking.append("rate or growth_per_year")
    if not lacking:
        return []
    return [
        f'name: "{facts.name}" is not in the catalogue and lacks {", ".join(lacking)}; '
        f"add {'it' if len(lacking) == 1 else 'them'}"
    ]


def _colour_faults(facts: PlantFacts) -> list[str]:
    """Lines for colours that are no "#rrggbb" or belong to no known part."""
    faults = [
        f'colours: "{part}" is no part; known are {", ".join(PARTS)}'
        for part in facts.colours or {}
        if part not in PARTS
    ]
    written = {**(facts.colours or {}), **({"flower": facts.flower} if facts.flower else {})}
    return faults + [
        f'colours.{part}: "{colour}" is not a colour; write it like "#4f6b35"'
        for part, colour in written.items()
        if not _COLOUR.fullmatch(colour)
    ]


def _see_through_pair(facts: PlantFacts, leaf: str | None) -> tuple[float | None, float | None]:
    """See-through in leaf and bare as written; one number holds all year for an evergreen."""
    written = facts.see_through
    if isinstance(written, tuple):
        return written
    return written, written if leaf == "evergreen" else None


def _plant_of_facts(facts: PlantFacts) -> Plant:
    """The plant of a checked [[plant]] table, over the catalogue's where it has one."""
    start = catalogue().get(facts.name) or _blank(facts)
    leaf, bare = _see_through_pair(facts, facts.leaf or start.leaf)
    if leaf is not None and bare is None:
        bare = max(leaf, start.see_through_bare)
    colours = {**(facts.colours or {}), **({"flower": facts.flower} if facts.flower else {})}
    given: dict[str, Any] = {
        "common": facts.common,
        "kind": facts.kind,
        "form": facts.form,
        "leaf": facts.leaf,
        "height_m": facts.height,
        "spread_m": facts.spread,
        "rate": facts.rate,
        "root_depth_m": facts.root_depth,
        "light": facts.light,
        "zones": facts.zones,
        "see_through_leaf": leaf,
        "see_through_bare": bare,
        **{f"colour_{part}": colour for part, colour in colours.items()},
        "flower_months": facts.flower_months,
        "toxic_people": facts.toxic_people or facts.toxic,
        "toxic_pets": facts.toxic_pets or facts.toxic,
        "thorny": facts.thorny,
        "invasive": facts.invasive,
        "seen": facts.seen,
    }
    changes = {key: value for key, value in given.items() if value is not None}
    if facts.rate is not None or facts.growth_per_year is not None:
        changes["growth_m_per_year"] = facts.growth_per_year
    return replace(start, **changes, sources=_sources_of(changes, start.sources))


def _sources_of(changes: Mapping[str, Any], before: Mapping[str, str]) -> Mapping[str, str]:
    """Sources where the groups that the document changes name the document."""
    group_of = {
        "height_m": "size", "spread_m": "size", "root_depth_m": "size",
        "rate": "rate", "growth_m_per_year": "rate",
        "zones": "zones_light", "light": "zones_light", "see_through_leaf": "see_through",
        "flower_months": "colours", **{f"colour_{part}": "colours" for part in PARTS},
        "toxic_people": "cautions", "toxic_pets": "cautions", "thorny": "cautions",
        "invasive": "cautions",
    }  # fmt: skip
    changed = {group_of[key]: DOCUMENT for key in changes if key in group_of}
    return MappingProxyType({**before, **changed})


def _blank(facts: PlantFacts) -> Plant:
    """A new plant before its figures are laid over: assumed see-through, card and colours."""
    assert facts.leaf is not None
    assert facts.form is not None
    assert facts.height is not None
    assert facts.spread is not None
    leaf, bare = _ASSUMED_SEE_THROUGH[facts.leaf]
    upright_evergreen = facts.leaf == "evergreen" and facts.form in ("pyramidal", "columnar")
    return Plant(
        name=facts.name, common="", kind=facts.kind or "", form=facts.form, leaf=facts.leaf,
        height_m=facts.height, spread_m=facts.spread, rate=facts.rate or "moderate",
        growth_m_per_year=None, height_base_age_m=None, root_depth_m=None, zones=None, light="",
        see_through_leaf=leaf, see_through_bare=bare,
        card="scale" if upright_evergreen else _CARD_OF_FORM.get(facts.form, "ovate"),
        colour_spring="", colour_leaf="#3f5a33" if facts.leaf == "evergreen" else "#4f6b35",
        colour_autumn="" if facts.leaf == "evergreen" else "#b08a45", colour_winter="",
        colour_flower="", flower_months=(),
        toxic_people=UNKNOWN, toxic_pets=UNKNOWN, thorny=False, invasive="",
        sources=MappingProxyType(dict.fromkeys(FACT_GROUPS, "assumed")),
    )  # fmt: skip


def _plant_of_row(row: Mapping[str, str]) -> Plant:
    """The plant of one row of plants.csv."""
    return Plant(
        name=row["name"], common=row["common"], kind=row["kind"], form=row["form"],
        leaf=row["leaf"], rate=row["rate"], light=row["light"], card=row["card"],
        height_m=(float(row["height_low_m"]), float(row["height_high_m"])),
        spread_m=(float(row["spread_low_m"]), float(row["spread_high_m"])),
        growth_m_per_year=_figure(row["growth_m_per_year"]),
        height_base_age_m=_figure(row["height_base_age_m"]),
        root_depth_m=_figure(row["root_depth_m"]),
        zones=(int(row["zone_low"]), int(row["zone_high"])),
        see_through_leaf=float(row["see_through_leaf"]),
        see_through_bare=float(row["see_through_bare"]),
        colour_spring=row["colour_spring"], colour_leaf=row["colour_leaf"],
        colour_autumn=row["colour_autumn"], colour_winter=row["colour_winter"],
        colour_flower=row["colour_flower"],
        flower_months=tuple(int(month) for month in row["flower_months"].split()),
        toxic_people=row["toxic_people"], toxic_pets=row["toxic_pets"],
        thorny=row["thorny"] == "yes", invasive=row["invasive"],
        sources=MappingProxyType({group: row[f"source_{group}"] for group in FACT_GROUPS}),
    )  # fmt: skip


def _figure(text: str) -> float | None:
    """The number of a cell, None where it is blank."""
    return float(text) if text else None
