"""What the page tells, as plain data: events, verdicts, views, dates, rows and yearly courses.

The component gets `page_story` and writes it as text nodes; the template gets `page_words`,
which `viz.frame` escapes. All numbers were computed before; years are whole, 0 to 30.
"""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import numpy as np

from growth.checks.findings import Findings, Verdict
from growth.checks.standing import season_of
from growth.ranges import Range
from scenes.document import Yard
from scenes.lengths import METRES
from viz.forecast import FORECAST, START_YEAR
from viz.rows import Row
from viz.stage import Stage
from viz.story import due, story
from viz.units import imperial
from viz.words import (
    caption,
    ending,
    figure,
    limit_words,
    season_dates,
    sentence_case,
    squares,
    subtitle,
)

NEWLY = "Newly planted; the years ahead are a forecast."
TO_COME = "What happens year by year is not computed yet; sizes shown are a forecast."
NOTHING_PLANTED = "Nothing planted yet."
NOT_COMPUTED = "not computed yet"


def page_words(yard: Yard, findings: Findings, shown: tuple[Row, ...]) -> dict[str, Any]:
    """All text of the template, not yet escaped."""
    return {
        **early_words(yard, shown),
        "cautions": findings.cautions,
        "notes": findings.notes,
        "not_computed": findings.not_computed,
    }


def early_words(yard: Yard, shown: tuple[Row, ...]) -> dict[str, Any]:
    """The text that needs no check: rows without courses say that they are not computed yet."""
    return {
        "title": yard.title,
        "subtitle": subtitle(yard),
        "rows": [_row_words(row, i) for i, row in enumerate(shown)],
        "forecast": FORECAST,
    }


def _row_words(row: Row, number: int) -> dict[str, Any]:
    return {
        "id": row_id(number),
        "name": row.name,
        "note": row.note,
        "height_px": row.height_px,
        "courses": [
            {"id": value_id(number, each.season), "season": each.season, "word": each.word}
            for each in row.courses
        ],
    }  # fmt: skip


def row_id(number: int) -> str:
    """The id of the element that a row's courses are drawn in."""
    return f"row-{number}"


def value_id(row: int, season: str) -> str:
    """The id of the element that shows a course's figure in the year shown."""
    return f"value-{row}-{season}"


def page_story(
    yard: Yard,
    stage: Stage,
    findings: Findings,
    shown: tuple[Row, ...],
    *,
    crowns_m2: Range,
    places: Mapping[str, Any],
) -> dict[str, Any]:
    """Everything the component tells: events, verdicts, views, dates and rows of figures."""
    site = yard.site
    events = story(findings, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg)
    return {
        **early_story(yard, stage, shown, crowns_m2=crowns_m2),
        "newly": _if_planted(NEWLY, crowns_m2),
        "events": [asdict(event) for event in events],
        "verdicts": [_verdict_data(verdict, yard) for verdict in findings.requirements],
        "places": places,
    }


def early_story(
    yard: Yard, stage: Stage, shown: tuple[Row, ...], *, crowns_m2: Range
) -> dict[str, Any]:
    """What the component tells before any check is done: nothing happens, verdicts are open."""
    unit, unit_m2 = area_unit(yard)
    return {
        "start_year": START_YEAR,
        "newly": _if_planted(TO_COME, crowns_m2),
        "dates": season_dates(yard, years=len(stage.years) - 1),
        "events": [],
        "places": {},
        "verdicts": [_open_verdict(asked.name) for asked in yard.requirement],
        "views": _view_data(yard, stage),
        "crowns": range_data(crowns_m2),
        "area_unit": unit,
        "area_m2": unit_m2,
        "rows": [_row_data(row, i) for i, row in enumerate(shown)],
    }


def _if_planted(words: str, crowns_m2: Range) -> str:
    """What is said while nothing has happened."""
    return words if crowns_m2.expected.any() else NOTHING_PLANTED


def _open_verdict(name: str) -> dict[str, Any]:
    return {"name": name, "limit": "", "text": NOT_COMPUTED, "figure": "", "squares": ""}


def _row_data(row: Row, number: int) -> dict[str, Any]:
    return {
        "id": row_id(number),
        "top": row.top,
        "gates": [asdict(gate) for gate in row.gates],
        "courses": [
            {
                "id": value_id(number, each.season),
                "season": each.season,
                **range_data(each.fraction),
            }
            for each in row.courses
        ],
    }


def area_unit(yard: Yard) -> tuple[str, float]:
    """The unit of areas on the page, and its square metres."""
    return ("sq ft", METRES["ft"] ** 2) if imperial(yard.lengths) else ("m²", 1.0)


def _verdict_data(verdict: Verdict, yard: Yard) -> dict[str, Any]:
    shown = figure(verdict)
    latitude_deg, longitude_deg = yard.site.latitude_deg, yard.site.longitude_deg
    season = season_of(verdict.season, latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    return {
        "name": verdict.name,
        "event": asdict(due(verdict, season)),
        "limit": f"{limit_words(verdict)}; year {verdict.year}",
        "text": f"{ending(verdict)}:" if shown else ending(verdict),
        "figure": shown,
        "squares": squares(verdict),
    }


def _view_data(yard: Yard, stage: Stage) -> list[dict[str, str]]:
    captions = {view.name: caption(view, yard) for view in yard.view if view.eye is not None}
    return [
        {
            "name": view.name,
            "label": sentence_case(view.name),
            "caption": captions.get(view.name, ""),
        }
        for view in stage.views
    ]


def range_data(course: Range) -> dict[str, list[float]]:
    """A yearly course with its range, as lists."""
    return {
        "low": np.asarray(course.low, dtype=float).tolist(),
        "expected": np.asarray(course.expected, dtype=float).tolist(),
        "high": np.asarray(course.high, dtype=float).tolist(),
    }
