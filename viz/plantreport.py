"""A plant's course and the catalogue as tables a person can read in a terminal.

Only arranges what was computed; figures are rounded for reading, ranges are printed beside
every expected value. Metres, whatever the site's unit: a plant has no document.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rich.console import Console
from rich.markup import escape

from growth.plants import UNKNOWN, Plant
from growth.search import Found
from viz.tables import print_table, table


def print_course(console: Console, course: Mapping[str, Any], years: Sequence[int]) -> None:
    """One plant's height and spread at some years, with the range and where it comes from."""
    made = table(
        str(course["plant"]),
        ("Year", "Height, m (low-high)", "Spread, m (low-high)", "Crown base, m"),
        [_course_cells(course, year) for year in years],
        figures=slice(None),
    )
    print_table(console, made)
    console.print(f"Basis: {escape(str(course['basis']))}")
    console.print(f"Source: {escape(str(course['source']))}")
    for row in course["seen"]:
        size = f"{row['height_m']:.2f} m tall, {row['spread_m']:.2f} m wide"
        console.print(f"Seen in year {row['year']:g}: {size}")
    for note in course["notes"]:
        console.print(f"Note: {escape(note)}")


def _course_cells(course: Mapping[str, Any], year: int) -> tuple[str, ...]:
    index = course["years"].index(year)
    sizes = (
        f"{course[key]['expected'][index]:.2f} "
        f"({course[key]['low'][index]:.2f}-{course[key]['high'][index]:.2f})"
        for key in ("height_m", "spread_m")
    )
    return (str(year), *sizes, f"{course['crown_base_m']['expected'][index]:.2f}")


def print_plants(console: Console, plants: Sequence[Plant], *, known: int) -> None:
    """The plants found among those known, one row each, and what their cautions mean."""
    made = table(
        f"{len(plants)} of {known} plants",
        ("Plant", "Kind", "Height\nSpread, m", "Rate", "Zones", "Cautions"),
        [_plant_cells(plant) for plant in plants],
        figures=slice(2, 5),
    )
    print_table(console, made)
    console.print(
        "Cautions are what lists name; not to be named, or not to have been looked up, promises "
        "nothing. Their words, places and sources are in --json."
    )


def _plant_cells(plant: Plant) -> tuple[str, ...]:
    return (
        f"{plant.name}\n{plant.common}",
        f"{plant.kind}\n{plant.leaf}",
        f"{_span(plant.height_m)}\n{_span(plant.spread_m)}",
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


def _span(sizes_m: tuple[float, float]) -> str:
    low, high = sizes_m
    digits = 0 if high >= 10 else 1
    return f"{low:.{digits}f}-{high:.{digits}f}"
