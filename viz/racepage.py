"""The page of the growth race: plants side by side, from any size, for a class to guess.

One component holds everything, since it draws its own chart and nothing in it is laid out
by Bokeh. What it shows is made in another process (viz/racesent.py), once for all visitors.
"""

from typing import Any, ClassVar

import param

from viz.component import Component
from viz.forecast import FORECAST
from viz.frame import framed, script_source, style_source

SCRIPTS = (
    "dom.js", "arrays.js", "news.js", "loading.js", "track.js", "years.js", "courses.js",
    "field.js", "racechart.js", "guess.js", "picker.js", "race.js",
)  # fmt: skip

NOTES = (
    "Every plant is grown alone on this yard's site, well kept: no neighbours, clipping, drought "
    "or lost roots.",
    "A range is that of single plants: two plants of one kind differ by as much.",
    "Who passes whom is told for two single plants that do well or badly independently of each "
    "other, so its span is wide where their courses run close together.",
    "Rings on the chart are medians of five or more street and park trees of a city by years "
    "since planting (Urban tree database, doi 10.2737/RDS-2016-0005). They stood in other places "
    "than this yard, and those that failed young are missing. Dots are sizes seen locally, from "
    "the document.",
    "Sizes to choose at planting are common practice, and those this yard plants; #1 to #45 are "
    "classes of nursery containers, #1 about a gallon or 4 litres.",
    "Plants may be toxic, thorny or invasive, also where a class handles them: the table says what "
    "lists warn of, and not to be listed promises nothing.",
)


class RaceView(Component):
    """Plants side by side with years, chart, figures, picker and guess."""

    _esm = script_source(SCRIPTS)
    _stylesheets: ClassVar[list[str]] = [style_source("columns.css"), style_source("race.css")]

    kinds = param.Dict({})
    courses = param.Dict({})
    outlines = param.Dict({})
    story = param.Dict({})
    here = param.Boolean(default=False)
    """Set by the page once it is there to be told something."""
    news = param.Dict({})
    """What is read after everything else was sent: how often told, when read, what is wrong."""


def race_page(title: str, view: RaceView) -> Any:
    """A fresh template for one session, with the component it is to hold."""
    template = framed("race.html", race_words(title), reading="race")
    template.add_panel("race", view)
    return template


def race_words(title: str) -> dict[str, Any]:
    """All text of the template for the yard of that title, not yet escaped."""
    return {
        "title": f"Growth race: {title}",
        "subtitle": "Plants side by side, all set out on the same day",
        "forecast": FORECAST,
        "notes": NOTES,
    }
