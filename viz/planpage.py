"""The page of the plan under the hand: the yard from above, to scale, where plants are moved.

One component draws the plan and asks the server for edits; what it asks is done in
`viz.handdesk`. It stands on served pages alone: a packed file has nobody to write the document.
"""

from typing import Any, ClassVar

import param

from scenes.document import Yard
from viz.component import Component
from viz.frame import framed, script_source, style_source

SCRIPTS = (
    "dom.js", "arrays.js", "news.js", "handsheet.js", "handmarks.js", "handthings.js",
    "handreach.js", "handrow.js", "handunder.js", "handpointer.js", "handfind.js", "handforms.js",
    "handpanel.js", "handplan.js",
)  # fmt: skip

CAUTIONS = (
    "Call before you dig: have buried lines marked (in the United States dial 811, some days "
    "ahead), and dig by hand beside the marks. No line under the ground is on this plan.",
    "Roots of kept trees reach beyond their crowns. Dig nothing inside a root zone without an "
    "arborist; the circle drawn is a rule, and nobody sees from above where roots truly are.",
    "Keep plants off overhead lines and meters, and sight triangles low and clear. What may stand "
    "where is for local codes and those who license work to say; this plan has no say in it.",
    "Some plants are poisonous, thorny or spread into the wild: read what lists say of each "
    "before planting it where children, animals or open land are near.",
)


class PlanView(Component):
    """The plan with what can be done to what is chosen on it."""

    _esm = script_source(SCRIPTS)
    _stylesheets: ClassVar[list[str]] = [style_source("columns.css"), style_source("handplan.css")]

    sheet = param.Dict({})
    """What is drawn."""
    under = param.Dict({})
    """The picture under it; sent apart, for it is large and an edit leaves it alone."""
    found = param.Dict({})
    """Plants found by the words last asked for."""
    state = param.Dict({})
    """What is read after the sheet was sent: how often told, its number, what was done or not."""


def plan_title(yard: Yard) -> str:
    """What the page is called."""
    return f"Plan: {yard.title}"


def plan_page(yard: Yard, view: PlanView) -> Any:
    """A fresh template for one session, with the component it is to hold."""
    words = {
        "title": plan_title(yard),
        "subtitle": "From straight above, to scale; every change is written into the document",
        "cautions": CAUTIONS,
    }
    template = framed("handplan.html", words, reading="plan")
    template.add_panel("plan", view)
    return template
