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
from scenes.quantities import quantities
from scenes.terrain import Terrain
from viz.planbase import base_marks, over_base
from viz.planground import ground_marks
from viz.planmarks import Mark, Page, Words
from viz.planmaterials import Cells, material_cells, materials_height, materials_marks
from viz.planplants import plant_marks
from viz.planschedule import Row, schedule, total_words
from viz.plansheet import GAP, MARGIN, Frame, Scale, frame
from viz.plantable import parts, table_height, table_marks
from viz.plantitle import Titles, border, column
from viz.units import imperial


@dataclass(frozen=True)
class Asked:
    """What is asked of a plan: sheet, scale, the year drawn, who made it and when, and whether
    the picture of its base plan lies under it."""

    sheet: str
    scale: Scale | None
    year: int
    by: str
    day: date
    base_plan: bool = True


@dataclass(frozen=True)
class Plan:
    """A yard's plan: its sheets, the frame of the first, and the rows of its schedule."""

    frame: Frame
    rows: tuple[Row, ...]
    pages: tuple[Page, ...]


def plan(yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, asked: Asked) -> Plan:
    """The sheets of a yard. Raises SceneError where the yard is too large for sheet and scale."""
    rows = schedule(yard, layout, stand)
    ordered = material_cells(quantities(yard, terrain, layout), lengths=yard.lengths)
    lot = Polygon(yard.site.boundary).bounds
    on = frame(lot, asked.sheet, asked.scale, feet=imperial(yard.lengths))
    low = _room_below(on, lot, rows, ordered)
    on = replace(on, low=low)
    tables = [] if low else _tables(rows, ordered, on)
    base, told = base_marks(yard, on) if asked.base_plan else ((), "")
    titles = Titles(yard, asked.by, asked.day, asked.year, 1, 1 + len(tables), told)
    ground = ground_marks(yard, terrain, layout, on)
    marks = (
        *base,
        *(over_base(mark) if base else mark for mark in ground),
        *plant_marks(layout, stand, rows, on, year=asked.year),
    )
    beside = [*column(titles, layout, stand, rows, on)]
    west, south, east, north = on.window
    if low:
        beside += table_marks(rows, west, south + low - 6, east - west)
        beside.append(_total(rows, on, (west + 30, south + low - 9.2)))
        below = south + low - 8 - table_height(rows, east - west)
        beside += materials_marks(ordered, west, below, east - west)
    first = Page(on.width, on.height, (west, south + low, east, north), marks, tuple(beside))
    others = [
        Page(on.width, on.height, on.window, (), tuple(_sheet(titles, rows, ordered, table, on, n)))
        for n, table in enumerate(tables, 2)
    ]
    return Plan(on, rows, (first, *others))


def _room_below(
    on: Frame, lot: tuple[float, float, float, float], rows: Sequence[Row], ordered: Cells
) -> float:
    """Height left free for schedule and materials under the plan; 0 where they do not fit."""
    west, south, east, north = on.window
    need = table_height(rows, east - west) + materials_height(ordered, east - west) + 8
    spare = north - south - on.size(lot[3] - lot[1] + 1.0)
    return need if need <= spare and east - west > 170 else 0.0


def _tables(rows: Sequence[Row], ordered: Cells, on: Frame) -> list[list[Row]]:
    """The rows of every further sheet; the last one holds the materials as well."""
    wide, high = _room(on)
    tables = parts(rows, wide, high)
    if table_height(tables[-1], wide) + materials_height(ordered, wide) > high:
        tables.append([])
    return tables


def _room(on: Frame) -> tuple[float, float]:
    """Width and height for tables on a sheet of their own."""
    return on.width - 2 * MARGIN - 2 * GAP, on.height - 2 * MARGIN - 14


def _total(rows: Sequence[Row], on: Frame, at: tuple[float, float]) -> Words:
    return Words("total", total_words(rows), at, 2.2)


def _sheet(
    titles: Titles, rows: Sequence[Row], ordered: Cells, table: Sequence[Row], on: Frame,
    number: int,
) -> Iterator[Mark]:  # fmt: skip
    """A sheet that holds a part of the schedule, and the last one the materials."""
    yield from border(on)
    top, left, wide = on.height - MARGIN - 4, MARGIN + GAP, _room(on)[0]
    told = f"Planting plan, {number} of {titles.sheets}"
    yield Words("title", titles.yard.title, (left, top), 3.6, bold=True)
    yield Words("fact", told, (on.width - left, top), 2.2, "right")
    if table:
        yield from table_marks(table, left, top - 3, wide)
        yield _total(rows, on, (left + 30, top - 6.2))
    if number == titles.sheets:
        below = top - 5 - (table_height(table, wide) if table else 0)
        yield from materials_marks(ordered, left, below, wide)
