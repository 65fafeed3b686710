"""The page of one yard: picture, years, figures and what to know before relying on it.

`build_page` makes a fresh Panel template for one visitor from results that all visitors
share. One component holds the picture with its controls and draws the rows of figures that
stand in the template. Document text is escaped once, by `viz.frame`, before it reaches a
template; in the browser it only ever becomes text nodes, or what a template made of it.
"""

from typing import Any, ClassVar

import param
from panel.custom import JSComponent

from viz.closinglayer import closing_layer
from viz.content import page_story, page_words
from viz.frame import filled, framed, script_source, style_source
from viz.packed import packed
from viz.plantcards import plant_cards
from viz.ringed import places
from viz.rows import rows
from viz.shown import Shown
from viz.stage import Stage, params
from viz.sunlayer import sun_layer

GROUND = (
    "reckoned.js", "overlay.js", "groundfield.js", "groundpaint.js", "groundcontours.js",
    "groundlabels.js", "groundsun.js", "groundlayers.js", "sectioncut.js",
    "sectionview.js", "groundsection.js", "ground.js",
)  # fmt: skip
PLANTS = ("envelopes.js", "rings.js", "plantcard.js", "plants.js", "person.js")
SCRIPTS = (
    "dom.js", "arrays.js", "light.js", "drawings.js", "daylight.js", "shaders.js", "shade.js",
    "lens.js", "orbit.js", "loss.js", "canvas.js", "picture.js", "pair.js", "moment.js", *GROUND,
    "track.js", "years.js", "rows.js", *PLANTS, "news.js", "follow.js", "client.js", "compare.js",
    "yard.js",
)  # fmt: skip
STYLES = (
    "columns.css", "moment.css", "ground.css", "plants.css", "client.css", "compare.css",
)  # fmt: skip


class YardView(JSComponent):  # type: ignore[misc]  # Panel has no types
    """The picture with views, season, sentence and years."""

    _esm = script_source(SCRIPTS)
    _stylesheets: ClassVar[list[str]] = [style_source(name) for name in STYLES]

    ground = param.Dict({})
    hard = param.Dict({})
    far = param.Dict({})
    kinds = param.Dict({})
    plants = param.Dict({})
    sizes = param.Dict({})
    layers = param.Dict({})
    closing = param.Dict({})
    hours = param.Dict({})
    """Hours of sun, in a page that has nobody to ask for them."""
    views = param.Dict({})
    months = param.Dict({})
    suns = param.Dict({})
    cards = param.Dict({})
    story = param.Dict({})
    words = param.Dict({})
    news = param.Dict({})
    """What is read after everything else was sent: how often told, when read, what is wrong."""

    def __repr__(self, depth: int = 0) -> str:
        """Short: Panel writes out every panel it is given, and ours hold megabytes of numbers."""
        return "YardView()"


def build_page(ready: Shown, view: YardView) -> Any:
    """A fresh template of the yard's page for one session, with the component it is to hold."""
    template = framed("page.html", words_of(ready), reading="yard")
    template.add_panel("yard", view)
    return template


def words_of(ready: Shown) -> dict[str, Any]:
    """All text of the page, not yet escaped."""
    return page_words(ready.yard, ready.findings, rows(ready.findings))


def told_outside(ready: Shown) -> dict[str, str]:
    """What stands outside the component: title and subtitle as text, the figures as markup."""
    words = words_of(ready)
    figures = filled("yardfigures.html", words)
    return {"title": words["title"], "subtitle": words["subtitle"], "figures": figures}


def contents(ready: Shown) -> dict[str, Any]:
    """All that the component shows, by the names of its parameters."""
    shown = rows(ready.findings)
    told = page_story(
        ready.yard,
        ready.stage,
        ready.findings,
        shown,
        crowns_m2=ready.crowns_m2,
        places=places(ready.yard, ready.layout, ready.findings),
    )
    closing = packed(closing_layer(ready.layout, ready.findings))
    cards = packed(plant_cards(ready.yard, ready.layout, ready.stand, ready.findings))
    return {"story": told, "closing": closing, "cards": cards, **parts_of(ready.stage)}


def parts_of(stage: Stage) -> dict[str, Any]:
    """What the picture is drawn from, each part as one run of bytes."""
    return {name: packed(part) for name, part in params(stage).items()}


def yard_view(ready: Shown) -> YardView:
    """The component of a page that stays as it is, with the hours of sun."""
    hours = packed(sun_layer(ready.findings.lot_light))
    return YardView(sizing_mode="stretch_width", hours=hours, **contents(ready))
