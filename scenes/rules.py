"""Rules of a document that need several keys or tables at once; each rule gives its mistakes.

Names that are spoken of must be there (a target, a bed to fill, what a requirement is about),
names must be told apart, and low must be below high. Keys by kind are in `scenes.keys`,
outlines and places in `scenes.outlines`; RULES is the register of all.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from scenes import keys, outlines
from scenes.baseplan import base_plan_tied
from scenes.canopyrules import canopy_rules_known
from scenes.countwords import count_words
from scenes.document import Panel, Yard
from scenes.errors import Mistake, mistake_of, shown
from scenes.files import MODEL_BYTES, MODEL_TYPES, SURVEY_BYTES, file_inside
from scenes.limits import limits_known
from scenes.mistakes import nearest
from scenes.points import points_of
from scenes.rootrules import trunk_m
from scenes.sighttriangles import sights_known
from scenes.surfaces import BUILDINGS
from scenes.survey import SURVEY_TYPES

Rule = Callable[[Yard], Iterator[Mistake]]
Names = dict[str, None]
"""Names in the order of the document, quick to look up."""

LOT, PAVING_WORD = "lot", "paving"
SHARES = frozenset({"screening", "opening", "coverage", "canopy", "roots", "fall", "light"})
"""Checks whose limit is a share from 0 to 1."""

NAMED_TABLES = (
    "grading", "surface", "bed", "structure", "plant", "street", "sight", "view", "head",
    "trench", "drain", "canopy_rule",
)  # fmt: skip


def mistakes_in(yard: Yard) -> Iterator[Mistake]:
    """All that the rules find wrong, rule by rule."""
    for rule in RULES:
        yield from rule(yard)


def ground_given_once(yard: Yard) -> Iterator[Mistake]:
    """The ground is either a survey file or points."""
    if (yard.ground.survey is None) == (yard.ground.points is None):
        written = "neither" if yard.ground.survey is None else "both"
        wrong = f"{written} of survey and points"
        yield Mistake("ground", wrong, "write one of survey = ..., points = ...")


def files_there(yard: Yard) -> Iterator[Mistake]:
    """Files the document names, of a known type, inside its folder, not too large."""
    for place, name, types, most_bytes in _files(yard):
        try:
            file_inside(yard.path.parent, name, types=types, most_bytes=most_bytes)
        except ValueError as error:
            yield mistake_of(error, place, value=name)


def names_told_apart(yard: Yard) -> Iterator[Mistake]:
    """Names written twice in one table, or for two things a view can look at."""
    for table in (*NAMED_TABLES, "requirement"):
        yield from _twice((f"{table}[{n}].name", item.name) for n, item in _numbered(yard, table))
    structures = {item.name for item in yard.structure}
    openings = [(place, name) for place, name in _openings(yard)]
    yield from _twice(openings)
    for place, name in openings:
        if name in structures:
            wrong = f"{shown(name)} is the name of a structure too"
            yield Mistake(place, wrong, "give the opening a name of its own")
    for number, bed in enumerate(yard.bed, 1):
        if bed.name == LOT:
            yield Mistake(f"bed[{number}].name", '"lot" means the whole yard', "name it otherwise")


def beds_there(yard: Yard) -> Iterator[Mistake]:
    """Fills whose bed is not there."""
    beds = {bed.name: None for bed in yard.bed}
    for table in ("planting", "kept"):
        for number, item in _numbered(yard, table):
            if item.fill is not None and item.fill not in beds:
                yield _not_there(f"{table}[{number}].fill", item.fill, beds, "a bed")


def views_aimed(yard: Yard) -> Iterator[Mistake]:
    """Views without one place to look from, or with a target or floor that is not there."""
    named = [item.name for item in yard.structure] + [name for _, name in _openings(yard)]
    targets = dict.fromkeys(named)
    floors = {item.name: None for item in yard.structure if item.floor is not None}
    walls = {item.name for item in yard.structure if item.name in floors and item.outline}
    for number, view in enumerate(yard.view, 1):
        place = f"view[{number}]"
        if (view.eye is None) == (view.square_to is None):
            written = "neither" if view.eye is None else "both"
            yield Mistake(place, f"{written} of eye and square_to", "write one of them")
        if view.square_to is not None and view.square_to[0] == view.square_to[1]:
            yield Mistake(f"{place}.square_to", "both points are the same", "write a line")
        if isinstance(view.target, str) and view.target not in targets:
            known = "an opening or a structure"
            yield _not_there(f"{place}.target", view.target, targets, known)
        if view.above is not None and view.above not in floors:
            known = "a structure with a floor"
            yield _not_there(f"{place}.above", view.above, floors, known)
        if view.overlooks is not None and not (
            view.above in walls and len(points_of(view.eye)) == 1
        ):
            wrong = "only a single eye above the floor of a building with an outline has that"
            yield Mistake(f"{place}.overlooks", wrong, "write one eye, and `above` which building")


def requirements_about_something(yard: Yard) -> Iterator[Mistake]:
    """Requirements about something that is not there, or without exactly one limit."""
    subjects = _subjects(yard)
    for number, requirement in enumerate(yard.requirement, 1):
        place = f"requirement[{number}]"
        names, words = subjects.get(requirement.check, subjects[""])
        if requirement.of not in names:
            yield _not_there(f"{place}.of", requirement.of, names, words)
        limits = {"at_least": requirement.at_least, "at_most": requirement.at_most}
        written = {key: limit for key, limit in limits.items() if limit is not None}
        if len(written) != 1:
            wrong = f"{'both' if written else 'neither'} of at_least and at_most"
            yield Mistake(place, wrong, "write one of them")
        for key, limit in written.items():
            if requirement.check in SHARES and not 0 <= limit <= 1:
                wrong = f"{limit:g} is not a share"
                yield Mistake(f"{place}.{key}", wrong, "write it from 0 to 1, like 0.8")


def low_below_high(yard: Yard) -> Iterator[Mistake]:
    """Pairs of low and high that are the wrong way round, and panels without a width."""
    for place, low, high in _heights(yard):
        if low >= high:
            yield Mistake(place, "low is not below high", "write low below high")
    for number, view in enumerate(yard.view, 1):
        if isinstance(view.target, Panel) and view.target.from_ == view.target.to:
            wrong = "from and to are the same point"
            yield Mistake(f"view[{number}].target", wrong, "give it a width")
    for number, plant in enumerate(yard.plant, 1):
        for key in ("height", "spread", "zones"):
            pair = getattr(plant, key)
            if pair is not None and pair[0] > pair[1]:
                wrong = "the first is above the second"
                yield Mistake(f"plant[{number}].{key}", wrong, "write low, then high")
        years = [seen[0] for seen in plant.seen or ()]
        if years != sorted(set(years)):
            wrong = "the years do not rise"
            yield Mistake(f"plant[{number}].seen", wrong, "write them in order, each once")


RULES: tuple[Rule, ...] = (
    ground_given_once,
    files_there,
    outlines.crossing_outlines,
    outlines.crossing_lines,
    keys.keys_of_gradings,
    keys.operations_counted,
    keys.keys_of_surfaces,
    keys.keys_of_structures,
    keys.counts_of_levels,
    keys.keys_of_plants,
    names_told_apart,
    beds_there,
    outlines.corners_there,
    outlines.openings_on_walls,
    outlines.points_outside,
    outlines.crowded_plants,
    low_below_high,
    views_aimed,
    requirements_about_something,
    limits_known,
    sights_known,
    canopy_rules_known,
    base_plan_tied,
)


def _numbered(yard: Yard, table: str) -> Iterator[tuple[int, Any]]:
    yield from enumerate(getattr(yard, table), 1)


def _openings(yard: Yard) -> Iterator[tuple[str, str]]:
    for number, structure in enumerate(yard.structure, 1):
        for k, opening in enumerate(structure.opening, 1):
            yield f"structure[{number}].opening[{k}].name", opening.name


def _files(yard: Yard) -> Iterator[tuple[str, str, tuple[str, ...], int]]:
    if yard.ground.survey is not None:
        yield "ground.survey", yard.ground.survey, SURVEY_TYPES, SURVEY_BYTES
    for number, structure in enumerate(yard.structure, 1):
        if structure.file is not None:
            yield f"structure[{number}].file", structure.file, MODEL_TYPES, MODEL_BYTES


def _twice(named: Iterable[tuple[str, str]]) -> Iterator[Mistake]:
    seen: Counter[str] = Counter()
    for place, name in named:
        if seen[name]:
            yield Mistake(place, f"{shown(name)} is written twice", "give each its own name")
        seen[name] += 1


def _not_there(place: str, name: str, known: Names, words: str) -> Mistake:
    close = nearest(name, known) or list(known)[:5]
    remedy = f"did you mean {' or '.join(map(shown, close))}?" if close else "there is none yet"
    return Mistake(place, f"{shown(name)} is not {words}", remedy)


def _subjects(yard: Yard) -> dict[str, tuple[Names, str]]:
    """The names a requirement may be about and what they are, by check; "" for the others."""
    views = dict.fromkeys(view.name for view in yard.view)
    beds = dict.fromkeys([*(bed.name for bed in yard.bed), LOT])
    named = [item.name for table in NAMED_TABLES for _, item in _numbered(yard, table)]
    plants = [name for item in yard.kept for name in (item.name, item.plant)]
    plants += [name for item in yard.planting for name in (item.name, item.plant)]
    mixed = [name for item in yard.planting for name in item.mix or ()]
    grown = [*(name for name in plants if name), *mixed]
    openings = [name for _, name in _openings(yard)]
    trees = [kept for kept in yard.kept if trunk_m(kept) is not None]
    rooted = [name for kept in trees for name in (kept.name, kept.plant) if name]
    falling = [item.name for item in yard.surface] + [item.name for item in yard.bed]
    falling += [item.name for item in yard.structure if item.kind in BUILDINGS]
    falling += [item.name for item in yard.grading if item.do == "swale"]
    kept_clear = [item.name for item in yard.structure]
    kept_clear += [item.name for item in yard.surface]
    kept_clear += [*openings, *mixed, *(item.plant for item in yard.kept)]
    kept_clear += [item.plant for item in yard.planting if item.plant]
    canopy = [rule.name for rule in yard.canopy_rule]
    words = 'a structure, opening, surface or plant, "lot line" or "lot"'
    anything = [*named, *grown, *openings, LOT]
    return {
        "screening": (views, "a view"),
        "opening": (views, "a view"),
        "coverage": (beds, 'a bed or "lot"'),
        "canopy": (dict.fromkeys([LOT, PAVING_WORD, *canopy]), '"lot", "paving" or a canopy_rule'),
        "light": (dict.fromkeys([*grown, LOT]), 'a plant or "lot"'),
        "roots": (dict.fromkeys([*rooted, LOT]), 'a kept tree with a trunk_diameter, or "lot"'),
        "fall": (dict.fromkeys([*falling, LOT]), 'a surface, bed, building, swale or "lot"'),
        "count": (dict.fromkeys(count_words(bed.name for bed in yard.bed)), "a count"),
        "sight": (dict.fromkeys(sight.name for sight in yard.sight), "a sight"),
        "clearance": (dict.fromkeys([*kept_clear, "lot line", LOT]), words),
        "": (dict.fromkeys(anything), "anything in this yard"),
    }


def _heights(yard: Yard) -> Iterator[tuple[str, float, float]]:
    for number, structure in enumerate(yard.structure, 1):
        for k, opening in enumerate(structure.opening, 1):
            yield f"structure[{number}].opening[{k}]", opening.low, opening.high
    for number, view in enumerate(yard.view, 1):
        if isinstance(view.target, Panel):
            yield f"view[{number}].target", view.target.low, view.target.high
    for number, sight in enumerate(yard.sight, 1):
        if sight.band is not None:
            yield f"sight[{number}].band", *sight.band
