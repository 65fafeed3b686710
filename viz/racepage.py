"""The page of the growth race: plants side by side, from any size, for a class to guess.

One component holds everything, since it draws its own chart and nothing in it is laid out
by Bokeh. What it shows is made by `viz.race`, once for all visitors.
"""

from collections.abc import Mapping
from typing import Any, ClassVar

import param
from panel.custom import JSComponent

from scenes.document import Yard
from scenes.lengths import METRES
from viz.content import FORECAST, START_YEAR, area_unit
from viz.frame import framed, script_source, style_source
from viz.packed import packed
from viz.units import imperial
from viz.words import season_dates

SCRIPTS = (
    "dom.js", "arrays.js", "news.js", "track.js", "years.js", "courses.js", "field.js",
    "racechart.js", "guess.js", "picker.js", "race.js",
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
    "Sizes to choose at planting are common practice, and those this yard plants.",
)


class RaceView(JSComponent):  # type: ignore[misc]  # Panel has no types
    """Plants side by side with years, chart, figures, picker and guess."""

    _esm = script_source(SCRIPTS)
    _stylesheets: ClassVar[list[str]] = [style_source("columns.css"), style_source("race.css")]

    kinds = param.Dict({})
    courses = param.Dict({})
    outlines = param.Dict({})
    story = param.Dict({})
    news = param.Dict({})
    """What is read after everything else was sent: how often told, when read, what is wrong."""

    def __repr__(self, depth: int = 0) -> str:
        """Short: Panel writes out every panel it is given, and ours hold megabytes of numbers."""
        return "RaceView()"


def race_page(yard: Yard, view: RaceView) -> Any:
    """A fresh template for one session, with the component it is to hold."""
    template = framed("race.html", race_words(yard), reading="race")
    template.add_panel("race", view)
    return template


def race_contents(yard: Yard, raced: Mapping[str, Any]) -> dict[str, Any]:
    """All that the component shows, by the names of its parameters."""
    return {"story": race_story(yard), **{name: packed(part) for name, part in raced.items()}}


def race_view(yard: Yard, raced: Mapping[str, Any]) -> RaceView:
    """The component of a page that stays as it is."""
    return RaceView(sizing_mode="stretch_width", **race_contents(yard, raced))


def race_title(yard: Yard) -> str:
    """What the page is called."""
    return f"Growth race: {yard.title}"


def race_story(yard: Yard) -> dict[str, Any]:
    """What the component tells beside the plants: units, dates and the year to begin with."""
    feet = imperial(yard.lengths)
    unit, unit_m2 = area_unit(yard)
    return {
        "title": race_title(yard),
        "start_year": START_YEAR,
        "newly": "Set out side by side; none has passed another yet.",
        "no_passing": "None of these plants passes another within 30 years.",
        "nobody": "No plants chosen yet.",
        "dates": season_dates(yard, years=30),
        "area_unit": unit,
        "area_m2": unit_m2,
        "unit": "ft" if feet else "m",
        "unit_m": METRES["ft"] if feet else 1.0,
    }


def race_words(yard: Yard) -> dict[str, Any]:
    """All text of the template, not yet escaped."""
    return {
        "title": race_title(yard),
        "subtitle": "Plants side by side, all set out on the same day",
        "forecast": FORECAST,
        "notes": NOTES,
    }
