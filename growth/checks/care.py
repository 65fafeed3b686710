"""What a yard needs after it is planted, year by year: a list for whoever looks after it.

Years come from the forecast (clipping, beds that close, plants that meet or touch something) and
from care.csv, which holds sourced figures. Trees are watered until they are established: months an
inch of trunk by hardiness zone (`growth.establishment`). How much water at a time, pests, feeding
and lawns are left out: soil, weather and the plant decide, and the nursery knows.
"""

import csv
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from growth.checks.findings import Clash
from growth.checks.working import Planned
from growth.establishment import CONTAINER_MONTHS_PER_INCH, INCH_M, months_per_inch
from growth.nursery import planted_size
from scenes.countwords import GROUPS
from scenes.document import Yard
from scenes.whereabouts import found_at

TABLE = Path(__file__).parents[1] / "care.csv"

FORECAST = ""
"""Where the forecast itself says so, by expected growth."""

ESTABLISHING = "months an inch of trunk by zone: UF/IFAS, Gilman"


_WAYS = {
    "clip": "clip it",
    "lift": "lift its crown",
    "move": "prune it back, unless it is planted farther off",
}
"""Cures of what comes too near, as words for who looks after it."""


NEAR_WIRES = (
    "do not cut there yourself; tell the line's owner, or a qualified line-clearance arborist"
)
"""ANSI A300 84.2.1 and TCIA, second hand: work within 10 ft of lines is theirs."""


@dataclass(frozen=True)
class Care:
    """Something to do in a year, or from it to the last one; the source is "" for the forecast."""

    year: int
    last_year: int
    what: str
    source: str


@dataclass(frozen=True)
class Figure:
    """A row of care.csv: low and high in its unit, and its source."""

    low: float
    high: float
    unit: str
    source: str


