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
from bokeh.resources import INLINE
from panel.io.notebook import patch_inline_stylesheets
from panel.io.save import save

import scenes
from viz.checker import checked, checking
from viz.conditions import conditions_words
from viz.errors import ShowError
from viz.frame import framed
from viz.page import words_of, yard_view
from viz.race import as_params
from viz.racepage import race_view, race_words
from viz.shown import Shown, shown

POLICY = (
    "default-src 'none'; script-src 'unsafe-inline' 'unsafe-eval' blob: data:; "
    "style-src 'unsafe-inline' blob: data:; img-src data: blob:; connect-src data: blob:; "
    "font-src data:; worker-src blob:"
)
"""Nothing from anywhere else; Bokeh and vtk.js compile code and make blobs of their own."""


def pack(path: Path, out: Path, *, telling: Callable[[str], object] = len) -> None:
    """Write the pages of a document to one HTML file; `telling` hears what is being tried.

    Raises SceneError or GrowthError for a wrong document, ShowError where nothing can be written.
    """
    yard = scenes.load(path)
    with checking() as checker:
        ready = shown(yard, checker)
    page = alone(ready, telling=telling)
    try:
        _write(out, page)
    except OSError as error:
        why = error.strerror or "cannot be written"
        raise ShowError(f"{out}: {why}; name a file in a folder that can be written") from error


def alone(ready: Shown, *, telling: Callable[[str], object] = len) -> str:
    """All readings of a yard as one HTML document."""
    tried = checked(ready.yard, advising=telling)
    words = {
        **words_of(ready),
        "race": race_words(ready.yard),
        "conditions": conditions_words(ready.yard, tried),
    }
    template = framed("pack.html", words, reading="yard", one_file=True)
    template.add_variable("policy", POLICY)
    pn.extension("vtk")
    template.add_panel("yard", yard_view(ready, tried.lot_light))
    raced = as_params(ready.yard, ready.layout.sources)
    template.add_panel("race", race_view(ready.yard, raced))
    return _saved(template)


def _saved(template: Any) -> str:
    document = template.server_doc(Document())
    for model in document.select({"type": UIElement}):
        patch_inline_stylesheets(model)
    page = StringIO()
    save(
        document,
        page,
        resources=INLINE,
        template=document.template,
        template_variables=document.template_variables,
    )
    return page.getvalue()


def _write(out: Path, page: str) -> None:
    beside = out.with_name(f".{out.name}.part")
    try:
        beside.write_text(page, encoding="utf-8")
        beside.replace(out)
    finally:
        beside.unlink(missing_ok=True)
