"""Small changes of a document that may meet a requirement: each is a whole yard, ready to try.

A planting table gets the next nursery sizes, a closer spacing, another plant of the catalogue
that takes its place, or a size it is clipped to; one plant is added, moved or left out. What a
change may not do is left to the document's own rules, which refuse it when it is laid out.
"""

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from growth.nursery import CONTAINERS, planted_size, stock_heights_m
from growth.plants import UNKNOWN, Plant, catalogue, find, own_plants
from growth.search import is_listed_toxic, lights
from scenes.document import KeptAt, Planting, Yard
from scenes.lengths import METRES
from scenes.outlines import length_shown, point_shown
from scenes.points import Point
from scenes.whereabouts import found_at

STEPS = 3
"""Nursery sizes that are tried above the written one; assumed, as all figures below."""

MOST_TABLES = 3
"""Planting tables that are changed for one requirement."""

CLOSER = (0.85, 0.7, 0.55)
"""Shares of the written spacing that are tried."""

OTHERS = 5
"""Other plants that are tried for one table."""

ALIKE_SPREAD, ALIKE_HEIGHT = (0.7, 1.3), (0.8, 1.7)
"""Mature size of another plant over that of the one it stands for."""

_RATES = ("slow", "moderate", "fast")


@dataclass(frozen=True)
class Change:
    """A yard with something changed, and in words what."""

    words: str
    yard: Yard
    key: str = ""
    """The key of the planting table that is written otherwise."""
    tables: frozenset[int] = frozenset()
    """Planting tables of which every plant is set otherwise."""
    single: int = 0
    """Single plants that are added, moved or left out."""

    def after(self, first: "Change") -> "Change":
        """This change of the yard that another one made, and that one, as one change."""
        words = f"{first.words}; and {self.words}"
        tables = self.tables | first.tables
        return Change(words, self.yard, self.key, tables, self.single + first.single)


def plant_of(yard: Yard, table: int) -> Plant | None:
    """The kind a planting table sets; of a mix the one with the largest share."""
    planting = yard.planting[table]
    mix = planting.mix or {}
    name = planting.plant or max(mix, key=lambda one: mix[one], default=None)
    return None if name is None else find(name, own_plants(yard))


def tables_of(
    yard: Yard, kinds: Collection[str], *, wanted: Callable[[Plant], bool] = lambda _: True
) -> list[int]:
    """The first planting tables of some kinds of plant, or of any kind where none is named."""
    numbers = []
    for number in range(len(yard.planting)):
        plant = plant_of(yard, number)
        if plant is not None and (not kinds or plant.kind in kinds) and wanted(plant):
            numbers.append(number)
    return numbers[:MOST_TABLES]


def larger_sizes(yard: Yard, table: int) -> Iterator[Change]:
    """The next nursery sizes of a table's plants."""
    planting, plant = yard.planting[table], plant_of(yard, table)
    if planting.size is None or plant is None or planting.kept_at is not None:
        return
    now_m = planted_size(planting, plant).height_m
    for size in _sizes_above(planting.size, plant, yard.lengths, now_m):
        words = f"{_named(yard, table)}: {size} instead of {planting.size}"
        yield _changed(yard, table, words, size=size)


def closer_spacings(yard: Yard, table: int) -> Iterator[Change]:
    """The plants of a row or a fill closer together."""
    spacing_m = yard.planting[table].spacing
    if spacing_m is None:
        return
    step_m = METRES["in"] if yard.lengths == "ft" else 0.05
    for share in CLOSER:
        closer_m = round(spacing_m * share / step_m) * step_m
        before, after = length_shown(yard, spacing_m), length_shown(yard, closer_m)
        words = f"{_named(yard, table)}: spacing {after} instead of {before}"
        yield _changed(yard, table, words, spacing=closer_m)


def other_plants(
    yard: Yard,
    table: int,
    *,
    wanted: Callable[[Plant], bool] = lambda _: True,
    light: str | None = None,
) -> Iterator[Change]:
    """Plants of the catalogue that fit zone, light and place, the fast ones first.

    They bear `light` where it is given, else some of the light that the plants of now bear.
    """
    planting, plant = yard.planting[table], plant_of(yard, table)
    if plant is None or planting.plant is None:
        return
    borne = lights(plant) if light is None else frozenset({light})
    fitting = [
        one
        for one in catalogue().values()
        if wanted(one) and lights(one) & borne and _stands_for(one, plant, yard)
    ]
    fitting.sort(key=lambda one: (-_RATES.index(one.rate), abs(_unlike(one, plant))))
    for one in fitting[:OTHERS]:
        words = f"{_named(yard, table)}: {one.name} instead"
        yield _changed(yard, table, words, plant=one.name)


