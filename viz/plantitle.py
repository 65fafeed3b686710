"""The column beside the plan: title, facts, scale, north, cautions, key of signs.

The first caution is to call before digging. Facts that neither the document nor the command
gives are left blank for a hand to fill in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.lengths import METRES
from viz.planground import MATERIALS, STROKES, area_of
from viz.planmarks import Area, Array, Line, Mark, Picture, Words, wrapped
from viz.planschedule import Row
from viz.plansheet import GAP, MARGIN, Frame
from viz.plansymbols import edge_of, symbol
from viz.units import imperial
from viz.words import long_date

SMALL, NOTE = 2.0, 1.9
EDGES = {
    "loose": "loses its leaves", "broad": "evergreen, broad leaf", "needle": "evergreen, needles",
    "rays": "grass, fern, palm",
}  # fmt: skip
NOTES = (
    "Call before you dig (811 in the US): this plan does not know where lines run.",
    "Dig by hand in root zones of kept trees; cut no large root without an arborist.",
    "Keep plants and tools clear of overhead lines; the owner of a line says how far.",
    "Toxic, thorny and invasive plants are marked in the schedule as far as lists name them; "
    "what is not marked was not found safe.",
    "Local codes and licensed professionals govern. Not a survey: check all measures on site.",
)
LINES = {
    "property": "Property line",
    "existing contour": "Contour, existing",
    "proposed contour": "Contour, proposed",
    "root zone": "Root zone",
    "throw": "Spray head's throw",
    "sight triangle": "Sight triangle",
    "overhead line": "Overhead line",
}
SHORT_PROPERTY = (3.0, 0.7, 0.7, 0.7, 0.7, 0.7)
"""The dashes of the property line in the key, which has no room for its long ones."""


@dataclass(frozen=True)
class Titles:
    """What a sheet says of itself."""

    yard: Yard
    by: str
    day: date
    year: int
    number: int
    sheets: int
    base_plan: str = ""
    """What is said of the picture under the plan; "" where there is none."""


def column(
    titles: Titles, layout: Layout, stand: Stand, rows: Sequence[Row], frame: Frame
) -> Iterator[Mark]:
    """All marks of the column, from the top."""
    left = frame.window[2] + GAP
    right = frame.width - MARGIN
    yield from border(frame)
    yield Line(
        "rule", np.array([[left - GAP / 2, MARGIN], [left - GAP / 2, frame.height - MARGIN]])
    )
    top = frame.height - MARGIN - 2.0
    marks, y = _heading(titles, stand, left, top, right - left)
    yield from marks
    notes = (*NOTES, titles.base_plan) if titles.base_plan else NOTES
    marks, y = _measure(titles.yard, frame, left, y - 3, right - left)
    yield from marks
    marks, y = _paragraphs("Before work starts", notes, left, y - 3, right - left)
    yield from marks
    yield from _key(titles.yard, layout, stand, left, y - 3, right - left)


def border(frame: Frame) -> Iterator[Mark]:
    """The line round the sheet."""
    west, south = MARGIN - 2, MARGIN - 2
    east, north = frame.width - west, frame.height - south
    ring = np.array([[west, south], [east, south], [east, north], [west, north]])
    yield Area("border", (ring,), edge=0.5)


Block = tuple[list[Mark], float]
"""Marks, and how far down they reach."""


def _heading(titles: Titles, stand: Stand, left: float, top: float, width: float) -> Block:
    yard = titles.yard
    marks: list[Mark] = []
    y = top
    for line in wrapped(yard.title, size=4.4, width=width)[:3]:
        y -= 4.6
        marks.append(Words("title", line, (left, y), 4.2, bold=True))
    y -= 1.2
    for what, value in facts(titles, stand):
        for n, line in enumerate(wrapped(value, size=SMALL, width=width - 15)[:4] or [""]):
            y -= 3.0
            if not n:
                marks.append(Words("fact", what, (left, y), SMALL, bold=True))
            marks.append(Words("fact", line, (left + 15, y), SMALL))
    return marks, y


def facts(titles: Titles, stand: Stand) -> list[tuple[str, str]]:
    """Words and values of the title block."""
    yard = titles.yard
    planted = "" if yard.site.planted is None else f", planted {long_date(yard.site.planted)}"
    return [
        ("Sheet", f"Planting plan, {titles.number} of {titles.sheets}"),
        ("Place", yard.site.place or ""),
        ("Date", long_date(titles.day)),
        ("Made by", titles.by),
        ("Drawn", f"plants at their expected spread in year {titles.year}{planted}"),
        ("Forecast", forecast(stand, titles.year)),
    ]


def forecast(stand: Stand, year: int) -> str:
    """How far the spreads drawn may be off, in percent, for eight plants in ten."""
    mine = stand.present[year] & ~stand.kept
    if not mine.any():
        return "sizes are forecasts, not promises"
    low, expected, high = (
        getattr(stand.spread_m, each)[year][mine].sum() for each in ("low", "expected", "high")
    )
    return (
        f"not a promise: single plants mostly {100 * (low / expected - 1):+.0f} "
        f"to {100 * (high / expected - 1):+.0f} % of the spread drawn (8 in 10)"
    )


def _measure(yard: Yard, frame: Frame, left: float, top: float, width: float) -> Block:
    """North arrow, scale in words, scale bar."""
    marks: list[Mark] = []
    turn = np.radians(-yard.site.north_deg)
    up = np.array([np.sin(turn), np.cos(turn)])
    aside = np.array([up[1], -up[0]])
    hub = np.array([left + 7, top - 9])
    half = np.array([hub + 6.5 * up, hub - 4 * up - 3 * aside, hub - 2.2 * up])
    other = np.array([hub + 6.5 * up, hub - 4 * up + 3 * aside, hub - 2.2 * up])
    marks += [Area("north", (half,), fill="#000000", edge=0.2), Area("north", (other,), edge=0.2)]
    tip = hub + 8.6 * up
    marks.append(Words("north", "N", (tip[0], tip[1]), 2.8, "center", bold=True, backed=True))
    told = f"Scale {frame.scale.text}", f"on {frame.sheet}, printed at 100 %"
    marks.append(Words("scale", told[0], (left + 17, top - 6), 2.6, bold=True))
    marks.append(Words("scale", told[1], (left + 17, top - 9.4), SMALL))
    return [*marks, *_bar(yard, frame, left + 17, top, width - 26)], top - 19


def _bar(yard: Yard, frame: Frame, left: float, top: float, room: float) -> Iterator[Mark]:
    """Four steps of a round length."""
    unit, word = (METRES["ft"], "ft") if imperial(yard.lengths) else (1.0, "m")
    fits = [n for n in (1, 2, 5, 10, 20, 50, 100) if frame.size(4 * n * unit) <= room]
    step = max(fits, default=0.5)
    for n in range(4):
        x = left + frame.size(n * step * unit)
        to = x + frame.size(step * unit)
        ring = np.array([[x, top - 13.5], [to, top - 13.5], [to, top - 12], [x, top - 12]])
        yield Area("scale bar", (ring,), fill="#ffffff" if n % 2 else "#000000", edge=0.2)
    for n in (0, 2, 4):
        text = f"{n * step:g}" + (f" {word}" if n == 4 else "")
        x = left + frame.size(n * step * unit)
        yield Words("scale bar", text, (x, top - 16.2), SMALL, "center")


def _paragraphs(head: str, notes: Sequence[str], left: float, top: float, width: float) -> Block:
    y = top - 2.6
    marks: list[Mark] = [Words("head", head, (left, y), 2.4, bold=True)]
    for n, note in enumerate(notes, 1):
        y -= 0.6
        for k, line in enumerate(wrapped(note, size=NOTE, width=width - 4)):
            y -= 2.7
            marks += [Words("note", f"{n}", (left, y), NOTE, bold=True)] if not k else []
            marks.append(Words("note", line, (left + 4, y), NOTE))
    return marks, y


def _key(
    yard: Yard, layout: Layout, stand: Stand, left: float, top: float, width: float
) -> Iterator[Mark]:
    y = top - 2.6
    yield Words("head", "Key", (left, y), 2.4, bold=True)
    for row, (marks, text) in enumerate(_key_items(yard, layout, stand)):
        x = left + (row % 2) * width / 2
        at = y - 4.4 - 4.4 * (row // 2)
        if at < MARGIN:
            return
        yield from (_moved(mark, np.array([x, at])) for mark in marks)
        yield Words("key", text, (x + 9, at + 0.6), 1.8)


Item = tuple[list[Mark], str]


def _key_items(yard: Yard, layout: Layout, stand: Stand) -> Iterator[Item]:
    for edge, text in EDGES.items():
        shown = next((p for p in stand.plants if edge_of(p) == edge), None)
        if shown is not None:
            at = np.array([4.0, 1.4])
            yield list(symbol(shown, at, 1.9, kept=False, gone=False)), text
    kinds = {surface.kind for surface in layout.surfaces} | ({"bed"} if layout.beds else set())
    kinds |= {"building"} if any(s.outline or s.kind == "model" for s in yard.structure) else set()
    box = np.array([[0.5, 0.0], [7.5, 0.0], [7.5, 2.8], [0.5, 2.8]])
    for kind in MATERIALS:
        if kind in kinds:
            yield list(area_of(kind, (box,))), kind
    used = {
        "property": True, "existing contour": True, "proposed contour": bool(yard.grading),
        "root zone": bool(layout.root_zones), "throw": bool(yard.head),
        "sight triangle": bool(yard.sight),
        "overhead line": any(s.kind == "line" for s in yard.structure),
    }  # fmt: skip
    for name, text in LINES.items():
        if used[name]:
            thick, dash = STROKES[name]
            dash = SHORT_PROPERTY if name == "property" else dash
            yield [Line("key line", np.array([[0.3, 1.3], [7.7, 1.3]]), thick, dash)], text


def _moved(mark: Mark, by: Array) -> Mark:
    if isinstance(mark, Area):
        return replace(mark, role="key", rings=tuple(ring + by for ring in mark.rings))
    if isinstance(mark, Line):
        return replace(mark, role="key", points=mark.points + by)
    if isinstance(mark, Picture):
        west, south, east, north = mark.box
        box = (west + by[0], south + by[1], east + by[0], north + by[1])
        return replace(mark, role="key", box=box)
    return replace(mark, role="key", at=(mark.at[0] + by[0], mark.at[1] + by[1]))
