import numpy as np
import pytest

from growth.checks.checking import leaf_months
from growth.checks.standing import season_of, standing, verdict
from growth.ranges import Range
from scenes.document import Requirement, Site


def site(**place):
    written = {"boundary": [[0, 0], [9, 0], [9, 9]], **place}
    return Site.model_validate(written, context={"unit": "m"})


@pytest.mark.parametrize("season", ["leaf", "bare"])
def test_a_season_stays_as_written(season):
    assert season_of(season, latitude_deg=44.0) == season


@pytest.mark.parametrize(
    ("month", "latitude_deg", "longitude_deg", "season"),
    [
        ("july", 44.0, -123.0, "leaf"),
        ("january", 44.0, -123.0, "bare"),
        ("july", -37.0, 175.0, "bare"),
        ("january", -37.0, 175.0, "leaf"),
        ("april", 30.0, -95.0, "leaf"),  # the Gulf coast is in leaf when
        ("april", 45.0, -93.0, "bare"),  # Minnesota is not
        ("may", 51.5, 0.0, "leaf"),  # London is in leaf when
        ("may", 51.5, -100.0, "bare"),  # Manitoba is not
    ],
)
def test_a_month_is_read_by_the_place(month, latitude_deg, longitude_deg, season):
    assert season_of(month, latitude_deg=latitude_deg, longitude_deg=longitude_deg) == season


def test_the_note_names_the_months_in_leaf():
    assert "leaf in May, June, July, August, September, October, when" in leaf_months(site())
    assert "leaf in January, February, March, April, May, October" in leaf_months(
        site(latitude_deg=-37.0, longitude_deg=175.0)
    )


@pytest.mark.parametrize(
    ("at_least", "low", "expected", "high", "found"),
    [
        (True, 0.8, 0.9, 0.95, "met"),
        (True, 0.7, 0.8, 0.9, "likely"),
        (True, 0.5, 0.7, 0.9, "missed"),
        (False, 0.5, 0.7, 0.8, "met"),
        (False, 0.5, 0.7, 0.9, "likely"),
        (False, 0.5, 0.85, 0.9, "missed"),
        (True, None, None, None, "unknown"),
    ],
)
def test_standing_goes_by_the_unfavourable_end(at_least, low, expected, high, found):
    assert standing(limit=0.8, at_least=at_least, low=low, expected=expected, high=high) == found


def range_of(low, expected, high):
    """The same three values in every year but year 5, where all are 0.15 more."""
    bump = 0.15 * (np.arange(31) == 5)
    return Range(*(np.full(31, value) + bump for value in (low, expected, high)))


@pytest.mark.parametrize(
    ("limits", "year", "found"),
    [
        ({"at_least": 0.8}, 5, "met"),
        ({"at_least": 0.8}, 6, "likely"),
        ({"at_most": 0.97}, 6, "met"),
        ({"at_most": 0.97}, 5, "likely"),
    ],
)
def test_a_requirement_is_judged_in_its_year_by_all_three_values(limits, year, found):
    wanted = Requirement(name="r", check="canopy", of="lot", year=year, **limits)
    judged = verdict(wanted, range_of(0.7, 0.8, 0.9))
    more = 0.15 if year == 5 else 0
    assert (judged.low, judged.expected, judged.high) == pytest.approx(
        (0.7 + more, 0.8 + more, 0.9 + more)
    )
    assert (judged.limit, judged.at_least) == (next(iter(limits.values())), "at_least" in limits)
    assert judged.standing == found


def test_a_requirement_without_a_value_is_unknown():
    judged = verdict(Requirement(name="r", check="sight", of="lot", year=1, at_most=0.0), None)
    assert (judged.low, judged.standing, judged.limit) == (None, "unknown", 0.0)
