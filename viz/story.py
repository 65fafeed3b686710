"""What happens over the years, as events on the year axis.

An event has the year it is expected in and the years it comes at fast and at slow growth;
its last year is None where slow growth does not get there within 30 years. Three bands:
what fills in, what gets in the way, and the conditions, which are dates. Only events that
happen at expected growth are told.
"""

from collections.abc import Iterator

import numpy as np

from growth.checks.findings import BedCover, Findings, Verdict
from growth.checks.standing import season_of
from growth.ranges import Array, Range
from viz.event import Event
from viz.intheway import in_the_way
from viz.ringed import place_of, ringed
from viz.words import (
    FALLS_WITH_GROWTH,
    due_sentence,
    figure,
    limit_percent,
    looks,
    season_word,
    sentence_case,
    squares,
)

CLOSED = 0.95
"""A bed is closed in the first year with this share covered (ruling on years)."""


def story(
    findings: Findings, *, latitude_deg: float | None, longitude_deg: float | None = None
) -> tuple[Event, ...]:
    """Every event of the yard in the order of expected years.

    The place tells which season a month named in a requirement falls in.
    """
    events: list[Event] = []
    for cover in findings.coverage:
        events += _bed_closes(cover)
    for verdict in findings.requirements:
        season = season_of(verdict.season, latitude_deg=latitude_deg, longitude_deg=longitude_deg)
        events += _limit_crossed(verdict, course_of(verdict, findings, season=season), season)
        events.append(due(verdict, season))
    events += in_the_way(findings)
    return tuple(sorted(events, key=lambda event: (event.year, event.first)))


def crossing(course: Range, limit: float, *, rising: bool) -> tuple[int, int, int | None] | None:
    """Years a course passes `limit`: earliest, expected, latest (None = after 30).

    None when it does not pass at expected growth. Year is the index of the course.
    """
    ends = (course.high, course.low) if rising else (course.low, course.high)
    early, late = (_first(end, limit, rising=rising) for end in ends)
    expected = _first(course.expected, limit, rising=rising)
    if early is None or expected is None:
        return None
    return early, expected, late


def _first(values: Array, limit: float, *, rising: bool) -> int | None:
    passed = np.flatnonzero(values >= limit if rising else values <= limit)
    return int(passed[0]) if len(passed) else None


def course_of(verdict: Verdict, findings: Findings, *, season: str) -> Range | None:
    """The yearly course a requirement is judged on, in leaf or bare; None if not computed."""
    if verdict.check == "canopy":
        return _canopy_of(verdict.of, findings)
    if verdict.check == "coverage":
        beds = (*findings.coverage, *([findings.beds] if findings.beds else []))
        return next((c.fraction for c in beds if c.bed == verdict.of), None)
    seen = (s for s in findings.screening if (s.view, s.season) == (verdict.of, season))
    blocked = next((each.fraction_blocked for each in seen), None)
    if blocked is None or verdict.check != "opening":
        return blocked
    return Range(low=1 - blocked.high, expected=1 - blocked.expected, high=1 - blocked.low)


def _canopy_of(name: str, findings: Findings) -> Range | None:
    canopy = findings.canopy
    known = {"lot": canopy.fraction, "paving": canopy.over_paving}
    known |= {one.rule.name: one.fraction for one in canopy.ruled}
    return known.get(name)


def _bed_closes(cover: BedCover) -> Iterator[Event]:
    years = crossing(cover.fraction, CLOSED, rising=True)
    if years is None or years[1] == 0:
        return
    name = sentence_case(cover.bed)
    told = f"{name} has closed: next to no bare mulch is left."
    yield Event("fills", f"{name} closed", told, *years, place=ringed("bed", cover.bed))


def _limit_crossed(verdict: Verdict, course: Range | None, season: str) -> Iterator[Event]:
    """The year the quantity of a requirement reaches its limit, for good or for ill."""
    rising = verdict.check not in FALLS_WITH_GROWTH
    years = None if course is None else crossing(course, verdict.limit, rising=rising)
    if years is None or years[1] == 0 or _same_as_closing(verdict):
        return
    good = verdict.at_least == rising
    when = f", {season_word(verdict.season)}" if looks(verdict) else ""
    amount = limit_percent(verdict)
    passed = f"{amount} reached" if rising else f"below {amount}"
    title = f"{verdict.name}: {passed}{when}"
    told = f"{title}."
    band = "fills" if good else "blocks"
    seen = _seen_from(verdict, season)
    yield Event(band, title, told, *years, "", *seen, place=place_of(verdict))


def _same_as_closing(verdict: Verdict) -> bool:
    return verdict.check == "coverage" and verdict.limit == CLOSED


def due(verdict: Verdict, season: str) -> Event:
    """A requirement's date, with its outcome."""
    known = bool(squares(verdict))
    outcome = verdict.standing if known else "not computed yet"
    title, years = f"{verdict.name}: {outcome}", (verdict.year,) * 3
    told, seen = due_sentence(verdict), _seen_from(verdict, season)
    place, amount = place_of(verdict), figure(verdict)
    return Event("rule", title, told, *years, squares(verdict), *seen, place=place, figure=amount)


def _seen_from(verdict: Verdict, season: str) -> tuple[str, str]:
    """View and season in which to look at a requirement; empty = stay."""
    return (verdict.of, season) if looks(verdict) else ("", "")
