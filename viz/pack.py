"""The pages of a yard as one file: it opens without a server and asks nothing of any network.

Panel and Bokeh write the file; Panel's own style sheets are put inside it. A content security
policy in its head lets the browser refuse every request. The yard, its conditions and the growth
race are readings of it. Written beside its place first, so that a full disk costs no older file.
"""

from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

import panel as pn
from bokeh.document import Document
from bokeh.models import UIElement
from bokeh.resources import Resources
from panel.io.notebook import patch_inline_stylesheets
from panel.io.save import save

import scenes
from viz.checker import planned
from viz.conditions import conditions_words
from viz.frame import framed
from viz.outfile import may_be_written, written
from viz.packed import packed
from viz.page import YardView
from viz.racepage import RaceView, race_words
from viz.racesent import race_contents
from viz.secondyard import check_levels, check_lots, second_yard
from viz.sent import parts_of
from viz.sentlater import told, words_of
from viz.shown import Shown, composed
from viz.sunlayer import sun_layer

POLICY = (
    "default-src 'none'; script-src 'unsafe-inline' 'unsafe-eval' blob: data:; "
    "style-src 'unsafe-inline' blob: data:; img-src data: blob:; connect-src data: blob:; "
    "font-src data:; worker-src blob:"
)
"""Nothing from anywhere else; Bokeh and vtk.js compile code and make blobs of their own."""


COMPONENTS = ["bokeh", "bokeh-widgets", "bokeh-tables"]
"""Bokeh's scripts that Panel's own asks for; the others draw figures, and there are none."""


def pack(
    path: Path, out: Path, *, second: Path | None = None, telling: Callable[[str], object] = len
) -> None:
    """Write the pages of a document to one HTML file; `telling` hears what is being tried.

    A second document's yard stands beside the first.

    Raises SceneError or GrowthError for a wrong document, ShowError where nothing can be written.
    """
    may_be_written(out)
    page = whole(path, second, telling=telling)
    written(out, lambda beside: beside.write_text(page, encoding="utf-8"))


def whole(path: Path, second: Path | None, *, telling: Callable[[str], object]) -> str:
    """The pages of a document, and of a second one where there is one, as one HTML document."""
    yard, other = scenes.load(path), scenes.load(second) if second else None
    if second is None or other is None:
        return alone(composed(planned(yard, advising=telling)))
    files = path, second
    check_lots(yard, other, files=files)
    beside = composed(planned(other, light=False))
    ready = composed(planned(yard, advising=telling))
    check_levels(ready, beside, files=files)
    return alone(ready, second_yard(ready, beside))


def alone(ready: Shown, other: dict[str, Any] | None = None) -> str:
    """All readings of a yard, checked with its sun and with advice, as one HTML document.

    `other` is what the page needs of a second yard.
    """
    words = {
        **words_of(ready),
        "race": race_words(ready.yard.title),
        "conditions": conditions_words(ready.yard, ready.findings),
    }
    template = framed("pack.html", words, reading="yard", one_file=True)
    template.add_variable("policy", POLICY)
    pn.extension("vtk")
    template.add_panel(
        "yard", YardView(sizing_mode="stretch_width", other=other or {}, **contents(ready))
    )
    raced = race_contents(ready.yard, ready.layout.sources)
    template.add_panel("race", RaceView(sizing_mode="stretch_width", **raced))
    return _saved(template)


def contents(ready: Shown) -> dict[str, Any]:
    """All that the component shows in a page that stays as it is, with the hours of sun."""
    hours = packed(sun_layer(ready.findings.lot_light))
    return {**parts_of(ready.stage), **told(ready), "hours": hours}


def _saved(template: Any) -> str:
    document = template.server_doc(Document())
    for model in document.select({"type": UIElement}):
        patch_inline_stylesheets(model)
    page = StringIO()
    save(
        document,
        page,
        resources=Resources(mode="inline", components=COMPONENTS),
        template=document.template,
        template_variables=document.template_variables,
    )
    return page.getvalue()
