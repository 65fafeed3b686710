import math
from dataclasses import replace

import numpy as np
import pytest

from growth.clipping import FirstClip, clip_note, first_clips
from growth.courses import forecast
from growth.plants import catalogue
from growth.starts import Entry, Start

YEARS = np.arange(31)
HEDGE = Start(catalogue()["Prunus laurocerasus"], 1.0, 0.8)


def clip(**changes):
    removed = changes.pop("removed_year", None)
    return first_clips([Entry("planting[1]", replace(HEDGE, **changes), removed)], YEARS)


def test_a_free_plant_is_never_clipped():
    assert clip() == ()


def test_a_plant_larger_than_its_limit_is_clipped_on_the_day():
    assert clip(height_limit_m=0.9)[0] == FirstClip("planting[1]", HEDGE.plant.name, 0, 0, 0)


def test_the_first_clipping_is_when_the_free_course_reaches_the_limit():
    """A limit just under the free size of a year is reached in that year, of each course."""
    free = forecast([HEDGE], YEARS).height_m
    for year in (3, 8):
        assert clip(height_limit_m=free.expected[year, 0] - 1e-9)[0].expected == year
        assert clip(height_limit_m=free.high[year, 0] - 1e-9)[0].low == year
        assert clip(height_limit_m=free.low[year, 0] - 1e-9)[0].high == year


def test_height_or_spread_whichever_comes_first():
    tall, wide = clip(height_limit_m=2.0)[0], clip(spread_limit_m=1.2)[0]
    both = clip(height_limit_m=2.0, spread_limit_m=1.2)[0]
    assert both.expected == min(tall.expected, wide.expected)


def test_a_limit_out_of_reach_is_never_met():
    assert clip(height_limit_m=50.0)[0] == FirstClip(
        "planting[1]", HEDGE.plant.name, None, None, None
    )


def test_plants_set_later_are_clipped_later():
    now, later = (clip(height_limit_m=1.8, delay_years=delay)[0] for delay in (0, 3))
    assert (later.low, later.expected, later.high) == (now.low + 3, now.expected + 3, now.high + 3)
    assert clip(height_limit_m=0.5, delay_years=3)[0].expected == 3


def test_a_plant_taken_out_first_is_never_clipped():
    soon = clip(height_limit_m=1.8)[0]
    assert clip(height_limit_m=1.8, removed_year=soon.low)[0].low is None


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ((2, 4, 7), "first clipped about year 4 (year 2 to year 7)"),
        ((20, None, None), "later than looked at (year 20 to after the last year)"),
        ((None, None, None), "in no year looked at"),
    ],
)
def test_the_note_says_the_years(years, words):
    told = clip_note(FirstClip("planting[1]", "Ilex crenata", *years), "in lane bed")
    assert told.startswith("Ilex crenata in lane bed: ")
    assert words in told


def test_only_clipped_entries_are_named_with_their_place():
    entries = [
        Entry("planting[1]", HEDGE),
        Entry("planting[2]", replace(HEDGE, height_limit_m=1.5)),
        Entry("planting[3]", replace(HEDGE, spread_limit_m=math.inf, height_limit_m=2.5)),
    ]
    assert [found.place for found in first_clips(entries, YEARS)] == ["planting[2]", "planting[3]"]
