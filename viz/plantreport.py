"""A plant's course and the catalogue as tables a person can read in a terminal.

Only arranges what was computed; figures are rounded for reading, ranges are printed beside
every expected value. In feet where feet or inches were asked with, else in metres: a plant has
no document whose unit could be taken.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from rich.console import Console
from rich.markup import escape

from growth.plants import UNKNOWN, Plant
from growth.search import Found
from scenes.lengths import METRES
from viz.tables import print_table, table

_IMPERIAL = re.compile(r"\d\s*(?:ft|in)\b")


def unit_asked_with(words: Iterable[str]) -> str:
    """The unit, "ft" or "m", that goes with what was typed, like "2 in cal" or "under 6 ft"."""
    return "ft" if _IMPERIAL.search(" ".join(words)) else "m"


def print_course(
    console: Console, course: Mapping[str, Any], years: Sequence[int], *, unit: str
) -> None:
    """One plant's height and spread at some years, with the range and where it comes from."""
    made = table(
        str(course["plant"]),
        (
            "Year",
            f"Height, {unit} (low-high)",
            f"Spread, {unit} (low-high)",
            f"Crown base, {unit}",
        ),
        [_course_cells(course, year, unit) for year in years],
        figures=slice(None),
    )
    print_table(console, made)
    console.print(f"Basis: {escape(str(course['basis']))}")
    console.print(f"Source: {escape(str(course['source']))}")
    for row in course["seen"]:
        tall, wide = (_told(row[key], unit) for key in ("height_m", "spread_m"))
        size = f"{tall} {unit} tall, {wide} {unit} wide"
        console.print(f"Seen in year {row['year']:g}: {size}")
    for note in course["notes"]:
        console.print(f"Note: {escape(note)}")


def _course_cells(course: Mapping[str, Any], year: int, unit: str) -> tuple[str, ...]:
    index = course["years"].index(year)
    ends = ("expected", "low", "high")
    sizes = (
        "{} ({}-{})".format(*(_told(course[key][end][index], unit) for end in ends))
        for key in ("height_m", "spread_m")
    )
    return (str(year), *sizes, _told(course["crown_base_m"]["expected"][index], unit))


def _told(metres: float, unit: str) -> str:
    return f"{metres / METRES[unit]:.{1 if unit == 'ft' else 2}f}"


def print_plants(console: Console, plants: Sequence[Plant], *, known: int, unit: str) -> None:
    """The plants found among those known, one row each, and what their cautions mean."""
    made = table(
        f"{len(plants)} of {known} plants",
        ("Plant", "Kind", f"Height\nSpread, {unit}", "Rate", "Zones", "Cautions"),
        [_plant_cells(plant, unit) for plant in plants],
        figures=slice(2, 5),
    )
    print_table(console, made)
    console.print(
        "Cautions are what lists name; not to be named, or not to have been looked up, promises "
        "nothing. Their words, places and sources are in --json."
    )


def _plant_cells(plant: Plant, unit: str) -> tuple[str, ...]:
    return (
        f"{plant.name}\n{plant.common}",
        f"{plant.kind}\n{plant.leaf}",
        f"{_span(plant.height_m, unit)}\n{_span(plant.spread_m, unit)}",
        plant.rate,
        f"{plant.zones[0]}-{plant.zones[1]}" if plant.zones else "not looked up",
        ", ".join(_short_cautions(plant)),
    )


def none_found(found: Found, words: Sequence[str]) -> str:
    """Why no plant is shown: the words that fit none, with near ones, or all words together."""
    if not found.unmatched:
        return f"No plant fits all of: {' '.join(words)}"
    unmatched = ", ".join(f'"{word}"' for word in found.unmatched)
    near = f"; near words are {', '.join(found.near)}" if found.near else ""
    return f"No plant in the catalogue fits {unmatched}{near}"


def _short_cautions(plant: Plant) -> Iterator[str]:
    """What lists warn of, in a word or two each."""
    said = {"people": plant.toxic_people, "pets": plant.toxic_pets}
    named = [whom for whom, text in said.items() if text != UNKNOWN]
    yield f"listed toxic ({' and '.join(named)})" if named else "toxicity not looked up"
    if plant.thorny:
        yield "thorny"
    if plant.invasive:
        yield "listed invasive"


def _span(sizes_m: tuple[float, float], unit: str) -> str:
    low, high = (size_m / METRES[unit] for size_m in sizes_m)
    digits = 0 if high >= 10 else 1
    return f"{low:.{digits}f}-{high:.{digits}f}"
