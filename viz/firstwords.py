"""The few things that matter first, in plain words: what `check` says before its tables.

At most seven sentences: what is perhaps not meant, and then in the order in which a client would
ask: are the conditions met and what would mend them, which views are lost, what gets too near,
what stands in a driver's sight, which beds stay open, which plants lose their light. Every
sentence is put together from what was computed; where there is nothing to tell of a kind it says
nothing.
"""

from collections.abc import Iterator, Mapping, Sequence

from growth.checks.findings import BedCover, Findings, Screening, Verdict
from growth.checks.gaps import Gap
from growth.checks.standing import season_of
from scenes.document import Site
from viz.tables import amount_text
from viz.units import length_text

MOST, MOST_UNMET, MOST_DOUBTS = 7, 3, 2
"""Sentences in all, and of them about single requirements and about what is doubtful."""

SOON = 15
"""Years within which a plant that gets too near is told of first."""


STANDINGS = {"met": "met", "likely": "likely", "missed": "missed", "unknown": "not known"}


def first_words(findings: Findings, *, lengths: str, site: Site) -> tuple[str, ...]:
    """At most seven sentences, the most important first."""
    gaps = {v.name: _gap(v, findings.screening, site) for v in findings.requirements}
    said = [
        *_doubts(findings.doubts),
        *_conditions(findings.requirements, gaps, lengths),
        *_conflicts(findings),
        *_views_lost(findings),
        *_too_near(findings),
        *_sights(findings),
        *_beds(findings.coverage),
        *_light(findings),
    ]
    return tuple(said[:MOST])


def _doubts(doubts: Sequence[str]) -> Iterator[str]:
    """What is perhaps not meant: nothing that follows is worth more than that."""
    yield from doubts[:MOST_DOUBTS]
    more = len(doubts) - MOST_DOUBTS
    if more > 0:
        yield f"{more} more {_be(more)} doubtful: see Before you rely on this."


def _conditions(
    verdicts: Sequence[Verdict], gaps: Mapping[str, Gap | None], lengths: str
) -> Iterator[str]:
    if not verdicts:
        return
    counted = [
        (sum(v.standing == word for v in verdicts), said) for word, said in STANDINGS.items()
    ]
    if len(verdicts) == 1:
        yield f"The one requirement is {STANDINGS[verdicts[0].standing]}."
    else:
        parts = [f"{number} {_be(number)} {said}" for number, said in counted if number]
        yield f"Of {len(verdicts)} requirements {_listed(parts)}."
    unmet = [v for v in verdicts if v.standing in ("missed", "likely")]
    unmet.sort(key=lambda verdict: verdict.standing == "likely")
    for verdict in unmet[:MOST_UNMET]:
        yield f"{_unmet(verdict)}{_gap_text(gaps[verdict.name], lengths)}{_mending(verdict)}."
    more = len(unmet) - MOST_UNMET
    if more > 0:
        yield f"{more} more {_be(more)} not met: see the table."


def _unmet(verdict: Verdict) -> str:
    """What one requirement asks, and what is expected."""
    assert verdict.low is not None
    assert verdict.expected is not None
    assert verdict.high is not None
    low, expected, high, limit = (
        amount_text(value, verdict.unit, beside=verdict.limit)
        for value in (verdict.low, verdict.expected, verdict.high, verdict.limit)
    )
    side = "at least" if verdict.at_least else "at most"
    about = f"{verdict.name}: {side} {limit} is asked in year {verdict.year}"
    return f"{about} and {expected} is expected" + (
        "" if low == high else f", from {low} to {high}"
    )


def _mending(verdict: Verdict) -> str:
    """What would meet it; without advice how far it is met, if it is."""
    advice = verdict.advice
    if advice is None:
        likely = verdict.standing == "likely"
        return "; met as expected but not at the worse end" if likely else ""
    if advice.changes:
        return f"; the smallest change found to meet it: {advice.changes[0].change}"
    if not advice.tried:
        return "; no change of plants was found to try"
    return f"; none of {advice.tried} changes tried meets it"


