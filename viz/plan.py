"""The planting plan of a yard as sheets: the plan to scale, its column of titles, its schedule.

Nothing is computed about growth here; every plant of the layout is drawn once and counted once.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from shapely.geometry import Polygon

from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.terrain import Terrain
from viz.planground import ground_marks
from viz.planmarks import Mark, Page, Words
from viz.planplants import plant_marks
from viz.planschedule import Row, schedule, total_words
from viz.plansheet import GAP, MARGIN, Frame, Scale, frame
from viz.plantable import parts, table_height, table_marks
from viz.plantitle import Titles, border, column
from viz.units import imperial


@dataclass(frozen=True)
class Asked:
    """What is asked of a plan: sheet, scale, the year drawn, who made it, and when."""

    sheet: str
    scale: Scale | None
    year: int
    by: str
    day: date


@dataclass(frozen=True)
class Plan:
    """A yard's plan: its sheets, the frame of the first, and the rows of its schedule."""

    frame: Frame
    rows: tuple[Row, ...]
    pages: tuple[Page, ...]


def plan(yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, asked: Asked) -> Plan:
    """The sheets of a yard. Raises SceneError where the yard is too large for sheet and scale."""
    rows = schedule(yard, layout, stand)
    lot = Polygon(yard.site.boundary).bounds
    on = frame(lot, asked.sheet, asked.scale, feet=imperial(yard.lengths))
    low = _room_below(on, lot, rows)
    on = replace(on, low=low)
    tables = [] if low else parts(rows, on.width - 2 * MARGIN, on.height - 2 * MARGIN - 14)
    titles = Titles(yard, asked.by, asked.day, asked.year, 1, 1 + len(tables))
    marks = (
        *ground_marks(yard, terrain, layout, on),
        *plant_marks(layout, stand, rows, on, year=asked.year),
    )
    beside = [*column(titles, layout, stand, rows, on)]
    west, south, east, north = on.window
    if low:
        beside += table_marks(rows, west, south + low - 6, east - west)
        beside.append(_total(rows, on, (west + 30, south + low - 9.2)))
    first = Page(on.width, on.height, (west, south + low, east, north), marks, tuple(beside))
    others = [
        Page(on.width, on.height, on.window, (), tuple(_sheet(titles, rows, table, on, n)))
        for n, table in enumerate(tables, 2)
    ]
    return Plan(on, rows, (first, *others))


def _room_below(on: Frame, lot: tuple[float, float, float, float], rows: Sequence[Row]) -> float:
    """Height left free for the schedule under the plan; 0 where it does not fit."""
    west, south, east, north = on.window
    need = table_height(rows, east - west) + 8
    spare = north - south - on.size(lot[3] - lot[1] + 1.0)
    return need if need <= spare and east - west > 170 else 0.0


def _total(rows: Sequence[Row], on: Frame, at: tuple[float, float]) -> Words:
    return Words("total", total_words(rows), at, 2.2)


def _sheet(
    titles: Titles, rows: Sequence[Row], table: Sequence[Row], on: Frame, number: int
) -> Iterator[Mark]:
    """A sheet that holds a part of the schedule."""
    yield from border(on)
    top = on.height - MARGIN - 4
    told = f"Planting plan, {number} of {titles.sheets}"
    yield Words("title", titles.yard.title, (MARGIN + GAP, top), 3.6, bold=True)
    yield Words("fact", told, (on.width - MARGIN - GAP, top), 2.2, "right")
    yield from table_marks(table, MARGIN + GAP, top - 3, on.width - 2 * MARGIN - 2 * GAP)
    yield _total(rows, on, (MARGIN + GAP + 30, top - 6.2))
