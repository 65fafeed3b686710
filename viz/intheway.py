"""What gets in the way as plants grow, as events of the year axis: the soonest of each thing.

Views that are lost, things that plants come too near to, heads whose water is stopped, sight
triangles that plants rise into. Nothing that is so from the day of planting on is told here.
"""

from collections.abc import Iterable, Iterator

import numpy as np

from growth.checks.findings import Clash, Findings
from growth.checks.spray import WHOLE, Spray
from growth.ranges import Array
from viz.event import Event
from viz.ringed import ringed
from viz.words import sentence_case

LATER = 99
"""In place of no year at all, when years are put in order."""


def in_the_way(findings: Findings) -> Iterator[Event]:
    """Every event of the band of what gets in the way that no requirement asks about."""
    yield from _views_lost(findings)
    yield from _too_near(findings.clearance)
    for sight in findings.sight:
        yield from _risen(sight.name, sight.plants)
    for head in findings.spray:
        yield from _dry(head)


def _views_lost(findings: Findings) -> Iterator[Event]:
    for view in findings.screening:
        lost = view.lost
        if view.season != "leaf" or lost is None or not lost.first_year:
            continue
        name = sentence_case(view.view)
        by = f" {lost.plant} is in the way most." if lost.plant else ""
        told = f"{name}: less than {100 * lost.limit:.0f} % is open from here on.{by}"
        years = (lost.earliest_year or 0, lost.first_year, lost.latest_year)
        place = ringed("view", view.view)
        yield Event("blocks", f"{name} lost", told, *years, "", view.view, "leaf", place)


def _too_near(clashes: Iterable[Clash]) -> Iterator[Event]:
    soonest: dict[str, Clash] = {}
    for clash in clashes:
        known = soonest.get(clash.against)
        if clash.first_year and (known is None or clash.first_year < (known.first_year or LATER)):
            soonest[clash.against] = clash
    for against, clash in soonest.items():
        told = f"{clash.plant} comes too near to {_the(against)}."
        yield _of(clash, f"{clash.plant} reaches {_the(against)}", told)


def _the(thing: str) -> str:
    """A thing with its article where its name is not one of the document's own."""
    return f"the {thing}" if thing == "lot line" else thing


def _risen(name: str, plants: Iterable[Clash]) -> Iterator[Event]:
    growing = [clash for clash in plants if clash.first_year]
    if growing:
        first = min(growing, key=lambda clash: clash.first_year or LATER)
        told = f"{first.plant} rises into what drivers have to see at {name}."
        yield _of(first, f"{first.plant} rises into sight: {name}", told)


def _of(clash: Clash, title: str, told: str) -> Event:
    year = clash.first_year or 0
    earliest = year if clash.earliest_year is None else min(year, clash.earliest_year)
    return Event("blocks", title, told, earliest, year, clash.latest_year, at=clash.at)


def _dry(head: Spray) -> Iterator[Event]:
    first = [_below(end) for end in (head.reached.low, head.reached.expected, head.reached.high)]
    if not first[1]:
        return
    name = sentence_case(head.head)
    told = f"{name}: plants stop its water, and ground behind them stays dry."
    place, years = ringed("head", head.head), (first[0] or 0, first[1], first[2])
    yield Event("blocks", f"{name} blocked", told, *years, place=place, about="irrigation")


def _below(reached: Array) -> int | None:
    """The first year in which less than the whole ground of a head is reached."""
    years = np.flatnonzero(reached < WHOLE)
    return int(years[0]) if len(years) else None
