"""The rows of figures as drawings for paper: courses with their range and gates, as SVG paths.

The same rows as the page's (`viz.rows`), drawn here since a paper holds no script. Years run over
the width, the fraction over the height; numbers are SVG units, two decimals.
"""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from growth.checks.findings import Findings
from growth.ranges import Range
from viz.rows import Course, Gate, Row, rows
from viz.words import percent, spread

WIDE, HIGH, LEFT, TOP = 550.0, 76.0, 44.0, 8.0
"""The field of a drawing, and the room left of it and above it for words."""

BOTTOM, RIGHT = TOP + HIGH, LEFT + WIDE
BOX = f"0 0 {RIGHT + 18:g} {BOTTOM + 20:g}"
ENDS = f"M{LEFT:g} {TOP:g}H{RIGHT:g}M{LEFT:g} {BOTTOM:g}H{RIGHT:g}"
"""A whole drawing, and the lines at the ends of its height."""

TOLD_YEARS = (1, 5, 15, 30)
GATE = 5.0


def plots(findings: Findings) -> list[dict[str, Any]]:
    """Every row of figures as a drawing with its words."""
    last = int(findings.years[-1])
    return [_plot(row, last) for row in rows(findings)]


def _plot(row: Row, last: int) -> dict[str, Any]:
    return {
        "name": row.name,
        "note": row.note,
        "top": percent(row.top),
        "box": BOX,
        "ends": ENDS,
        "years": [_mark(year, last) for year in range(0, last + 1, 5)],
        "courses": [_course(course, row.top, last) for course in row.courses],
        "gates": [gate_path(gate, row.top, last) for gate in row.gates],
        "words": [course.word for course in row.courses],
        "told": [
            {"year": year, "figures": [_figure(course.fraction, year) for course in row.courses]}
            for year in TOLD_YEARS
            if year <= last
        ],
    }


def _mark(year: int, last: int) -> dict[str, Any]:
    """A year of the axis, with the upright line at it."""
    x = _x(year, last)
    return {"year": year, "x": x, "line": f"M{x} {TOP:g}V{BOTTOM:g}"}


def _course(course: Course, top: float, last: int) -> dict[str, str]:
    fraction = course.fraction
    low, high = points(fraction.low, top, last), points(fraction.high, top, last)
    return {
        "season": course.season,
        "range": f"M{'L'.join(high)}L{'L'.join(reversed(low))}Z",
        "line": f"M{'L'.join(points(fraction.expected, top, last))}",
    }


def points(fractions: ArrayLike, top: float, last: int) -> list[str]:
    """A course by whole years as points "x y" of the drawing."""
    series = np.asarray(fractions, dtype=float)
    return [f"{_x(year, last)} {_y(share, top)}" for year, share in enumerate(series)]


def gate_path(gate: Gate, top: float, last: int) -> str:
    """A bracket at a gate's year, open towards where the course must be."""
    x, y = _x(gate.year, last), _y(gate.limit, top)
    away = BOTTOM if gate.at_least else TOP
    return f"M{x - GATE:.2f} {y}H{x + GATE:.2f}M{x} {y}V{away:.2f}"


def _figure(fraction: Range, year: int) -> str:
    low, expected, high = (
        float(series[year]) for series in (fraction.low, fraction.expected, fraction.high)
    )
    if round(100 * low) == round(100 * high):
        return percent(expected)
    return f"{percent(expected)} ({spread(low, high)})"


def _x(year: float, last: int) -> float:
    return round(LEFT + WIDE * year / last, 2)


def _y(share: float, top: float) -> float:
    return round(TOP + HIGH * (1 - min(share / top, 1.0)), 2)
