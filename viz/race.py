"""The growth race as plain data: the course of every plant of the catalogue, side by side.

Every plant is grown alone, on the yard's site, from at most three sizes it is usually sold
in, and from the sizes the yard plants it in. All courses travel as one array of whole
numbers, so that plants can be picked in a saved page without asking anybody. Left out:
neighbours, clipping and lost roots, which only a yard has.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.climate import Climate, city_of
from growth.crowns import FORMS, WITH_TRUNK, relative_radius
from growth.errors import GrowthError
from growth.medians import Median, medians
from growth.memory import Memory
from growth.nursery import nursery_size, usual_size
from growth.plants import Plant, catalogue, own_plants
from growth.search import is_listed_toxic
from growth.specimen import Specimen, grow_specimen
from growth.starts import climate_of
from growth.uses import uses
from scenes.document import Yard
from scenes.layout import Source

LAST_YEAR = 30
SERIES = (
    "height_low", "height_expected", "height_high",
    "spread_low", "spread_expected", "spread_high", "crown_base",
)  # fmt: skip
"""Order of the series of one course."""

MOST_RACING = 5
COMPARED_YEAR = 15
"""Growth from planting to this year puts the yard's kinds in order."""

OUTLINE_NODES = 41
TOP_COUNT = 65535

_OFFERED = {
    "tree": ("#5", "2 in cal", "4 in cal"),
    "evergreen tree": ("3 ft ht", "6 ft ht", "10 ft ht"),
    "shrub": ("#1", "#5", "#15"),
    "bamboo": ("#1", "#5", "#15"),
    "palm": ("#5", "#15", "#45"),
    "cycad": ("#3", "#7", "#15"),
}
"""Sizes each kind is usually sold in, small to large; trees that keep leaves are sold by height.
Common practice."""

_SOFT_OFFERED = ("#1", "#3")


@dataclass(frozen=True)
class Runner:
    """A plant with the sizes at planting it can be raced from, and its course from each."""

    plant: Plant
    sizes: tuple[str, ...]
    courses: tuple[Specimen, ...]
    first: int  # the size it starts with, an index into sizes


@dataclass(frozen=True)
class Packed:
    """Courses in whole numbers: metres = count * step_m of its course; (course, series, year)."""

    counts: NDArray[np.uint16]
    step_m: NDArray[np.float32]


def runners(
    yard: Yard, sources: Sequence[Source], memory: Memory | None = None
) -> tuple[Runner, ...]:
    """Every plant of the catalogue and of the document, by name, on the yard's site.

    With a memory that is given again after an edit, only plants that it touched are grown anew.
    """
    memory = memory or Memory()
    memory.next_round()
    planted = _planted_sizes(sources)
    plants = {**catalogue(), **own_plants(yard)}
    site = climate_of(yard)
    each = [(plants[name], tuple(planted.get(name, ()))) for name in sorted(plants)]
    grown = memory.each(
        [(repr(plant), sizes, site) for plant, sizes in each],
        lambda missing: [_runner(*each[number], site) for number in missing],
    )
    return tuple(grown)


def starters(all_runners: Sequence[Runner], sources: Sequence[Source]) -> tuple[int, ...]:
    """The yard's kinds, slowest to fastest, as indices; evenly chosen where they are too many."""
    kinds = {source.plant for source in sources}
    mine = [i for i, runner in enumerate(all_runners) if runner.plant.name in kinds]
    mine.sort(key=lambda i: _gained_m(all_runners[i]))
    if len(mine) <= MOST_RACING:
        return tuple(mine)
    chosen = np.linspace(0, len(mine) - 1, MOST_RACING).round().astype(int)
    return tuple(mine[i] for i in chosen)


def _gained_m(runner: Runner) -> float:
    height_m = runner.courses[runner.first].height_m.expected
    return float(height_m[COMPARED_YEAR] - height_m[0])


def sizes_offered(plant: Plant, *, planted: Sequence[str] = ()) -> tuple[str, ...]:
    """Sizes at planting to choose from, each of another height or spread, small to large."""
    evergreen_tree = plant.kind == "tree" and plant.leaf != "deciduous"
    group = "evergreen tree" if evergreen_tree else plant.kind
    wanted = [*planted, usual_size(plant), *_OFFERED.get(group, _SOFT_OFFERED)]
    measures: dict[tuple[float, float], str] = {}
    for size in wanted:
        try:
            stock = nursery_size(size, plant)
        except GrowthError:  # taller than the plant grows
            continue
        measures.setdefault((stock.height_m, stock.spread_m), size)
    return tuple(measures[measure] for measure in sorted(measures))


