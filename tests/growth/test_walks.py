"""Screens seen from a walk, and square to a line, whose hidden share follows by hand."""

import numpy as np
import pytest

import growth
from growth.crowns import FORMS
from growth.rays import OPAQUE_PER_M, Crowns, fan, measured


@pytest.fixture
def hidden(parts):
    """The screening in leaf of a yard's one view, which must be computed."""

    def first(document):
        terrain, layout, stand = parts(document)
        assert not layout.not_computed
        return growth.check(document, terrain, layout, stand).screening[0]

    return first


def wall(west, east, height, y=9):
    outline = [[west, y], [east, y], [east, y + 0.01], [west, y + 0.01]]
    return {"name": f"w{west}", "kind": "box", "outline": outline, "height": height}


@pytest.mark.parametrize("height", [1.0, 2.5])
def test_square_on_a_wall_hides_as_much_as_it_is_high(level_lot, hidden, height):
    """From an eye half way back it would hide more or less; square on, its own height."""
    view = hidden(level_lot(view={"square_to": [[0, 0], [20, 0]]}, structure=[wall(0, 20, height)]))
    assert view.fraction_blocked.expected == pytest.approx(np.full(31, height / 4), abs=0.03)
    assert view.gaps[0].low_m == pytest.approx(height, abs=0.25)


def test_square_on_a_slot_is_as_wide_as_it_is(level_lot, hidden):
    walls = [wall(0, 9.5, 6), wall(10.5, 20, 6)]
    view = hidden(level_lot(view={"square_to": [[20, 2], [0, 2]]}, structure=walls))
    assert view.fraction_blocked.expected == pytest.approx(np.full(31, 0.75), abs=0.03)
    assert (view.gaps[0].along_m, view.gaps[0].width_m) == pytest.approx((1.5, 1), abs=0.2)


def test_what_stands_before_the_line_hides_nothing(level_lot, hidden):
    tree = {"plant": "Thuja 'Green Giant'", "size": "6 ft ht", "at": [[10, 3]]}
    things = {"structure": [wall(0, 20, 6, y=5)], "planting": [tree]}
    before = hidden(level_lot(view={"square_to": [[0, 9], [20, 9]]}, **things))
    assert before.fraction_blocked.high.max() == pytest.approx(0, abs=1e-6)
    behind = hidden(level_lot(view={"square_to": [[0, 1], [20, 1]]}, planting=[tree]))
    assert behind.fraction_blocked.low[15] > 0.1


def test_square_on_ground_hides_what_lies_below_it(level_lot, hidden):
    """A bank 1.5 m high between line and panel: level lines below its top meet it."""
    points = [[x, y, 1.5 if 8 <= y <= 10 else 0] for x in (0, 20) for y in (0, 7, 8, 10, 11, 20)]
    view = hidden(level_lot(view={"square_to": [[0, 2], [20, 2]]}, ground={"points": points}))
    assert view.fraction_blocked.expected == pytest.approx(np.full(31, 1.5 / 4), abs=0.03)


def test_square_on_a_cylinder_hides_its_own_breadth():
    """Beside one eye 10 km away, single precision must still find a crown 2 m wide."""
    panel = np.array([[-2.0, 14, 0], [2, 14, 0], [2, 14, 4], [-2, 14, 4]])
    lines = fan(
        np.array([0, 14 - 1e4, 2]), panel, rows=40, columns=400,
        line_m=np.array([[-9.0, 0], [9, 0]]),
    )  # fmt: skip
    crown = Crowns(
        np.array([[0.3, 9.0, 0]]), *np.array([[[3.0]], [[2.0]], [[0.5]]], np.float32),
        (FORMS["sheet"],), np.zeros(1, int), np.array([[OPAQUE_PER_M]]),
    )  # fmt: skip
    picture = measured(lines, crown, lambda seen: seen)[0, :, :, 0] < 0.5
    assert picture[20].mean() == pytest.approx(2 / 4, abs=0.01)  # 2 m of 4 m
    assert picture[:, 230].mean() == pytest.approx(2.5 / 4, abs=0.03)  # from 0.5 to 3 m


def test_the_walk_is_as_good_as_its_worst_eye(level_lot, hidden):
    """A wall hides all from the west end, half from 5 m to the east, none from the east end."""
    walls = [wall(0, 10, 9)]
    single = [
        hidden(level_lot(view={"eye": [x, 4], "eye_height": 2}, structure=walls)).fraction_blocked
        for x in (7, 10, 13)
    ]
    # half way, x = 10 appears at 20 - x: 13, 10 and 7 on a panel from 8 to 12
    assert [blocked.expected[0] for blocked in single] == pytest.approx([1, 0.5, 0], abs=0.03)
    walk = {"eye": [[7, 4], [13, 4]], "eye_height": 2}
    assert hidden(level_lot(view=walk, structure=walls)).fraction_blocked.high.max() == 0
    kept_open = hidden(level_lot(view=walk | {"purpose": "keep open"}, structure=walls))
    assert kept_open.fraction_blocked.low.min() == pytest.approx(1)


def test_a_walk_behind_a_screen_counts_eye_by_eye_and_draw_by_draw(level_lot, hidden):
    hedge = {"plant": "Taxus x media 'Hicksii'", "size": "#5", "along": [[5, 9], [15, 9]],
             "spacing": 1}  # fmt: skip
    walk = hidden(level_lot(view={"eye": [[6, 2], [14, 2]]}, planting=[hedge]))
    blocked = walk.fraction_blocked
    assert (blocked.low <= blocked.expected).all()
    assert (blocked.expected <= blocked.high).all()
    ends = [
        hidden(level_lot(view={"eye": [x, 2]}, planting=[hedge])).fraction_blocked for x in (6, 14)
    ]
    for end in ends:
        assert (blocked.expected <= end.expected + 0.03).all()
