"""The page's words: verdicts by their eight endings, figures, dates; all known by hand."""

import datetime
from dataclasses import replace

import pytest

from growth.checks.findings import Verdict
from scenes.document import Overlooked, View, Yard
from viz import words

SCREEN = Verdict(
    "Kitchen hidden", "screening", "lane", 5, "bare", 0.8, True, 0.63, 0.74, 0.82, "missed"
)


def judged(check: str, at_least: bool, *values: float) -> Verdict:
    low, expected, high = values
    return replace(
        SCREEN, check=check, at_least=at_least, limit=0.5, low=low, expected=expected, high=high
    )


@pytest.mark.parametrize(
    ("check", "at_least", "values", "squares", "ending"),
    [
        ("screening", True, (0.6, 0.7, 0.8), "111", "Met even if slow"),
        ("screening", True, (0.4, 0.6, 0.8), "011", "Met at expected growth, missed if slow"),
        ("screening", True, (0.2, 0.4, 0.6), "001", "Missed at expected growth, met if fast"),
        ("screening", True, (0.1, 0.2, 0.3), "000", "Missed even if fast"),
        ("screening", False, (0.1, 0.2, 0.3), "111", "Met even if fast"),
        ("screening", False, (0.2, 0.4, 0.6), "110", "Met at expected growth, missed if fast"),
        ("screening", False, (0.4, 0.6, 0.8), "100", "Missed at expected growth, met if slow"),
        ("screening", False, (0.6, 0.7, 0.8), "000", "Missed even if slow"),
        # what is still open shrinks as plants grow: its low value comes with fast growth
        ("opening", True, (0.4, 0.6, 0.8), "110", "Met at expected growth, missed if fast"),
        ("opening", True, (0.2, 0.4, 0.6), "100", "Missed at expected growth, met if slow"),
        ("opening", True, (0.6, 0.7, 0.8), "111", "Met even if fast"),
        ("opening", True, (0.1, 0.2, 0.3), "000", "Missed even if slow"),
    ],
)
def test_squares_and_endings(check, at_least, values, squares, ending):
    verdict = judged(check, at_least, *values)
    assert words.squares(verdict) == squares
    assert words.ending(verdict) == ending


def test_a_value_on_the_limit_meets_it():
    assert words.squares(judged("screening", True, 0.5, 0.5, 0.5)) == "111"
    assert words.squares(judged("screening", False, 0.5, 0.5, 0.5)) == "111"


def test_not_computed_is_said_and_draws_no_squares():
    unknown = replace(SCREEN, low=None, expected=None, high=None, standing="unknown")
    assert words.squares(unknown) == ""
    assert words.ending(unknown) == "Not computed yet"
    assert words.figure(unknown) == ""


def test_figure_has_its_range():
    assert words.figure(SCREEN).replace(words.SPACE, " ") == "74 % (63–82)"
    assert words.spread(0.977, 0.984) == "range under 1"


def test_limit_names_season_for_views_only():
    assert words.limit_words(SCREEN).replace(words.SPACE, " ") == "at least 80 % hidden, bare"
    canopy = replace(SCREEN, check="canopy", of="lot", at_least=False, limit=0.2)
    assert (
        words.limit_words(canopy).replace(words.SPACE, " ")
        == "at most 20 % of the lot under canopy"
    )


def yard(**site):
    bare_lot = {"boundary": [[0, 0], [10, 0], [10, 10], [0, 10]], **site}
    points = [[0, 0, 0], [1, 0, 0], [0, 1, 0]]
    document = {"title": "t", "lengths": "ft", "site": bare_lot, "ground": {"points": points}}
    return Yard.model_validate(document, context={"unit": "ft"})


def test_dates_count_growing_seasons():
    spring = words.season_dates(yard(planted=datetime.date(2027, 3, 15)), years=2)
    assert spring == [
        "15 March 2027",
        "After 1 growing season, autumn 2027",
        "After 2 growing seasons, autumn 2028",
    ]
    # planted after midsummer: the next season is the first (ruling on years)
    october = words.season_dates(yard(planted=datetime.date(2027, 10, 1)), years=1)
    assert october[1] == "After 1 growing season, autumn 2028"


def test_dates_without_a_date_or_south_of_the_equator_name_no_calendar_year():
    assert words.season_dates(yard(), years=1) == ["Day of planting", "After 1 growing season"]
    south = yard(planted=datetime.date(2027, 3, 15), latitude_deg=-35.0)
    assert words.season_dates(south, years=1)[1] == "After 1 growing season"


def test_caption_is_in_the_document_unit():
    view = View(name="v", eye=(0, 0), eye_height=5.5 * 0.3048, target="house", above="porch")
    text = words.caption(view, yard()).replace(words.SPACE, " ")
    assert text == "eye 5.5 ft above the floor of porch"
    bounded = view.model_copy(update={"overlooks": Overlooked(within=30 * 0.3048)})
    text = words.caption(bounded, yard()).replace(words.SPACE, " ")
    assert text.endswith("porch, target within 30 ft and 45° each side of straight out")


def test_subtitle_leaves_out_what_is_not_written():
    assert words.subtitle(yard()) == ""
    assert words.subtitle(yard(hardiness_zone=8)) == "Hardiness zone 8"


@pytest.mark.parametrize(
    ("check", "of", "said"),
    [
        ("canopy", "paving", "at least 50 % of the paving under canopy"),
        ("canopy", "town rule", "at least 50 % canopy by town rule"),
        ("sight", "drive", "at least 50 % of the sight triangle clear"),
        ("spray", "head 1", "at least 50 % of its ground watered"),
        ("clearance", "door", "at least 50 % of the plants clear of door"),
        ("light", "row", "at least 50 % of the plants in the light they need"),
        ("fall", "walk", "at least 50 % fall"),
        ("roots", "oak", "at least 50 % of the root zone harmed"),
    ],
)
def test_every_check_has_words_of_its_own(check, of, said):
    verdict = replace(judged(check, True, 0.4, 0.6, 0.8), of=of)
    assert words.limit_words(verdict).replace(words.SPACE, " ") == said


@pytest.mark.parametrize("check", ["sight", "spray", "clearance"])
def test_what_plants_take_away_is_least_at_fast_growth(check):
    assert words.squares(judged(check, True, 0.4, 0.6, 0.8)) == "110"
