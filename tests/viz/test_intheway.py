"""What gets in the way as plants grow: one event a thing, the soonest, with its span."""

from types import SimpleNamespace

import numpy as np
import pytest

from growth.checks.findings import Clash, Lost
from growth.ranges import Range
from viz.intheway import in_the_way

YEARS = np.arange(31)


def clash(plant, against, years, *, what="window"):
    earliest, first, latest = years
    return Clash(plant, "planting[1]", (1.0, 2.0), against, what, first, earliest, latest,
                 0.3, 0.1, 0.5, ())  # fmt: skip


def told(**found):
    nothing = {"screening": (), "clearance": (), "sight": (), "spray": ()}
    return list(in_the_way(SimpleNamespace(**nothing | found)))


def spans(events):
    return [(event.band, event.title, event.first, event.year, event.last) for event in events]


def test_of_each_thing_the_soonest_plant_is_told():
    clashes = [clash("Yew", "door", (6, 9, 14)), clash("Holly", "door", (3, 4, None)),
               clash("Maple", "lot line", (1, 2, 3))]  # fmt: skip
    assert spans(told(clearance=clashes)) == [
        ("blocks", "Holly reaches door", 3, 4, None),
        ("blocks", "Maple reaches the lot line", 1, 2, 3),
    ]


@pytest.mark.parametrize("years", [(0, 0, 0), (5, None, None)])
def test_what_is_so_from_the_start_or_only_for_the_fastest_is_no_event(years):
    assert told(clearance=[clash("Holly", "door", years)]) == []


def test_a_view_that_is_lost_is_looked_at_from_its_eye():
    lost = Lost(0.5, 7, 3, 23, "Holly")
    view = SimpleNamespace(view="path", season="leaf", lost=lost)
    bare = SimpleNamespace(view="path", season="bare", lost=lost)
    (event,) = told(screening=[view, bare])
    assert spans([event]) == [("blocks", "Path lost", 3, 7, 23)]
    assert (event.view, event.season) == ("path", "leaf")
    assert "less than 50 % is open" in event.sentence
    assert "Holly" in event.sentence


def test_a_head_is_blocked_from_the_year_less_than_its_ground_is_reached():
    """It falls by 1, 2 and 4 % a year: below 95 % in years 6, 3 and 2 of slow, expected, fast."""
    reached = Range(*(1 - YEARS * rate for rate in (0.04, 0.02, 0.01)))
    (event,) = told(spray=[SimpleNamespace(head="bed spray", reached=reached)])
    assert spans([event]) == [("blocks", "Bed spray blocked", 2, 3, 6)]
    assert event.about == "irrigation"


def test_a_plant_that_rises_into_a_sight_triangle_is_told_once():
    plants = [clash("Yew", "drive", (6, 9, 14)), clash("Holly", "drive", (2, 4, 5))]
    (event,) = told(sight=[SimpleNamespace(name="drive to lane", plants=plants)])
    assert spans([event]) == [("blocks", "Holly rises into sight: drive to lane", 2, 4, 5)]
