"""Events of the year axis, from courses simple enough to read the years off by hand."""

from dataclasses import replace

import numpy as np
import pytest

from growth.checks.findings import BedCover, Canopy, Findings, Ruled, Screening, Verdict
from growth.ranges import Range
from scenes.canopyrules import CanopyCount
from viz.rows import rows
from viz.story import crossing, story

YEARS = np.arange(31)


def straight(low: float, expected: float, high: float) -> Range:
    """Fractions that rise by so much a year, up to 1."""
    return Range(*(np.minimum(1.0, YEARS * rate) for rate in (low, expected, high)))


FAST = straight(0.1, 0.125, 0.25)  # passes 0.95 in years 10 (slow), 8 and 4 (fast)
SLOW = straight(0.01, 0.02, 0.04)


def findings(**parts) -> Findings:
    whole = {
        "title": "t",
        "years": YEARS,
        "coverage": (),
        "canopy": Canopy(100.0, SLOW),
        "screening": (),
        "requirements": (),
        "not_computed": (),
        "cautions": (),
        "notes": (),
    }
    return Findings(**{**whole, **parts})


def required(check: str, of: str, limit: float, *, at_least: bool, season="leaf", year=5):
    return Verdict("Rule", check, of, year, season, limit, at_least, 0.1, 0.2, 0.3, "missed")


def test_crossing_reads_fast_expected_and_slow():
    assert crossing(FAST, 0.95, rising=True) == (4, 8, 10)
    assert crossing(straight(0.03, 0.04, 0.05), 0.95, rising=True) == (19, 24, None)
    assert crossing(SLOW, 0.95, rising=True) is None


def test_crossing_of_a_falling_course():
    still_open = Range(1 - FAST.high, 1 - FAST.expected, 1 - FAST.low)
    assert crossing(still_open, 0.5, rising=False) == (2, 4, 5)


def test_a_bed_closes_with_its_span():
    told = story(findings(coverage=(BedCover("lane bed", 9.0, FAST, 8),)), latitude_deg=None)
    assert [(e.band, e.title, e.first, e.year, e.last) for e in told] == [
        ("fills", "Lane bed closed", 4, 8, 10)
    ]


def test_a_bed_that_never_closes_tells_nothing():
    slow = BedCover("lane bed", 9.0, SLOW, None)
    assert story(findings(coverage=(slow,)), latitude_deg=None) == ()


def test_a_screen_that_reaches_its_limit_and_its_date():
    seen = Screening("lane", "screen", "bare", FAST)
    asked = required("screening", "lane", 0.5, at_least=True, season="bare")
    reached, due = story(findings(screening=(seen,), requirements=(asked,)), latitude_deg=None)
    assert (reached.band, reached.first, reached.year, reached.last) == ("fills", 2, 4, 5)
    assert (due.band, due.first, due.year, due.last) == ("rule", 5, 5, 5)
    assert (due.view, due.season, due.squares) == ("lane", "bare", "000")


@pytest.mark.parametrize(("latitude_deg", "season"), [(40.0, "leaf"), (-40.0, "bare")])
def test_a_month_is_read_by_the_hemisphere(latitude_deg, season):
    seen = tuple(Screening("lane", "screen", s, FAST) for s in ("leaf", "bare"))
    asked = required("screening", "lane", 0.5, at_least=True, season="june")
    told = story(findings(screening=seen, requirements=(asked,)), latitude_deg=latitude_deg)
    assert {event.season for event in told} == {season}


def test_an_opening_that_closes_gets_in_the_way():
    seen = Screening("seat", "keep open", "leaf", FAST)
    asked = required("opening", "seat", 0.5, at_least=True, year=15)
    closing, _due = story(findings(screening=(seen,), requirements=(asked,)), latitude_deg=None)
    assert (closing.band, closing.year) == ("blocks", 4)


@pytest.mark.parametrize(("of", "year"), [("paving", 4), ("town", 25)])
def test_a_condition_of_canopy_is_read_off_what_it_is_of(of, year):
    rule = Ruled(CanopyCount("town"), 50.0, SLOW, "")
    canopy = Canopy(100.0, straight(0, 0, 0), over_paving=FAST, ruled=(rule,))
    asked = required("canopy", of, 0.5, at_least=True)
    told = story(findings(canopy=canopy, requirements=(asked,)), latitude_deg=None)
    assert [event.year for event in told if event.band == "fills"] == [year]


def test_events_are_in_the_order_of_years():
    beds = (
        BedCover("late", 1.0, straight(0.03, 0.05, 0.06), 19),
        BedCover("early", 1.0, FAST, 8),
    )
    asked = required("canopy", "lot", 0.9, at_least=True)
    told = story(findings(coverage=beds, requirements=(asked,)), latitude_deg=None)
    assert [event.year for event in told] == [5, 8, 19]


def test_rows_are_beds_then_views_then_canopy():
    leaf, bare = (Screening("seat", "keep open", s, c) for s, c in (("leaf", FAST), ("bare", SLOW)))
    seen = (leaf, bare)
    asked = required("opening", "seat", 0.6, at_least=True)
    bed = BedCover("lane bed", 9.0, FAST, 8)
    shown = rows(findings(coverage=(bed,), screening=seen, requirements=(asked,)))
    assert [row.name for row in shown] == ["Lane bed covered", "Seat", "Canopy over the lot"]
    assert [course.season for course in shown[1].courses] == ["leaf", "bare"]
    # at least 60 % open is at most 40 % hidden
    (gate,) = shown[1].gates
    assert (gate.year, gate.at_least, gate.limit) == (5, False, pytest.approx(0.4))


def test_a_view_that_is_alike_in_leaf_and_bare_has_one_course():
    nearly = Range(FAST.low, FAST.expected, FAST.high - 0.004)
    seen = (Screening("seat", "screen", "leaf", FAST), Screening("seat", "screen", "bare", nearly))
    (course,) = rows(findings(screening=seen))[0].courses
    assert course.word == "in leaf and bare"


def test_canopy_row_is_as_high_as_it_needs_to_be():
    assert rows(findings(canopy=Canopy(1.0, straight(0.001, 0.002, 0.003))))[-1].top == 0.25
    assert rows(findings(canopy=Canopy(1.0, FAST)))[-1].top == 1.0


@pytest.mark.parametrize("standing", ["met", "likely", "missed"])
def test_a_condition_is_marked_by_its_standing(standing):
    """The ruling's own word: what only the expected value meets is likely, never met."""
    asked = replace(required("canopy", "lot", 0.2, at_least=True), standing=standing)
    (due,) = [
        e for e in story(findings(requirements=(asked,)), latitude_deg=None) if e.band == "rule"
    ]
    assert due.title == f"Rule: {standing}"