@cache
def care_figures() -> dict[str, Figure]:
    """The rows of care.csv by what they are about."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return {
            row["what"]: Figure(
                float(row["low"]), float(row["high"]), row["unit"],
                f"{row['source']} ({row['evidence']})",
            )
            for row in csv.DictReader(file)
        }  # fmt: skip


def care(planned: Planned) -> tuple[Care, ...]:
    """Everything to do, the soonest first."""
    found = [
        *_watering(planned),
        *_mulching(planned),
        *_weeding(planned),
        *_clipping(planned),
        *_taking_out(planned),
        *_thinning(planned),
        *_touching(planned.yard, planned.findings.clearance),
        *_watching(planned),
        *_raising(planned),
        *_measuring(planned),
    ]
    return tuple(sorted(found, key=lambda note: (note.year, note.last_year)))


def water_months(caliper_m: float, *, zone: int | None, in_container: bool) -> float:
    """Months from planting until a tree of a caliper is established."""
    each = months_per_inch(zone) + (CONTAINER_MONTHS_PER_INCH if in_container else 0.0)
    return caliper_m / INCH_M * each


def _watering(planned: Planned) -> Iterator[Care]:
    zone, shrubs = planned.yard.site.hardiness_zone, care_figures()["water shrubs"]
    known = {plant.name: plant for plant in planned.stand.plants}
    dry = {name for name, plant in known.items() if plant.kind in GROUPS["shrubs"]}
    if any(source.planting and source.plant in dry for source in planned.layout.sources):
        yield Care(
            0, math.ceil(shrubs.high / 52),
            f"Water the new shrubs through dry spells for {shrubs.low / 52:.0f} to "
            f"{shrubs.high / 52:.0f} years ({shrubs.low:g} to {shrubs.high:g} weeks).",
            shrubs.source,
        )  # fmt: skip
    for source in planned.layout.sources:
        if source.planting is None or known[source.plant].kind != "tree":
            continue
        size = planted_size(source.planting, known[source.plant])
        if size.caliper_m is not None:
            months = water_months(size.caliper_m, zone=zone, in_container=size.in_container)
            inches = size.caliper_m / INCH_M
            yield Care(
                0, math.ceil(months / 12),
                f"Water {source.plant} {found_at(planned.yard, source.place)} ({inches:.1f} in of "
                f"trunk) for about {max(1, round(months))} months, until it is established.",
                ESTABLISHING,
            )  # fmt: skip


def _mulching(planned: Planned) -> Iterator[Care]:
    depth, off = care_figures()["mulch depth"], care_figures()["mulch off trunk"]
    mulched = [bed.name for bed in planned.layout.beds if bed.mulch_m]
    closed = [bed.closed_year for bed in planned.findings.coverage if bed.bed in mulched]
    if mulched:
        last = max(planned.stand.years[-1] if year is None else year for year in closed)
        yield Care(
            1, int(last),
            f"Top the mulch up to {_inches(depth)}, never deeper, and keep it {_inches(off)} off "
            "trunks, until plants cover the ground.",
            depth.source,
        )  # fmt: skip


def _inches(figure: Figure) -> str:
    """Low to high inches, with the same in centimetres."""
    low_cm, high_cm = (100 * INCH_M * inches for inches in (figure.low, figure.high))
    return f"{figure.low:g} to {figure.high:g} in ({low_cm:.0f} to {high_cm:.0f} cm)"


def _weeding(planned: Planned) -> Iterator[Care]:
    last = int(planned.stand.years[-1])
    for bed in planned.findings.coverage:
        until = last if bed.closed_year is None else bed.closed_year
        closes = "does not close by then" if bed.closed_year is None else "is closed then"
        if until:
            words = f"Weed {bed.bed} between its plants until year {until}; it {closes}."
            yield Care(0, until, words, FORECAST)


def _clipping(planned: Planned) -> Iterator[Care]:
    last = int(planned.stand.years[-1])
    for clip in planned.findings.clipping:
        if clip.expected is not None:
            where = found_at(planned.yard, clip.place)
            words = f"Clip {clip.plant} {where} to the size it is kept at, from here on"
            yield Care(clip.expected, last, f"{words} {_between(clip.low, clip.high)}.", FORECAST)


def _between(low: int | None, high: int | None) -> str:
    """A range of years in words."""
    return f"(first between year {low} and {'later than 30' if high is None else high})"


def _taking_out(planned: Planned) -> Iterator[Care]:
    for source in planned.layout.sources:
        year = source.planting.removed if source.planting else None
        if year is not None:
            where = found_at(planned.yard, source.place)
            yield Care(year, year, f"Take out {source.plant} {where}.", "the document")


def _thinning(planned: Planned) -> Iterator[Care]:
    last = int(planned.stand.years[-1])
    for pair in planned.findings.crowding:
        if pair.first_year is not None:
            words = f"{pair.plant} and {pair.other} meet: thin, clip, or let them grow together."
            yield Care(pair.first_year, last, words, FORECAST)


def _touching(yard: Yard, clashes: Sequence[Clash]) -> Iterator[Care]:
    """The soonest plant of a place against each thing."""
    soonest: dict[tuple[str, str], Clash] = {}
    for clash in clashes:
        key = clash.place, clash.against
        if clash.first_year is not None and (
            key not in soonest or clash.first_year < (soonest[key].first_year or 0)
        ):
            soonest[key] = clash
    for clash in soonest.values():
        cures = {cure.do for cure in clash.cures}
        ways = [_WAYS[do] for do in ("clip", "lift", "move") if do in cures]
        what = ", or ".join(ways) or "ask an arborist"
        what = NEAR_WIRES if clash.what == "line" else what
        where = found_at(yard, clash.place)
        words = f"{clash.plant} {where} comes too near {clash.against}: {what}."
        yield Care(clash.first_year or 0, clash.first_year or 0, words, FORECAST)


def _watching(planned: Planned) -> Iterator[Care]:
    span, least = care_figures()["watch roots"], care_figures()["watch from"]
    for source in planned.layout.sources:
        if source.kept is not None and round(source.roots_lost, 2) >= least.low:
            yield Care(
                int(span.low), int(span.high),
                f"Have an arborist look at {source.plant} {found_at(planned.yard, source.place)} "
                f"every year: {100 * source.roots_lost:.0f} % of its roots are lost, and damage "
                "may show late.",
                span.source,
            )  # fmt: skip


def _raising(planned: Planned) -> Iterator[Care]:
    for head in planned.findings.spray:
        if head.first_dry_year is not None:
            words = f'Plants stand in the water of "{head.head}": raise or move the spray head.'
            yield Care(head.first_dry_year, head.first_dry_year, words, FORECAST)


def _measuring(planned: Planned) -> Iterator[Care]:
    years: dict[int, list[str]] = {}
    for wanted in planned.yard.requirement:
        years.setdefault(wanted.year, []).append(wanted.name)
    for year, names in years.items():
        yield Care(
            year, year, f"Measure, against the conditions: {', '.join(names)}.", "conditions"
        )
