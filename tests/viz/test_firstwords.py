"""The first words of `check`, on made-up findings: what is said, in which order, and what not."""

import numpy as np
import pytest

from growth.checks.findings import (
    Advice,
    Advised,
    BedCover,
    Canopy,
    Clash,
    Findings,
    Lost,
    Screening,
    Sight,
    Verdict,
)
from growth.checks.gaps import Gap
from growth.ranges import Range
from scenes.document import Site
from viz.firstwords import first_words

NONE = Range(np.zeros(31), np.zeros(31), np.zeros(31))


SITE = Site(boundary=((0, 0), (9, 0), (9, 9)))


def told(found):
    return first_words(found, lengths="m", site=SITE)


def findings(**made):
    lists = ("coverage", "screening", "requirements", "not_computed", "cautions", "notes")
    empty = {"title": "Yard", "years": np.arange(31), "canopy": Canopy(1, NONE)}
    return Findings(**(empty | dict.fromkeys(lists, ()) | made))


def verdict(name, standing, *, low=0.1, expected=0.4, high=0.9, advice=None):
    return Verdict(name, "screening", "view", 5, "leaf", 0.8, True, low, expected, high, standing,
                   advice=advice)  # fmt: skip


def clash(first_year, *, plant="Yew", place="planting[1]", against="house"):
    return Clash(plant, place, (0, 0), against, "wall", first_year, None, None, 0.5, 0, 1, ())


def test_a_yard_without_anything_to_tell_is_told_nothing():
    assert told(findings()) == ()


def test_one_requirement_is_spoken_of_as_one():
    assert told(findings(requirements=(verdict("a", "met"),))) == ("The one requirement is met.",)


def test_what_is_perhaps_not_meant_comes_before_all_else():
    found = findings(doubts=("one", "two", "three", "four"), requirements=(verdict("a", "met"),))
    assert told(found) == (
        "one", "two", "2 more are doubtful: see Before you rely on this.",
        "The one requirement is met.",
    )  # fmt: skip


def test_what_is_missed_comes_before_what_is_likely_and_with_its_figures():
    change = Advised("one Yew more", 1, 4, 0.82, 0.9, 0.95, "met")
    said = told(findings(requirements=(
        verdict("Door", "met"), verdict("Seat", "likely", expected=0.85),
        verdict("Table", "missed", advice=Advice((change,), 20, None)),
        verdict("Gate", "missed", low=0.2, expected=0.2, high=0.2, advice=Advice((), 12, change)),
    )))  # fmt: skip
    assert said == (
        "Of 4 requirements 1 is met, 1 is likely and 2 are missed.",
        "Table: at least 80 % is asked in year 5 and 40 % is expected, from 10 % to 90 %; "
        "the smallest change found to meet it: one Yew more.",
        "Gate: at least 80 % is asked in year 5 and 20 % is expected; none of 12 changes tried "
        "meets it.",
        "Seat: at least 80 % is asked in year 5 and 85 % is expected, from 10 % to 90 %; met as "
        "expected but not at the worse end.",
    )


def test_a_view_is_lost_in_the_season_that_loses_it_first():
    views = tuple(
        Screening(
            "Door", "keep open", season, NONE, lost=Lost(0.5, year, 1, 9, "Yew", "planting[2]")
        )
        for season, year in (("leaf", 6), ("bare", 8))
    )
    found = findings(screening=views, found_at={"planting[2]": "in lane bed"})
    assert told(found) == (
        "Door: under 50 % open from year 6 on, Yew in lane bed most in the way.",
    )


def test_the_first_plant_that_comes_too_near_is_named_and_the_others_counted():
    clashes = (
        clash(0),
        clash(9),
        clash(4, plant="Fir", place="planting[3]"),
        clash(20),
        clash(None),
    )
    (said,) = told(findings(clearance=clashes, found_at={"planting[3]": "at (4.0, 5.5)"}))
    assert said == (
        "First to come too near: Fir at (4.0, 5.5) to house in year 4; one more follows by year 15."
    )


def test_beds_that_close_stand_in_their_order_before_those_that_do_not():
    beds = (
        BedCover("lane", 1, NONE, 9),
        BedCover("bank", 1, NONE, None),
        BedCover("door", 1, NONE, 4),
    )
    assert told(findings(coverage=beds)) == (
        "Beds closed, 95 % covered: door in year 4 and lane in year 9; not by year 30: bank.",
    )


def test_the_largest_gap_of_a_missed_screen_is_told_with_its_place():
    gap = Gap(year=5, width_m=1.5, low_m=0, high_m=2, along_m=3.25, area_m2=3, closes=8)
    late = Gap(year=10, width_m=9, low_m=0, high_m=2, along_m=0, area_m2=18, closes=None)
    view = Screening("view", "screen", "leaf", NONE, gaps=(late, gap))
    said = told(findings(requirements=(verdict("Table", "missed"),), screening=(view,)))
    assert said[1].endswith(
        "; its largest gap is then 1.50 m wide, 3.25 m from the left end, and closes in year 8."
    )


@pytest.mark.parametrize(
    ("built", "words"),
    [(("wall",), "wall stands in it"), (("wall", "fence"), "wall and fence stand in it")],
)
def test_one_thing_stands_and_two_stand(built, words):
    sight = Sight("drive", "", "", 9, (0.6, 2.4), NONE, (), built, (), None)
    assert told(findings(sight=(sight,))) == (f"Sight triangle drive: {words}.",)


def test_one_more_is_and_two_more_are_not_met():
    four, five = (tuple(verdict(f"n{i}", "missed") for i in range(n)) for n in (4, 5))
    assert told(findings(requirements=four))[-1] == "1 more is not met: see the table."
    assert told(findings(requirements=five))[-1] == "2 more are not met: see the table."


def test_never_more_than_seven_sentences():
    many = tuple(verdict(f"n{i}", "missed") for i in range(9))
    beds = (BedCover("lane", 1, NONE, 9),)
    views = tuple(
        Screening(f"v{i}", "keep open", "leaf", NONE, lost=Lost(0.5, 6, 1, 9)) for i in range(5)
    )
    said = told(findings(requirements=many, coverage=beds, screening=views))
    assert len(said) == 7
    assert "6 more are not met: see the table." in said
