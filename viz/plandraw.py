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
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.path import Path as Outline
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Bbox
from PIL import Image

from viz.planmarks import Area, Line, Page, Picture, Words

MM_PER_INCH, POINTS_PER_MM = 25.4, 72 / 25.4
DOTS_PER_INCH = 200
HATCH_POINTS = 0.25
STYLE = {
    "pdf.fonttype": 42,
    "svg.fonttype": "none",
    "svg.hashsalt": "yardyears",
    "font.family": ["DejaVu Sans"],
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
    figure.add_artist(_Sheet(page))
    return figure


class _Sheet(Artist):
    """A sheet as one artist that lays its marks straight on the paper, one after the other."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self._page = page

    def draw(self, renderer: Any) -> None:
        """Every mark in its order; those of the plan are cut off at its window."""
        figure: Any = self.get_figure(root=True)
        to_paper: Any = (Affine2D().scale(1 / MM_PER_INCH) + figure.dpi_scale_trans).frozen()
        west, south, east, north = self._page.window
        window = Bbox([[west, south], [east, north]]).transformed(to_paper)
        for marks, clip in ((self._page.plan, window), (self._page.frame, None)):
            for mark in marks:
                if isinstance(mark, Words):
                    _words(renderer, figure, mark, to_paper, clip)
                elif isinstance(mark, Picture):
                    _picture(renderer, mark, to_paper, clip)
                elif isinstance(mark, Line):
                    _line(renderer, mark, to_paper, clip)
                else:
                    _area(renderer, mark, to_paper, clip)


def _words(renderer: Any, figure: Any, mark: Words, to_paper: Any, clip: Any) -> None:
    backing = {"facecolor": "white", "edgecolor": "none", "pad": 0.6} if mark.backed else None
    text = Text(
        *mark.at, mark.text, fontsize=mark.size * POINTS_PER_MM * 0.92, ha=mark.anchor,
        va="center" if mark.backed or mark.turn_deg else "baseline", rotation=mark.turn_deg,
        rotation_mode="anchor", weight="bold" if mark.bold else "normal",
        style="italic" if mark.italic else "normal", bbox=backing, transform=to_paper,
        gid=mark.role, clip_box=clip,
    )  # fmt: skip
    text.set_figure(figure)
    text.draw(renderer)


def _pen(renderer: Any, mark: Line | Area, width: float, clip: Any) -> Any:
    pen = renderer.new_gc()
    pen.set_linewidth(width * POINTS_PER_MM)
    pen.set_dashes(0, [part * POINTS_PER_MM for part in mark.dash] if width else None)
    pen.set_foreground(to_rgba(mark.colour), isRGBA=True)
    if clip is not None:
        pen.set_clip_rectangle(clip)
    return pen


def _line(renderer: Any, mark: Line, to_paper: Any, clip: Any) -> None:
    renderer.open_group("line2d", mark.role)
    pen = _pen(renderer, mark, mark.width, clip)
    pen.set_joinstyle("round")
    renderer.draw_path(pen, Outline(mark.points), to_paper)
    pen.restore()
    renderer.close_group("line2d")


def _area(renderer: Any, mark: Area, to_paper: Any, clip: Any) -> None:
    outline = Outline.make_compound_path(*(_ring(ring) for ring in mark.rings))
    fill = None if mark.fill is None else to_rgba(mark.fill, mark.opacity)
    renderer.open_group("patch", mark.role)
    pen = _pen(renderer, mark, mark.edge, clip)
    pen.set_joinstyle("miter")
    if mark.opacity < 1:
        pen.set_alpha(mark.opacity)
    if mark.hatch:
        pen.set_hatch(mark.hatch)
        pen.set_hatch_color(to_rgba(mark.colour))
        pen.set_hatch_linewidth(HATCH_POINTS)
    renderer.draw_path(pen, outline, to_paper, fill)
    pen.restore()
    renderer.close_group("patch")


def _picture(renderer: Any, mark: Picture, to_paper: Any, clip: Any) -> None:
    """Stretched over its box by the file's reader, or here where dots are drawn."""
    west, south, east, north = mark.box
    box = Bbox([[west, south], [east, north]]).transformed(to_paper)
    renderer.open_group("image", mark.role)
    pen = renderer.new_gc()
    if clip is not None:
        pen.set_clip_rectangle(clip)
    image = mark.image.transpose(Image.Transpose.FLIP_TOP_BOTTOM).convert("RGBA")
    if renderer.option_scale_image():
        over = Affine2D().scale(box.width, box.height)
        renderer.draw_image(pen, box.x0, box.y0, np.array(image), over)
    else:
        left, low = round(box.x0), round(box.y0)
        fits = image.resize((round(box.x1) - left, round(box.y1) - low))
        renderer.draw_image(pen, left, low, np.array(fits))
    pen.restore()
    renderer.close_group("image")


def _ring(ring: Any) -> Outline:
    points = np.asarray(ring, float)
    if not np.array_equal(points[0], points[-1]):
        points = np.concatenate([points, points[:1]])
    codes = [Outline.MOVETO, *[Outline.LINETO] * (len(points) - 2), Outline.CLOSEPOLY]
    return Outline(points, codes)
