"""Sheets written as PDF, SVG or PNG by matplotlib, lines as lines and words as words.

The same marks give the same bytes: dates are those of the plan, names inside SVG are salted
with a fixed word. PDF and PNG say nothing of the machine they were made on.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from io import BytesIO
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path as Outline

from viz.planmarks import Area, Line, Mark, Page, Words

MM_PER_INCH, POINTS_PER_MM = 25.4, 72 / 25.4
DOTS_PER_INCH = 200
STYLE = {
    "pdf.fonttype": 42,
    "svg.fonttype": "none",
    "svg.hashsalt": "yardyears",
    "font.family": ["DejaVu Sans"],
    "hatch.linewidth": 0.25,
    "path.simplify": False,
    "text.parse_math": False,
}


def as_pdf(pages: Sequence[Page], *, title: str, day: date) -> bytes:
    """All sheets as one PDF."""
    when = datetime(day.year, day.month, day.day, tzinfo=UTC)
    told = {"Title": title, "Creator": "yardyears", "CreationDate": when, "ModDate": when}
    out = BytesIO()
    with mpl.rc_context(STYLE), PdfPages(out, metadata=told) as file:
        for page in pages:
            file.savefig(_figure(page))
    return out.getvalue()


def as_svg(page: Page, *, title: str, day: date) -> bytes:
    """One sheet as SVG."""
    out = BytesIO()
    with mpl.rc_context(STYLE):
        told = {"Title": title, "Date": day.isoformat(), "Creator": "yardyears"}
        _figure(page).savefig(out, format="svg", metadata=told)
    return out.getvalue()


def as_png(page: Page) -> bytes:
    """One sheet as PNG, 200 dots to the inch."""
    out = BytesIO()
    with mpl.rc_context(STYLE):
        _figure(page).savefig(out, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
    return out.getvalue()


def _figure(page: Page) -> Figure:
    figure = Figure(figsize=(page.width / MM_PER_INCH, page.height / MM_PER_INCH))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set_xlim(0, page.width)
    axes.set_ylim(0, page.height)
    west, south, east, north = page.window
    window = Rectangle((west, south), east - west, north - south, transform=axes.transData)
    for order, mark in enumerate((*page.plan, *page.frame)):
        artist = _artist(axes, mark)
        artist.set_zorder(1 + order * 1e-3)
        artist.set_gid(mark.role)
        artist.set_clip_on(order < len(page.plan))
        if order < len(page.plan):
            artist.set_clip_path(window)
    return figure


def _artist(axes: Any, mark: Mark) -> Any:
    if isinstance(mark, Words):
        return _words(axes, mark)
    made = _line(mark) if isinstance(mark, Line) else _area(mark)
    return axes.add_line(made) if isinstance(mark, Line) else axes.add_patch(made)


def _words(axes: Any, mark: Words) -> Any:
    backing = {"facecolor": "white", "edgecolor": "none", "pad": 0.6} if mark.backed else None
    return axes.text(
        *mark.at, mark.text, fontsize=mark.size * POINTS_PER_MM * 0.92, ha=mark.anchor,
        va="center" if mark.backed or mark.turn_deg else "baseline", rotation=mark.turn_deg,
        rotation_mode="anchor", weight="bold" if mark.bold else "normal",
        style="italic" if mark.italic else "normal", bbox=backing,
    )  # fmt: skip


def _dashes(dash: tuple[float, ...], width: float) -> Any:
    return (0, tuple(part / max(width, 1e-6) for part in dash)) if dash else "-"


def _line(mark: Line) -> Line2D:
    return Line2D(
        mark.points[:, 0], mark.points[:, 1], linewidth=mark.width * POINTS_PER_MM,
        linestyle=_dashes(mark.dash, mark.width), color=mark.colour, solid_capstyle="butt",
        dash_capstyle="butt",
    )  # fmt: skip


def _area(mark: Area) -> PathPatch:
    outline = Outline.make_compound_path(*(_ring(ring) for ring in mark.rings))
    return PathPatch(
        outline, facecolor=mark.fill or "none", hatch=mark.hatch or None,
        edgecolor=mark.colour if mark.edge or mark.hatch else "none",
        linewidth=mark.edge * POINTS_PER_MM, linestyle=_dashes(mark.dash, mark.edge or 1.0),
        alpha=mark.opacity if mark.opacity < 1 else None,
    )  # fmt: skip


def _ring(ring: Any) -> Outline:
    points = np.asarray(ring, float)
    if not np.array_equal(points[0], points[-1]):
        points = np.concatenate([points, points[:1]])
    codes = [Outline.MOVETO, *[Outline.LINETO] * (len(points) - 2), Outline.CLOSEPOLY]
    return Outline(points, codes)
