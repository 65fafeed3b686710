"""What to look out for with the plants of one table: each finding about them, with its years.

Every line is one thing that the checks found, said once for all plants of a table that it is
true of; each of them has the years it happens in at fast, expected and slow growth. What does
not happen at expected growth, but at fast growth, says so. Nothing is computed here.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from growth.checks.findings import Clash, Findings
from growth.crowding import first_shaded_year
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from viz.clearances import CURES
from viz.lightreport import need_text
from viz.units import length_text
from viz.words import figure, percent, sentence_case

IF_FAST = "only if it grows fast"
AFTER = -1
"""In place of a last year: not within the years forecast."""


@dataclass(frozen=True)
class Hit:
    """One plant that a line is true of: number in the stand, or of all where -1; years; more."""

    plant: int
    year: int
    first: int
    last: int | None
    more: str = ""


@dataclass(frozen=True)
class Line:
    """One thing to look out for with plants of a table, and the view it is seen in, if any."""

    source: int
    text: str
    hit: Hit
    view: str = ""
    season: str = ""


class _Known:
    """The yard's tables and plants, to be found by place."""

    def __init__(self, yard: Yard, layout: Layout, stand: Stand) -> None:
        self.stand = stand
        self.lengths = yard.lengths
        self.layout = layout
        self._tables: dict[tuple[str, str], int] = {
            (source.place, source.plant): n for n, source in enumerate(layout.sources)
        }

    def long(self, metres: float) -> str:
        """A length in the document's kind of unit."""
        return length_text(metres, lengths=self.lengths)

    def table(self, place: str, plant: str) -> int:
        """Number of the table, and of the kind of a mix."""
        return self._tables[place, plant]

    def at(self, place: tuple[float, float], name: str) -> int:
        """Number of the plant of a kind that stands at a place, or nearest to it."""
        stand = self.stand
        kind = [n for n, plant in enumerate(stand.plants) if plant.name == name]
        mine = np.flatnonzero(np.isin(stand.plant, kind))
        away = np.hypot(*(stand.xyz_m[mine, :2] - place).T)
        return int(mine[np.argmin(away)])

    def source(self, plant: int) -> int:
        """Number of the table a plant comes from."""
        return int(self.stand.source[plant])


def _line(
    known: _Known, plant: int, text: str, year: int, view: str = "", season: str = ""
) -> Line:
    """A line of one plant and one year."""
    return Line(known.source(plant), text, Hit(plant, year, year, year), view, season)


def _clash(known: _Known, clash: Clash, text: str) -> Iterator[Line]:
    """A line of a clash, where it happens at expected or at fast growth, with what cures it."""
    year = clash.earliest_year if clash.first_year is None else clash.first_year
    if year is None:
        return
    first = year if clash.earliest_year is None else min(year, clash.earliest_year)
    only = [IF_FAST] if clash.first_year is None else []
    cures = [
        f"to keep clear: {CURES[cure.do].format(known.long(cure.length_m))}"
        for cure in clash.cures[:1]
    ]
    plant, more = known.at(clash.at, clash.plant), "; ".join([*only, *cures])
    yield Line(known.source(plant), text, Hit(plant, year, first, clash.latest_year, more))


def _years(clash: Clash) -> list[float]:
    """Its years at expected and at fast growth, infinite where it does not happen."""
    years = (clash.first_year, clash.earliest_year)
    return [float("inf") if year is None else year for year in years]


def _clearances(known: _Known, findings: Findings) -> Iterator[Line]:
    soonest: dict[tuple[int, str], Clash] = {}
    for clash in sorted(findings.clearance, key=_years):
        soonest.setdefault((known.at(clash.at, clash.plant), clash.against), clash)
    for clash in soonest.values():
        against = "the lot line" if clash.against == "lot line" else clash.against
        yield from _clash(known, clash, f"Comes too near to {against}")


def _sights(known: _Known, findings: Findings) -> Iterator[Line]:
    for sight in findings.sight:
        for clash in sight.plants:
            told = f"Rises into what drivers have to see at {sight.name}"
            yield from _clash(known, clash, told)


def _crowds(known: _Known, findings: Findings) -> Iterator[Line]:
    for pair in findings.crowding:
        ends = ((pair.plant, pair.at, pair.other), (pair.other, pair.other_at, pair.plant))
        for name, at, other in ends:
            apart, wanted = known.long(pair.distance_m), known.long(pair.wanted_m)
            text = f"Crowded by {other}: {apart} apart, {wanted} for their mature spreads"
            if pair.first_year is not None:
                yield _line(known, known.at(at, name), f"{text}. Crowns meet", pair.first_year)


