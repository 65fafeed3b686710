"""What to look out for with a plant: each finding at its plant, from findings made by hand."""

from dataclasses import replace

import numpy as np
import pytest

from growth.checks.findings import Clash, Crowded, Cure, Lighting, Lost, OneFails, SpotLight
from growth.clipping import FirstClip
from growth.ranges import Range
from viz.lookout import IF_FAST, lookout

THUJA = "Thuja occidentalis 'Smaragd'"
SECOND = (8.2, 1.2)
"""The second arborvitae: every 0.8 m from half of that beyond x = 7."""


@pytest.fixture(scope="module")
def quiet(small):
    """The small yard with nothing found."""
    nothing = replace(
        small.findings,
        clearance=(),
        sight=(),
        crowding=(),
        fire=None,
        lighting=None,
        clipping=(),
        screening=(),
        requirements=(),
    )
    return replace(small, findings=nothing)


def found_of(quiet, **found):
    return lookout(quiet.yard, quiet.layout, quiet.stand, replace(quiet.findings, **found))


def told(quiet, *, table: int, **found):
    """The lines of a table, hits with the place of their plant instead of its number."""
    stand = quiet.stand
    lines = found_of(quiet, **found).get(table, [])
    return [
        (
            line["text"],
            [(*np.round(stand.xyz_m[h[0], :2], 6).tolist(), *h[1:]) for h in line["hits"]],
        )
        for line in lines
        if "taller neighbours" not in line["text"]
    ]


def clash(first, earliest, latest, *, at=SECOND, cures=()):
    return Clash(THUJA, "planting[1]", at, "walk", "walk", first, earliest, latest,
                 0.3, 0.1, 0.5, cures)  # fmt: skip


def test_a_plant_too_near_has_its_years_and_its_cure(quiet):
    cut = clash(6, 4, None, cures=(Cure("clip", 0.9), Cure("move", 0.4)))
    assert told(quiet, table=1, clearance=(cut,)) == [
        ("Comes too near to walk", [(*SECOND, 6, 4, -1, "to keep clear: clip to 0.90 m wide")])
    ]


def test_what_only_fast_growth_brings_says_so(quiet):
    (line,) = told(quiet, table=1, clearance=(clash(None, 12, None),))
    assert line == ("Comes too near to walk", [(*SECOND, 12, 12, -1, IF_FAST)])


def test_what_never_happens_is_not_told(quiet):
    assert told(quiet, table=1, clearance=(clash(None, None, None),)) == []


@pytest.mark.parametrize(
    ("soonest", "later"),
    [((0, 0, 0), (9, 4, None)), ((5, 2, 9), (None, 1, None)), ((None, 3, None), (None, 8, None))],
)
def test_of_one_plant_and_one_thing_the_soonest_at_expected_growth_is_told(quiet, soonest, later):
    for found in ((clash(*soonest), clash(*later)), (clash(*later), clash(*soonest))):
        (line,) = told(quiet, table=1, clearance=found)
        ((*_, first, _, _),) = line[1]
        assert first == soonest[1]


def test_plants_alike_share_a_line_the_soonest_first(quiet):
    pair = (clash(9, 8, 10), clash(5, 3, 7, at=(7.4, 1.2)))
    (line,) = told(quiet, table=1, clearance=pair)
    assert [hit[:3] for hit in line[1]] == [(7.4, 1.2, 5), (8.2, 1.2, 9)]


def test_crowding_is_told_of_both(quiet):
    pair = Crowded(THUJA, SECOND, "Hydrangea arborescens", (2.0, 1.5), 1.5, 2.5, 11)
    for table, other, at in ((1, "Hydrangea arborescens", SECOND), (2, THUJA, (2.0, 1.5))):
        (line,) = told(quiet, table=table, crowding=(pair,))
        assert line[0].startswith(f"Crowded by {other}: 1.50 m apart, 2.50 m")
        assert line[1] == [(*at, 11, 11, 11, "")]


def test_light_names_need_and_hours_with_their_range(quiet):
    hours = Range(np.full(31, 3.0), np.full(31, 3.5), np.full(31, 4.25))
    spot = SpotLight(THUJA, "planting[1]", SECOND, 2, "sun", 6.0, 24.0, hours, np.zeros(31), 8)
    (line,) = told(quiet, table=1, lighting=Lighting((spot,), {}))
    assert line[0] == "Out of the direct sun it needs, 6 h or more a day"
    assert line[1] == [(*SECOND, 8, 8, 8, "3.5 h (3.0–4.2)")]


def test_a_plant_that_hides_a_view_is_looked_at_from_it(small, quiet):
    seen = small.findings.screening[0]
    lost = Lost(0.5, 7, 5, 9, THUJA, "planting[1]", SECOND, 0.2)
    view = replace(seen, view="patio to the west", season="leaf", lost=lost)
    lines = found_of(quiet, screening=(view,))[1]
    line = next(each for each in lines if "keep open" in each["text"])
    assert (line["view"], line["season"]) == ("patio to the west", "leaf")
    assert line["hits"][0][1:4] == [7, 5, 9]


def test_the_plant_a_condition_hangs_on_is_told(small, quiet):
    asked = small.findings.requirements[0]
    one = OneFails(THUJA, "planting[1]", SECOND, 0.2, 0.3, 0.4, False, None)
    (line,) = told(quiet, table=1, requirements=(replace(asked, if_one_fails=one),))
    assert line[0] == "If it fails, Kitchen screened is left with 30\u00a0% (20–40)"
    assert line[1] == [(*SECOND, 8, 8, 8, "")]


def test_clipping_is_of_all_plants_of_its_table(quiet):
    clip = FirstClip("planting[1]", THUJA, 3, 5, None)
    lines = found_of(quiet, clipping=(clip,))[1]
    line = next(each for each in lines if "clipped" in each["text"])
    assert line["hits"] == [[-1, 5, 3, -1, ""]]
