"""The rows of figures under the years: what each shows, its courses and its gates.

One row a bed, one a view (in leaf and bare), one for the canopy over the lot. A row whose
course is not computed has no courses and says so on the page. Fractions, by whole years.
"""

from dataclasses import dataclass

import numpy as np

from growth.checks.findings import Findings, Screening, Verdict
from growth.ranges import Range
from scenes.document import Yard
from viz.words import FALLS_WITH_GROWTH, SPACE, limit_percent, looks, season_word, sentence_case

LOW_ROW_PX, HIGH_ROW_PX = 46, 72
CANOPY = "Canopy over the lot"
CANOPY_TOPS = (0.25, 0.5, 1.0)


@dataclass(frozen=True)
class Gate:
    """A limit in a year; the course must be above it (at_least) or below it."""

    year: int
    limit: float
    at_least: bool


@dataclass(frozen=True)
class Course:
    """A forecast fraction over the years, in leaf or bare."""

    season: str
    fraction: Range
    word: str


@dataclass(frozen=True)
class Row:
    """One row: name, what its height means, the fraction at its top, courses and gates."""

    name: str
    note: str
    top: float
    courses: tuple[Course, ...]
    gates: tuple[Gate, ...]

    @property
    def height_px(self) -> int:
        """Higher where two courses share the row."""
        return HIGH_ROW_PX if len(self.courses) > 1 else LOW_ROW_PX


def rows(findings: Findings) -> tuple[Row, ...]:
    """Every row of the page, beds first, then views, then the canopy."""
    return (*_bed_rows(findings), *_view_rows(findings), _canopy_row(findings))


def rows_to_come(yard: Yard) -> tuple[Row, ...]:
    """The same rows before the checks are done: names alone."""
    names = (
        *(f"{sentence_case(bed.name)} covered" for bed in yard.bed),
        *(sentence_case(view.name) for view in yard.view),
        CANOPY,
    )
    return tuple(Row(name, "", 1.0, (), ()) for name in names)


def _bed_rows(findings: Findings) -> list[Row]:
    found = []
    for cover in findings.coverage:
        asked = _asked(findings, checks=("coverage",), of=cover.bed)
        note = _note("share of its ground", 1.0, asked)
        name = f"{sentence_case(cover.bed)} covered"
        found.append(Row(name, note, 1.0, (_in_leaf(cover.fraction),), _gates(asked)))
    return found


def _view_rows(findings: Findings) -> list[Row]:
    found = []
    for view in dict.fromkeys(each.view for each in findings.screening):
        seen = [each for each in findings.screening if each.view == view]
        courses = _seasons(seen)
        asked = _asked(findings, checks=("screening", "opening"), of=view)
        note = _note(f"hidden; meant to {_purpose(seen[0].purpose)}", 1.0, asked)
        found.append(Row(sentence_case(view), note, 1.0, courses, _gates(asked)))
    return found


def _in_leaf(fraction: Range) -> Course:
    return Course("leaf", fraction, season_word("leaf"))


def _seasons(seen: list[Screening]) -> tuple[Course, ...]:
    """One course a season, or one for both where they read alike in every year."""
    first = seen[0].fraction_blocked
    if len(seen) > 1 and all(_alike(first, each.fraction_blocked) for each in seen):
        return (Course("leaf", first, "in leaf and bare"),)
    return tuple(
        Course(each.season, each.fraction_blocked, season_word(each.season)) for each in seen
    )


def _alike(one: Range, other: Range) -> bool:
    """Whether no figure of the two differs by as much as half a percent."""
    pairs = ((one.low, other.low), (one.expected, other.expected), (one.high, other.high))
    return all(np.allclose(a, b, rtol=0, atol=0.005) for a, b in pairs)


def _canopy_row(findings: Findings) -> Row:
    asked = _asked(findings, checks=("canopy",), of="lot")
    fraction = findings.canopy.fraction
    highest = max([float(fraction.high.max()), *(verdict.limit for verdict in asked)])
    top = next((top for top in CANOPY_TOPS if highest <= 0.95 * top), 1.0)
    note = _note("share of the lot", top, asked)
    return Row(CANOPY, note, top, (_in_leaf(fraction),), _gates(asked))


def _purpose(purpose: str) -> str:
    return "screen" if purpose == "screen" else "stay open"


def _asked(findings: Findings, *, checks: tuple[str, ...], of: str) -> list[Verdict]:
    return [v for v in findings.requirements if v.check in checks and v.of == of]


def _gates(asked: list[Verdict]) -> tuple[Gate, ...]:
    """Gates in the row's own quantity: at least 60 % open is at most 40 % hidden."""
    return tuple(
        Gate(v.year, 1 - v.limit, not v.at_least)
        if v.check in FALLS_WITH_GROWTH
        else Gate(v.year, v.limit, v.at_least)
        for v in asked
    )


def _note(what: str, top: float, asked: list[Verdict]) -> str:
    """The axis in words, with its rules: "hidden, 0–100 %; rule 80 %, year 5, bare"."""
    words = [f"{what}, 0–{round(100 * top)}{SPACE}%"]
    for verdict in asked:
        season = f", {season_word(verdict.season)}" if looks(verdict) else ""
        still = " open" if verdict.check == "opening" else ""
        words.append(f"rule {limit_percent(verdict)}{still}, year {verdict.year}{season}")
    return "; ".join(words)
