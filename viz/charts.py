"""The rows of figures as Bokeh figures on the axis of the year track.

Every frame runs from 11 px to 11 px before its right edge, which is where the middle of
the year slider's thumb travels, so one upright line cuts track and charts at one year.
That line and the grid are the page's, behind the clear figures: a year costs a chart no
redrawing.
Colours are names of the page's CSS tokens: the browser paints a chart from the tokens of
the scheme it shows (see PAINT_JS), so light and dark have one source.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure

from growth.ranges import Range
from viz.rows import Course, Gate, Row

EDGE_PX = 11
LAST_YEAR = 30
TOP_PX, BOTTOM_PX = 7, 5
"""Pixels above the top line and below the baseline of a row."""

PAINT_JS = """
const tokens = getComputedStyle(document.documentElement);
for (const [model, property, token] of paint) {
  model.setv({[property]: tokens.getPropertyValue('--' + token).trim()}, {sync: false});
}
"""
"""Browser side: gives every listed property its token's colour, without telling the server."""

Paint = tuple[Any, str, str]


@dataclass(frozen=True)
class Chart:
    """A figure, and (model, property, colour token) of all it draws."""

    figure: Any
    paint: tuple[Paint, ...]


def chart(row: Row) -> Chart:
    """One row drawn: range and expected value of its courses, and its gates."""
    fig = _frame(row)
    paint: list[Paint] = []
    for level, token in ((0.0, "edge"), (row.top, "hair")):
        line = fig.line([0, LAST_YEAR], [level, level], line_width=1)
        paint.append((line.glyph, "line_color", token))
    for course in row.courses:
        paint += _draw_course(fig, course)
    for gate in row.gates:
        paint += _draw_gate(fig, gate, top=row.top)
    return Chart(fig, tuple(paint))


def _frame(row: Row) -> Any:
    """An empty figure over the years, without axes, tools or background."""
    value_per_px = row.top / (row.height_px - TOP_PX - BOTTOM_PX)
    fig = figure(
        height=row.height_px,
        sizing_mode="stretch_both",
        x_range=(0, LAST_YEAR),
        y_range=(-BOTTOM_PX * value_per_px, row.top + TOP_PX * value_per_px),
        tools="",
        toolbar_location=None,
        min_border_left=EDGE_PX,
        min_border_right=EDGE_PX,
        min_border_top=0,
        min_border_bottom=0,
        background_fill_color=None,
        border_fill_color=None,
        outline_line_color=None,
    )
    fig.axis.visible = False
    fig.grid.visible = False
    return fig


def _draw_course(fig: Any, course: Course) -> list[Paint]:
    """The range as a band with thin edges, the expected value as a strong line over it."""
    bare = course.season == "bare"
    token = "bare" if bare else "leaf"
    source = _source(course.fraction)
    if bare:
        looks: dict[str, Any] = {
            "fill_alpha": 0.0,
            "hatch_pattern": "right_diagonal_line",
            "hatch_scale": 8,
            "hatch_weight": 1.0,
            "hatch_alpha": 0.6,
        }
    else:
        looks = {"fill_alpha": 0.24}
    band = fig.varea("year", "low", "high", source=source, **looks)
    lines = [
        fig.line("year", end, source=source, line_width=0.9, line_alpha=0.85)
        for end in ("low", "high")
    ]
    dash = [6, 4] if bare else "solid"
    lines.append(fig.line("year", "expected", source=source, line_width=2.2, line_dash=dash))
    fill = "hatch_color" if bare else "fill_color"
    return [(band.glyph, fill, token), *((line.glyph, "line_color", token) for line in lines)]


def _source(fraction: Range) -> ColumnDataSource:
    return ColumnDataSource(
        {
            "year": np.arange(len(fraction.expected), dtype=float),
            "low": fraction.low,
            "expected": fraction.expected,
            "high": fraction.high,
        }
    )


def _draw_gate(fig: Any, gate: Gate, *, top: float) -> list[Paint]:
    """A post with two caps, from the limit to the side that meets it, on a halo."""
    ends = [gate.limit, top] if gate.at_least else [0.0, gate.limit]
    years = [gate.year, gate.year]
    paint: list[Paint] = []
    for token, width in (("ground", 6.0), ("rule", 2.6)):
        post = fig.line(years, ends, line_width=width, level="overlay")
        caps = fig.scatter(years, ends, marker="dash", size=10, line_width=width, level="overlay")
        paint += [(post.glyph, "line_color", token), (caps.glyph, "line_color", token)]
    return paint