def _gap(verdict: Verdict, views: Sequence[Screening], site: Site) -> Gap | None:
    """The largest gap in the year of a requirement that asks for a screen."""
    if verdict.check != "screening" or not verdict.at_least:
        return None
    season = season_of(
        verdict.season, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
    seen = (view for view in views if (view.view, view.season) == (verdict.of, season))
    return next((g for view in seen for g in view.gaps if g.year == verdict.year), None)


def _gap_text(gap: Gap | None, lengths: str) -> str:
    if gap is None:
        return ""
    wide, along = (length_text(size, lengths=lengths) for size in (gap.width_m, gap.along_m))
    closes = "does not close" if gap.closes is None else f"closes in year {gap.closes}"
    return f"; its largest gap is then {wide} wide, {along} from the left end, and {closes}"


def _be(number: int) -> str:
    return "is" if number == 1 else "are"


def _conflicts(findings: Findings) -> Iterator[str]:
    conflicts = findings.fire.conflicts if findings.fire else ()
    if conflicts:
        named = "1 requirement" if len(conflicts) == 1 else f"{len(conflicts)} requirements"
        yield f"Fire spacing and {named} cannot both be kept: see below."


def _views_lost(findings: Findings) -> Iterator[str]:
    """Views to keep open that are lost, each in the season in which it is lost first."""
    lost: dict[str, Screening] = {}
    for view in findings.screening:
        if view.lost and view.lost.first_year is not None:
            known = lost.get(view.view)
            if known is None or _year(view) < _year(known):
                lost[view.view] = view
    for view in sorted(lost.values(), key=_year):
        assert view.lost is not None
        what = f"{view.view}: under {100 * view.lost.limit:.0f} % open from year {_year(view)} on"
        way = view.lost
        by = f", {findings.told(way.plant, way.place)} most in the way" if way.plant else ""
        yield f"{what}{by}."


def _year(view: Screening) -> int:
    return view.lost.first_year if view.lost and view.lost.first_year is not None else 99


def _too_near(findings: Findings) -> Iterator[str]:
    """The plants that first get too near to something, after the day of planting."""
    clashes = findings.clearance
    coming = [c for c in clashes if c.first_year is not None and 0 < c.first_year <= SOON]
    if not coming:
        return
    first = min(coming, key=lambda clash: (clash.first_year, -clash.overlap_m))
    yield (
        f"First to come too near: {findings.told(first.plant, first.place)} to {first.against} "
        f"in year {first.first_year}{_more(len({(c.place, c.against) for c in coming}) - 1)}."
    )


def _more(others: int) -> str:
    if not others:
        return ""
    follow = "one more follows" if others == 1 else f"{others} more follow"
    return f"; {follow} by year {SOON}"


def _sights(findings: Findings) -> Iterator[str]:
    for sight in findings.sight:
        years = [c.first_year for c in sight.plants if c.first_year is not None]
        verb = "stands" if len(sight.built) == 1 else "stand"
        if sight.built:
            yield f"Sight triangle {sight.name}: {_listed(sight.built)} {verb} in it."
        elif years:
            yield f"Sight triangle {sight.name}: plants grow into it from year {min(years)} on."


def _beds(beds: Sequence[BedCover]) -> Iterator[str]:
    """When the beds close, and which do not."""
    closing = sorted((b for b in beds if b.closed_year is not None), key=_closed)
    never = [bed.bed for bed in beds if bed.closed_year is None]
    told = [f"{bed.bed} in year {bed.closed_year}" for bed in closing]
    parts = [_listed(told)] if told else []
    parts += [f"not by year 30: {_listed(never)}"] if never else []
    if parts:
        yield f"Beds closed, 95 % covered: {'; '.join(parts)}."


def _closed(bed: BedCover) -> int:
    return bed.closed_year if bed.closed_year is not None else 99


def _light(findings: Findings) -> Iterator[str]:
    """Plants that begin within their light and leave it as the yard grows."""
    spots = findings.lighting.spots if findings.lighting else ()
    losing = [s for s in spots if s.first_year_outside]
    plants = sum(spot.plants for spot in losing)
    if plants:
        first = min(losing, key=lambda spot: spot.first_year_outside or 99)
        verb = "1 plant leaves" if plants == 1 else f"{plants} plants leave"
        yield (
            f"{verb} the hours of sun they need as the yard grows, "
            f"{findings.told(first.plant, first.place)} first, in year {first.first_year_outside}."
        )


def _listed(words: Sequence[str]) -> str:
    """Words as a list: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
