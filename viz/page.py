"""The page of one yard: picture, years, figures and what to know before relying on it.

`build_page` makes a fresh Panel template for one visitor from words that all visitors share;
what the component shows is made in another process (viz/sent.py). One component holds the
picture with its controls and draws the rows of figures that stand in the template. Document
text is escaped once, by `viz.frame`, before it reaches a template; in the browser it only ever
becomes text nodes, or what a template made of it.
"""

from collections.abc import Mapping
from typing import Any, ClassVar

import param

from viz.component import Component
from viz.frame import filled, framed, script_source, style_source

GROUND = (
    "reckoned.js", "overlay.js", "groundfield.js", "groundpaint.js", "groundcontours.js",
    "groundlabels.js", "groundsun.js", "groundlayers.js", "sectioncut.js",
    "sectionview.js", "groundsection.js", "ground.js",
)  # fmt: skip
PLANTS = ("envelopes.js", "rings.js", "plantcard.js", "plants.js", "person.js")
SCRIPTS = (
    "dom.js", "arrays.js", "light.js", "drawings.js", "daylight.js", "shaders.js", "overlaps.js",
    "shade.js", "lens.js", "orbit.js", "loss.js", "stills.js", "canvas.js", "picture.js",
    "pair.js", "moment.js", *GROUND, "track.js", "years.js", "rows.js", *PLANTS, "news.js",
    "loading.js", "follow.js", "client.js", "compare.js", "yard.js",
)  # fmt: skip
STYLES = (
    "columns.css", "moment.css", "ground.css", "plants.css", "client.css", "compare.css",
)  # fmt: skip


class YardView(Component):
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
    other = param.Dict({})
    """A second yard beside the first: see `viz.secondyard`."""
    story = param.Dict({})
    words = param.Dict({})
    here = param.Boolean(default=False)
    """Set by the page once it is there to be told something."""
    served = param.Boolean(default=False)
    """Whether somebody can be asked for stills, where the browser draws no picture."""
    seen = param.Boolean(default=False)
    """Set by the page once its picture is on the screen, or none can be."""
    news = param.Dict({})
    """What is read after everything else was sent: how often told, when read, what is wrong."""


def build_page(words: Mapping[str, Any], view: YardView) -> Any:
    """A fresh template of the yard's page for one session, with the component it is to hold."""
    template = framed("page.html", words, reading="yard")
    template.add_panel("yard", view)
    return template


def told_outside(words: Mapping[str, Any]) -> dict[str, str]:
    """What stands outside the component: title and subtitle as text, the figures as markup."""
    figures = filled("yardfigures.html", words)
    return {"title": words["title"], "subtitle": words["subtitle"], "figures": figures}