def _fire(known: _Known, findings: Findings) -> Iterator[Line]:
    for gap in findings.fire.gaps if findings.fire else ():
        wanted = known.long(gap.wanted_m)
        text = f"Closer to {gap.other} than fire spacing asks for ({wanted})"
        yield _line(known, known.at(gap.at, gap.plant), text, gap.first_year)


def _light(known: _Known, findings: Findings) -> Iterator[Line]:
    for spot in findings.lighting.spots if findings.lighting else ():
        year = spot.first_year_outside
        if year is None:
            continue
        low, middle, high = (
            f"{end[year]:.1f}" for end in (spot.hours.low, spot.hours.expected, spot.hours.high)
        )
        more = f"{middle} h" if low == high else f"{middle} h ({low}–{high})"
        text = f"Out of the direct sun it needs, {need_text(spot)} a day"
        hit = Hit(known.at(spot.at, spot.plant), year, year, year, more)
        yield Line(known.table(spot.place, spot.plant), text, hit)


def _shaded(known: _Known, _findings: Findings) -> Iterator[Line]:
    first = first_shaded_year(known.stand)
    for plant in np.flatnonzero(first <= known.stand.years[-1]):
        text = "Under taller neighbours: expect a thin, bare base (common practice)"
        yield _line(known, int(plant), text, int(first[plant]))


def _roots(known: _Known, _findings: Findings) -> Iterator[Line]:
    for zone in known.layout.root_zones:
        if zone.lost_fraction > 0:
            share = percent(zone.lost_fraction)
            text = f"The plan harms {share} of its root zone; ask an arborist first"
            yield _line(known, known.at(zone.at, zone.plant), text, 0)


def _clipped(known: _Known, findings: Findings) -> Iterator[Line]:
    for clip in findings.clipping:
        if clip.low is None:
            continue
        year = clip.low if clip.expected is None else clip.expected
        text = "First has to be clipped to the size it is kept at"
        only = IF_FAST if clip.expected is None else ""
        source = known.table(clip.place, clip.plant)
        yield Line(source, text, Hit(-1, year, clip.low, clip.high, only))


def _views(known: _Known, findings: Findings) -> Iterator[Line]:
    for seen in findings.screening:
        lost = seen.lost
        if lost is None or lost.plant is None or lost.at is None or lost.first_year is None:
            continue
        text = f"Hides most of what {seen.view} is to keep open"
        years = lost.earliest_year or 0, lost.latest_year
        plant = known.at(lost.at, lost.plant)
        hit = Hit(plant, lost.first_year, *years)
        yield Line(known.source(plant), text, hit, seen.view, seen.season)


def _fails(known: _Known, findings: Findings) -> Iterator[Line]:
    """The plant without which a condition is worst off."""
    for verdict in findings.requirements:
        one = verdict.if_one_fails
        if one is None or not figure(verdict):
            continue
        left = f"{percent(one.expected)} ({100 * one.low:.0f}–{100 * one.high:.0f})"
        text = f"If it fails, {sentence_case(verdict.name)} is left with {left}"
        view = verdict.of if verdict.check in ("screening", "opening") else ""
        yield _line(known, known.at(one.at, one.plant), text, verdict.year, view)


Teller = Callable[[_Known, Findings], Iterator[Line]]
TELLERS: Sequence[Teller] = (
    _clearances, _sights, _crowds, _fire, _light, _shaded, _roots, _clipped, _views, _fails,
)  # fmt: skip
"""The register of what may be told of a plant. Adding one: a teller here and its test."""

LIGHT = (_light,)
"""Light alone, which a served page asks for later."""


def lookout(
    yard: Yard,
    layout: Layout,
    stand: Stand,
    findings: Findings,
    *,
    tellers: Sequence[Teller] = TELLERS,
) -> Mapping[int, list[dict[str, Any]]]:
    """By the number of a table in `layout.sources`: lines with their hits, soonest first."""
    known = _Known(yard, layout, stand)
    told: dict[tuple[int, str, str, str], list[Hit]] = defaultdict(list)
    for tell in tellers:
        for line in tell(known, findings):
            told[line.source, line.text, line.view, line.season].append(line.hit)
    by_source: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for (source, text, view, season), hits in told.items():
        hits.sort(key=lambda hit: hit.year)
        rows = [
            [h.plant, h.year, h.first, AFTER if h.last is None else h.last, h.more] for h in hits
        ]
        by_source[source].append({"text": text, "view": view, "season": season, "hits": rows})
    for lines in by_source.values():
        lines.sort(key=lambda line: line["hits"][0][1])
    return by_source
