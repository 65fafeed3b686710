import pytest

from growth.checks.register import leaf_months
from growth.checks.standing import season_of, standing
from scenes.document import Site


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
