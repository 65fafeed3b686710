"""Gaps behind fences and boxes, whose edges on the panel follow from similar triangles."""

import numpy as np
import pytest

from growth.checks.gaps import gaps_of
from growth.checks.record import as_json

TILE_M = 0.25
"""The fine tiles of a panel 4 x 4 m, 48 a side, are smaller than this."""


def wall(name, west, east, height, y=9):
    outline = [[west, y], [east, y], [east, y + 0.01], [west, y + 0.01]]
    return {"name": name, "kind": "box", "outline": outline, "height": height}


def test_over_a_wall_the_gap_reaches_from_its_shadow_to_the_panels_top(level_lot, checked):
    # 1.5 m high half way: its top appears at 1 m on the panel
    view = checked(level_lot(structure=[wall("w", 0, 20, 1.5)])).screening[0]
    assert [gap.year for gap in view.gaps] == [0, 1, 5, 10, 15]
    for gap in view.gaps:
        assert (gap.width_m, gap.along_m) == pytest.approx((4, 0), abs=1e-6)
        assert (gap.low_m, gap.high_m) == pytest.approx((1, 4), abs=TILE_M)
        assert gap.closes is None


def test_a_slot_between_two_walls_is_one_gap_at_its_place(level_lot, checked):
    # half way, x = 9.5 to 10.25 appears at 9 to 10.5 on the panel, which begins at 8
    walls = [wall("west", 0, 9.5, 6), wall("east", 10.25, 20, 6)]
    for view in checked(level_lot(structure=walls)).screening:
        gap = next(gap for gap in view.gaps if gap.year == 5)
        assert gap.along_m == pytest.approx(1, abs=TILE_M)
        assert gap.width_m == pytest.approx(1.5, abs=TILE_M)
        assert (gap.low_m, gap.high_m) == pytest.approx((0, 4), abs=1e-6)
        # the slot is wider than the window of 1.29 m
        assert view.worst_window.low == pytest.approx(np.zeros(31), abs=0.1)


def test_no_gap_behind_a_high_wall_and_none_where_all_is_closed(level_lot, checked):
    view = checked(level_lot(structure=[wall("w", 0, 20, 6)])).screening[0]
    assert view.gaps == ()
    assert view.worst_window.high == pytest.approx(np.ones(31))


def test_the_year_of_a_requirement_is_looked_at_too(level_lot, checked):
    asked = {
        "name": "r", "check": "screening", "of": "north", "year": 7, "at_least": 0.5,
    }  # fmt: skip
    view = checked(level_lot(requirement=[asked])).screening[0]
    assert sorted({gap.year for gap in view.gaps}) == [0, 1, 5, 7, 10, 15]


def test_the_worst_window_hides_no_more_than_the_whole(level_lot, checked):
    hedge = {"plant": "Taxus x media 'Hicksii'", "size": "#5", "along": [[5, 9], [15, 9]],
             "spacing": 1}  # fmt: skip
    for view in checked(level_lot(planting=[hedge])).screening:
        for end in ("low", "expected", "high"):
            worst, whole = getattr(view.worst_window, end), getattr(view.fraction_blocked, end)
            assert (worst <= whole + 1e-6).all()


def test_a_gap_closes_where_nine_tenths_stay_hidden():
    # 10 tiles of 1 m: open until one more hides each year; a tenth still open in year 9
    passing = np.array([[[float(year < tile + 1) for year in range(31)] for tile in range(10)]])
    panel = np.array([[0.0, 5, 0], [10, 5, 0], [10, 5, 1], [0, 5, 1]])
    gaps = gaps_of(passing, panel, lambda xy: np.zeros(len(xy)), (0, 4))
    assert [(gap.year, gap.width_m, gap.along_m, gap.area_m2) for gap in gaps] == [
        (0, pytest.approx(10), 0, pytest.approx(10)),
        (4, pytest.approx(6), pytest.approx(4), pytest.approx(6)),
    ]
    assert gaps[0].closes == 9
    assert gaps[1].closes == 10  # of 6 tiles one is more than a tenth


def test_a_gap_that_opens_again_closes_only_after():
    passing = np.ones((1, 1, 31))
    passing[:, :, 5:10] = passing[:, :, 20:] = 0
    panel = np.array([[0.0, 5, 0], [1, 5, 0], [1, 5, 1], [0, 5, 1]])
    (gap,) = gaps_of(passing, panel, lambda xy: np.zeros(len(xy)) - 2, (0,))
    assert (gap.closes, gap.low_m, gap.high_m, gap.up_m) == (20, 2, 3, 0)


def test_json_tells_each_gap(level_lot, checked):
    view = as_json(checked(level_lot()))["screening"][0]
    keys = {"year", "width_m", "low_m", "high_m", "along_m", "area_m2", "closes", "up_m"}
    assert all(set(gap) == keys for gap in view["gaps"])
    assert len(view["gaps"]) == 5
