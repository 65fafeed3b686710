"""The page of one yard: picture, years, figures and what to know before relying on it.

`build_page` makes a fresh Panel template for one visitor from results that all visitors
share. One component holds the picture with its controls and draws the rows of figures that
stand in the template. Document text is escaped once, by `viz.frame`, before it reaches the
template; in the browser it only ever becomes text nodes.
"""

from typing import Any, ClassVar

import param
from panel.custom import JSComponent

from growth.checks.findings import Findings
from growth.ranges import Range
from scenes.document import Yard
from viz.content import page_story, page_words
from viz.frame import framed, script_source, style_source
from viz.packed import packed
from viz.rows import rows
from viz.stage import Stage, params

GROUND = (
    "overlay.js", "groundfield.js", "groundpaint.js", "groundcontours.js", "groundlabels.js",
    "groundlayers.js", "sectioncut.js", "sectionview.js", "groundsection.js", "ground.js",
)  # fmt: skip
SCRIPTS = (
    "dom.js", "arrays.js", "light.js", "drawings.js", "shade.js", "lens.js", "orbit.js",
    "picture.js", *GROUND, "track.js", "years.js", "rows.js", "yard.js",
)  # fmt: skip


class YardView(JSComponent):  # type: ignore[misc]  # Panel has no types
    """The picture with views, season, sentence and years."""

    _esm = script_source(SCRIPTS)
    _stylesheets: ClassVar[list[str]] = [style_source("columns.css"), style_source("ground.css")]

    ground = param.Dict({})
    hard = param.Dict({})
    far = param.Dict({})
    kinds = param.Dict({})
    plants = param.Dict({})
    sizes = param.Dict({})
    layers = param.Dict({})
    views = param.Dict({})
    sun = param.Dict({})
    story = param.Dict({})

    def __repr__(self, depth: int = 0) -> str:
        """Short: Panel writes out every panel it is given, and ours hold megabytes of numbers."""
        return "YardView()"


def build_page(yard: Yard, stage: Stage, findings: Findings, *, crowns_m2: Range) -> Any:
    """A fresh template for one session; `crowns_m2` is the area of all crowns by year."""
    shown = rows(findings)
    told = page_story(yard, stage, findings, shown, crowns_m2=crowns_m2)
    template = framed("page.html", page_words(yard, findings, shown), reading="yard")
    parts = {name: packed(part) for name, part in params(stage).items()}
    template.add_panel("yard", YardView(story=told, sizing_mode="stretch_width", **parts))
    return template