def clipped(yard: Yard, table: int, *, height_m: float | None, spread_m: float | None) -> Change:
    """The plants of a table clipped to a height or a spread."""
    sizes = [("high", height_m), ("wide", spread_m)]
    told = [f"{length_shown(yard, size)} {way}" for way, size in sizes if size is not None]
    words = f"{_named(yard, table)}: clipped to {' and '.join(told)}"
    kept_at = KeptAt(height=height_m, spread=spread_m)
    return _changed(yard, table, words, kept_at=kept_at)


def one_more(yard: Yard, table: int, at: Point) -> Change | None:
    """One plant more like those of a table, at a place."""
    planting, plant = yard.planting[table], plant_of(yard, table)
    if plant is None:
        return None
    keys = ("size", "now", "kept_at", "planted", "removed")
    more = Planting.model_construct(
        plant=plant.name, at=(at,), **{key: getattr(planting, key) for key in keys}
    )
    words = f"one {plant.name} more ({planting.size or 'as measured'}) at {point_shown(yard, at)}"
    return Change(words, yard.model_copy(update={"planting": (*yard.planting, more)}), single=1)


def moved(yard: Yard, table: int, number: int, at: Point) -> Change:
    """One of the plants that a table sets at points, elsewhere."""
    points = list(yard.planting[table].at or ())
    before, points[number] = points[number], at
    there, here = point_shown(yard, before), point_shown(yard, at)
    words = f"{_named(yard, table)}: the one at {there} to {here}"
    return Change(words, _changed(yard, table, "", at=tuple(points)).yard, single=1)


def left_out(yard: Yard, table: int, number: int) -> Change:
    """One of the plants that a table sets at points left out, or the table with its only one."""
    points = list(yard.planting[table].at or ())
    words = f"{_named(yard, table)}: without the one at {point_shown(yard, points.pop(number))}"
    if points:
        return Change(words, _changed(yard, table, "", at=tuple(points)).yard, single=1)
    others = tuple(one for n, one in enumerate(yard.planting) if n != table)
    return Change(words, yard.model_copy(update={"planting": others}), single=1)


def _changed(yard: Yard, table: int, words: str, **update: object) -> Change:
    planting = list(yard.planting)
    planting[table] = planting[table].model_copy(update=update)
    edited = yard.model_copy(update={"planting": tuple(planting)})
    return Change(words, edited, next(iter(update)), frozenset({table}))


def _named(yard: Yard, table: int) -> str:
    planting = yard.planting[table]
    name = planting.plant or " and ".join(planting.mix or {})
    return f"{name} {found_at(yard, f'planting[{table + 1}]')}"


def _sizes_above(size: str, plant: Plant, lengths: str, now_m: float) -> Iterator[str]:
    """Sizes the nursery sells above a written one, of the same way of selling."""
    if match := re.fullmatch(r"\s*#\s*(\d+)\s*", size):
        larger = [number for number in CONTAINERS if number > int(match[1])]
        yield from (f"#{number}" for number in larger[:STEPS])
    elif "cal" in size:
        heights = stock_heights_m("caliper").items()
        larger_cal = [f"{caliper} cal" for caliper, height_m in heights if height_m > now_m + 1e-6]
        yield from larger_cal[:STEPS]
    else:
        unit, step = ("ft", 2.0) if lengths in ("ft", "in") else ("m", 0.5)
        least = now_m / METRES[unit]
        for k in range(1, STEPS + 1):
            height = round((least + k * step) / step) * step
            if height * METRES[unit] <= plant.height_m[0]:
                yield f"{height:g} {unit} ht"


def _stands_for(one: Plant, plant: Plant, yard: Yard) -> bool:
    """Whether a plant fits where another was meant to stand."""
    zone = yard.site.hardiness_zone
    spread, height = (
        sum(getattr(one, size)) / sum(getattr(plant, size)) for size in ("spread_m", "height_m")
    )
    return (
        one.name != plant.name
        and one.kind == plant.kind
        and (plant.leaf != "evergreen" or one.leaf == "evergreen")
        and (zone is None or (one.zones is not None and one.zones[0] <= zone <= one.zones[1]))
        and ALIKE_SPREAD[0] <= spread <= ALIKE_SPREAD[1]
        and ALIKE_HEIGHT[0] <= height <= ALIKE_HEIGHT[1]
        and one.invasive in ("", UNKNOWN)
        and one.thorny <= plant.thorny
        and is_listed_toxic(one) <= is_listed_toxic(plant)
    )


def _unlike(one: Plant, plant: Plant) -> float:
    return sum(one.height_m) / sum(plant.height_m) - 1
