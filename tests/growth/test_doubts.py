"""Doubts about a document: heights, places and zones whose answer is plain beforehand."""

import pytest

from growth.checks.doubts import doubts

HOUSE = {"name": "house", "kind": "house", "outline": [[2, 16], [8, 16], [8, 19], [2, 19]],
         "floor": 0.3, "eave": 2.5, "ridge": 4}  # fmt: skip
YEW = "Taxus x media 'Hicksii'"
YEWS = {"plant": YEW, "size": "#5"}
"""Listed for zones 4 to 7."""


@pytest.fixture
def doubted(level_lot, parts):
    def told(**tables):
        yard = level_lot(**tables)
        _, layout, stand = parts(yard)
        return doubts(yard, layout, stand)

    return told


def site(zone):
    return {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "hardiness_zone": zone}


def test_a_usual_yard_is_not_doubted(doubted):
    assert doubted(structure=[HOUSE], site=site(6), planting=[YEWS | {"at": [[10, 2]]}]) == ()


@pytest.mark.parametrize(("high", "written"), [(5.5, "5.5 m"), (0.5, "0.5 m")])
def test_an_eye_no_person_has_is_doubted(doubted, high, written):
    (told,) = doubted(view={"eye": [10, 4], "eye_height": high})
    assert told.startswith(f'The view "north" looks from {written} above the ground')


def test_an_eye_above_a_floor_may_be_any(doubted):
    view = {"eye": [5, 15.9], "eye_height": 5.5, "above": "house"}
    assert doubted(structure=[HOUSE], view=view) == ()


def test_an_eave_lower_than_a_door_is_doubted(doubted):
    low = HOUSE | {"eave": 0.9, "ridge": 1.5}
    (told,) = doubted(structure=[low])
    assert told.startswith('The house "house" has its eave 0.9 m above its floor')


def test_plants_inside_a_house_are_counted(doubted):
    row = YEWS | {"at": [[3, 17], [7, 18], [7, 15]]}
    (told,) = doubted(structure=[HOUSE], planting=[row])
    assert told.startswith(f'{YEW} at (3.0, 17.0) and 2 places more: 2 of 3 stand inside "house"')


@pytest.mark.parametrize(("zone", "harm"), [(3, "winters there may kill it"), (9, "too warm")])
def test_a_plant_outside_its_zones_is_told_once_with_its_places(doubted, zone, harm):
    rows = [YEWS | {"at": [[10, 2]]}, YEWS | {"at": [[12, 2]]}]
    (told,) = doubted(site=site(zone), planting=rows)
    assert told.startswith(f"{YEW} at (10.0, 2.0) and at (12.0, 2.0) is listed for")
    assert f"hardiness zones 4 to 7, and the site is in zone {zone}" in told
    assert harm in told


@pytest.mark.parametrize("zone", [4, 7, 8])
def test_one_zone_warmer_is_let_pass(doubted, zone):
    assert doubted(site=site(zone), planting=[YEWS | {"at": [[10, 2]]}]) == ()


def test_a_kept_plant_has_stood_its_winters(doubted):
    kept = {"plant": "Taxus x media 'Hicksii'", "at": [10, 2], "height": 2, "spread": 1}
    assert doubted(site=site(3), kept=[kept]) == ()