def packed(courses: Sequence[Specimen]) -> Packed:
    """All courses in 16-bit counts, each with the step of its largest size; off by half a step."""
    sizes_m = np.array([_series_m(course) for course in courses])
    largest_m = sizes_m.max(axis=(1, 2))
    step_m = np.nextafter((largest_m / TOP_COUNT).astype(np.float32), np.float32(np.inf))
    counts = np.round(sizes_m / step_m.astype(float)[:, None, None])
    return Packed(counts.astype(np.uint16), step_m)


def as_params(
    yard: Yard, sources: Sequence[Source], memory: Memory | None = None
) -> dict[str, Any]:
    """What the component is sent: kinds, their courses, crown outlines, and who starts."""
    racing = runners(yard, sources, memory)
    course = packed([course for runner in racing for course in runner.courses])
    ends = np.cumsum([0, *(len(runner.courses) for runner in racing)])
    return {
        "kinds": {
            "kinds": [_kind(r, int(first)) for r, first in zip(racing, ends, strict=False)],
            "start": list(starters(racing, sources)),
        },
        "courses": {"counts": course.counts.ravel(), "step": course.step_m},
        "outlines": {name: _outline(name) for name in FORMS},
    }


def _outline(form: str) -> list[float]:
    """Radii in half spreads at even heights from crown base to top."""
    h = np.linspace(0, 1, OUTLINE_NODES)
    return [round(float(r), 4) for r in relative_radius(FORMS[form], h)]


def _planted_sizes(sources: Sequence[Source]) -> Mapping[str, tuple[str, ...]]:
    """Sizes the document plants each kind in, in its order."""
    found: dict[str, tuple[str, ...]] = {}
    for source in sources:
        size = source.planting.size if source.planting else None
        if size is not None and size not in found.get(source.plant, ()):
            found[source.plant] = (*found.get(source.plant, ()), size)
    return found


def _runner(plant: Plant, planted: Sequence[str], site: Climate) -> Runner:
    sizes = sizes_offered(plant, planted=planted)
    courses = tuple(grow_specimen(plant, size=size, climate=site) for size in sizes)
    wanted = nursery_size(planted[0] if planted else usual_size(plant), plant)
    stocks = [nursery_size(size, plant) for size in sizes]
    measures = [(stock.height_m, stock.spread_m) for stock in stocks]
    return Runner(plant, sizes, courses, measures.index((wanted.height_m, wanted.spread_m)))


def _series_m(course: Specimen) -> list[NDArray[np.float64]]:
    """The series of a course in the order of SERIES, metres by year."""
    height_m, spread_m = course.height_m, course.spread_m
    return [
        height_m.low, height_m.expected, height_m.high,
        spread_m.low, spread_m.expected, spread_m.high, course.crown_base_m.expected,
    ]  # fmt: skip


def _kind(runner: Runner, first_course: int) -> dict[str, Any]:
    """All that is told of one plant; names stay text until the browser shows them."""
    plant, course = runner.plant, runner.courses[runner.first]
    return {
        "name": plant.name,
        "common": plant.common,
        "words": " ".join(_search_words(plant)).lower(),
        "form": plant.form,
        "trunk": plant.kind in WITH_TRUNK,
        "sizes": list(runner.sizes),
        "size": runner.first,
        "course": first_course,
        "mature_m": [list(plant.height_m), list(plant.spread_m)],
        "basis": course.basis,
        "source": course.source,
        "cautions": short_cautions(plant),
        "seen": [list(row) for row in plant.seen],
        "measured": [_measured(row) for row in medians(plant.name) if row.years <= LAST_YEAR],
    }


def short_cautions(plant: Plant) -> str:
    """What lists warn of, in a few words; not being named is no promise."""
    told = [
        "listed as toxic" if is_listed_toxic(plant) else "",
        "listed as invasive in places" if plant.invasive else "",
        "thorny" if plant.thorny else "",
    ]
    return ", ".join(each for each in told if each)


def _search_words(plant: Plant) -> Iterator[str]:
    """Every word the picker finds a plant by."""
    yield from (plant.name, plant.common, plant.kind, plant.form, plant.leaf, plant.rate)
    yield plant.light
    yield from uses(plant)


def _measured(row: Median) -> dict[str, Any]:
    return {
        "years": row.years,
        "height": row.height_m,
        "spread": row.spread_m,
        "trees": row.trees,
        "city": city_of(row.region),
    }
