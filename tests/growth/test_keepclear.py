"""What a yard's document asks to be kept clear: shapes and bands of levels worked out by hand."""

import pytest

import scenes
from growth.checks.keepclear import keeps

YARD = """
title = "Clear"
lengths = "m"
[site]
boundary = [[0, 0], [20, 0], [20, 20], [0, 20]]
[ground]
points = [[0, 0, 5], [20, 0, 5], [0, 20, 5], [20, 20, 5]]
[[surface]]
name = "court"
kind = "drive"
outline = [[2, 2], [8, 2], [8, 8], [2, 8]]
[[surface]]
name = "grass"
kind = "lawn"
outline = [[9, 1], [12, 1], [12, 4], [9, 4]]
[[bed]]
name = "island"
edge = [[4, 4], [6, 4], [6, 6], [4, 6]]
[[structure]]
name = "house"
kind = "house"
outline = [[10, 10], [16, 10], [16, 16], [10, 16]]
floor = 5.2
eave = 2.5
ridge = 4
  [[structure.opening]]
  name = "kitchen"
  kind = "window"
  from = [11, 10]
  to = [13, 10]
  low = 1
  high = 2
[[structure]]
name = "wires"
kind = "line"
line = [[0, 18], [20, 18]]
height = 7
[[structure]]
name = "gas"
kind = "meter"
at = [9, 12]
clear = 0.9
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    path = tmp_path_factory.mktemp("clear") / "clear.toml"
    path.write_text(YARD)
    yard = scenes.load(path)
    kept = keeps(yard, scenes.lay_out(yard, scenes.grade(yard)))
    return {(keep.of, keep.what): keep for keep in kept}


def test_all_is_there_and_a_lawn_is_not(found):
    assert set(found) == {
        ("house", "wall"), ("house", "eave"), ("kitchen", "window"), ("wires", "line"),
        ("gas", "meter"), ("court", "drive"), ("lot line", "lot line"),
    }  # fmt: skip


def test_a_bed_within_a_drive_is_no_drive(found):
    court = found["court", "drive"]
    assert court.shape.area == pytest.approx(36 - 4)
    assert court.high_m == pytest.approx(12 * 0.3048)


def test_a_house_counts_its_levels_from_its_floor(found):
    wall, eave, window = (
        found[key] for key in (("house", "wall"), ("house", "eave"), ("kitchen", "window"))
    )
    assert {wall.datum_m, eave.datum_m, window.datum_m} == {5.2}
    assert (wall.high_m, eave.low_m, eave.high_m) == (2.5, 2.5, 4.0)
    assert eave.shape.area == pytest.approx(7 * 7)  # eaves stand out half a metre
    assert (window.low_m, window.high_m) == (1.0, 2.0)
    assert window.shape.bounds == pytest.approx((11, 10 - 3 * 0.3048, 13, 10))


def test_lines_and_meters_are_kept_off_all_round(found):
    wires, gas = found["wires", "line"], found["gas", "meter"]
    assert (wires.low_m, wires.round_m) == pytest.approx((7 - 10 * 0.3048, 10 * 0.3048))
    assert gas.round_m == pytest.approx(0.9)
