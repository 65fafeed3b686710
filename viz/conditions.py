"""The Conditions reading of a yard: each requirement with its forecast, verdict, gaps and remedy.

Plain data for the template, not yet escaped. Nothing is computed here about the yard: the
findings come with advice that was tried before.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from rich.table import Table
from rich.text import Text

from growth.checks.findings import Findings, OneFails, Screening, Verdict
from growth.checks.standing import season_of
from scenes.document import Site, Yard
from viz.advicelist import advised
from viz.checker import planned
from viz.firstwords import first_words
from viz.forecast import FORECAST
from viz.panelimage import panel_picture
from viz.report import other_lists, other_tables
from viz.tables import amount_text, year_text
from viz.units import length_text
from viz.words import ending, figure, limit_words, season_word, sentence_case, squares, subtitle

AXIS_ROOM = 1.25
"""An axis that is no share ends at so many times the largest figure on it."""

WIDEST_PX, HIGHEST_PX = 640, 280
"""A panel is shown no larger than this."""

STANDINGS = ("met", "likely", "missed", "unknown")

NOTHING_ASKED = "No conditions in this yard. Add [[requirement]] to the document."


def tried_words(yard: Yard, advising: Callable[[str], object]) -> dict[str, Any]:
    """The words of a yard's conditions with advice; `advising` hears what is being tried.

    Raises SceneError or GrowthError for a wrong yard.
    """
    return conditions_words(yard, planned(yard, advising=advising).findings)


def conditions_words(yard: Yard, findings: Findings) -> dict[str, Any]:
    """All text and figures of the reading."""
    asked = findings.requirements
    return {
        "title": f"Conditions: {yard.title}",
        "subtitle": subtitle(yard),
        "heading": heading(asked) if asked else NOTHING_ASKED,
        "also": _also(yard, findings),
        "conditions": [_condition(findings, verdict) for verdict in asked],
        "panels": [_panel(*one, yard) for one in _looked_at(asked, findings, yard.site)],
        "conflicts": findings.fire.conflicts if findings.fire else (),
        "tables": [plain_table(made) for made in other_tables(findings, lengths=yard.lengths)],
        "lists": [
            {"heading": title, "lines": lines}
            for title, lines in other_lists(findings, lengths=yard.lengths)
            if lines
        ],
        "forecast": FORECAST,
        "cautions": findings.cautions,
    }


def _also(yard: Yard, findings: Findings) -> tuple[str, ...]:
    """What else matters first: all but the conditions, which the reading tells itself."""
    others = replace(findings, requirements=(), fire=None)
    return first_words(others, lengths=yard.lengths, site=yard.site)


def heading(verdicts: Sequence[Verdict]) -> str:
    """How many conditions stand how: "4 conditions: 1 met, 2 likely, 1 missed"."""
    counted = [(sum(v.standing == word for v in verdicts), word) for word in STANDINGS]
    parts = ", ".join(f"{number} {word}" for number, word in counted if number)
    return f"{len(verdicts)} condition{'' if len(verdicts) == 1 else 's'}: {parts}"


def _condition(findings: Findings, verdict: Verdict) -> dict[str, Any]:
    return {
        "name": verdict.name,
        "limit": f"{limit_words(verdict)}; year {verdict.year}",
        "figure": figure(verdict),
        "bar": _bar(verdict),
        "squares": list(squares(verdict)),
        "ending": ending(verdict),
        "standing": verdict.standing,
        "advice": [sentence_case(line) for line in advised(verdict)],
        "would_meet": bool(verdict.advice and verdict.advice.changes),
        "loss": _loss(findings, verdict, verdict.if_one_fails) if verdict.if_one_fails else "",
        "leaf": season_word(verdict.season) != "bare",
    }


def _bar(verdict: Verdict) -> dict[str, Any] | None:
    """Range, expected value and limit as percents of the axis; None where not computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return None
    most = 1.0
    if verdict.unit != "share" or verdict.check == "fall":
        most = AXIS_ROOM * max(verdict.high, verdict.limit, 1e-9)
    ends = (verdict.low, verdict.expected, verdict.high, verdict.limit)
    low, middle, high, limit = (round(100 * min(end / most, 1), 2) for end in ends)
    return {
        "low": low,
        "expected": middle,
        "wide": round(max(high - low, 0.6), 2),
        "limit": limit,
        "gate": "at least" if verdict.at_least else "at most",
        "end": amount_text(most, verdict.unit),
    }


def _loss(findings: Findings, verdict: Verdict, loss: OneFails) -> str:
    """The plant the condition hangs on, and what is left without it."""
    left = amount_text(loss.expected, verdict.unit, beside=verdict.limit)
    again = "" if loss.recovers_year is None else f"; met again {year_text(loss.recovers_year)}"
    planted = " with a new one of the first size" if loss.replaced and again else ""
    return f"Hangs on {findings.told(loss.plant, loss.place)}: without it {left}{again}{planted}."


def _looked_at(
    verdicts: Sequence[Verdict], findings: Findings, site: Site
) -> Iterator[tuple[Verdict, Screening]]:
    """Conditions of a view, each with its view in the season it asks for."""
    for verdict in verdicts:
        season = season_of(
            verdict.season, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
        )
        views = findings.screening if verdict.check in ("screening", "opening") else ()
        for view in views:
            if (view.view, view.season) == (verdict.of, season) and view.picture is not None:
                yield verdict, view


def _panel(verdict: Verdict, view: Screening, yard: Yard) -> dict[str, Any]:
    """The panel as the eye sees it in the condition's year, its gaps by number and as a list."""
    assert view.picture is not None
    picture, screens = view.picture, verdict.check == "screening"
    gaps = [gap for gap in view.gaps if gap.year == verdict.year and screens]
    wide, high = picture.wide_m, picture.high_m

    def size(metres: float) -> str:
        return length_text(metres, lengths=yard.lengths)

    return {
        "name": verdict.name,
        "title": f"{view.view}, year {verdict.year}, {season_word(verdict.season)}, expected",
        "image": panel_picture(picture, verdict.year),
        "screens": screens,
        "width_px": round(min(WIDEST_PX, HIGHEST_PX * wide / high)),
        "ratio": round(wide / high, 4),
        "gaps": [
            {
                "number": number,
                "left": round(100 * gap.along_m / wide, 2),
                "low": round(100 * gap.up_m / high, 2),
                "width": round(100 * gap.width_m / wide, 2),
                "height": round(100 * (gap.high_m - gap.low_m) / high, 2),
                "place": f"{size(gap.along_m)} to {size(gap.along_m + gap.width_m)} along",
                "size": f"{size(gap.width_m)} × {size(gap.high_m - gap.low_m)}",
                "levels": f"{size(gap.low_m)} to {size(gap.high_m)} up",
                "closes": year_text(gap.closes),
            }
            for number, gap in enumerate(gaps, 1)
        ],
    }


def plain_table(made: Table) -> dict[str, Any]:
    """A table of the terminal as plain text, for HTML."""
    columns = [[_plain(cell) for cell in column.cells] for column in made.columns]
    return {
        "title": _plain(made.title or ""),
        "heads": [_plain(column.header) for column in made.columns],
        "figures": [column.justify == "right" for column in made.columns],
        "rows": [list(row) for row in zip(*columns, strict=True)],
        "more": _plain(made.caption or "").replace("see --json", "yardyears check prints them"),
    }


def _plain(cell: Any) -> str:
    return Text.from_markup(cell).plain if isinstance(cell, str) else str(cell)
