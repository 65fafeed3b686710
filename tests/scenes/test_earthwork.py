import math

import pytest

from scenes.earthwork import loads
from scenes.soils import Balance, Soil

YARD3 = 0.9144**3


def _pad(x, y, *, wide, deep, level, batter=0):
    outline = [[x, y], [x + wide, y], [x + wide, y + deep], [x, y + deep]]
    return {"do": "pad", "outline": outline, "level": level, "batter": batter}


def test_cut_swells_in_the_truck_and_shrinks_in_the_fill(graded_plane):
    """100 m3 of clay cut: 125 loose, 90 placed; all of it carted in trucks of 12 cubic yards."""
    pad = _pad(10, 10, wide=10, deep=10, level=9)
    earth = graded_plane(pad, site={"soil": "clay"}).earth
    assert (earth.cut_m3, earth.loose_m3, earth.compacted_m3) == pytest.approx((100, 125, 90))
    assert earth.balance.export_m3 == pytest.approx(100)
    assert earth.loads == math.ceil(125 / (12 * YARD3)) == 14


def test_the_document_may_say_otherwise(graded_plane):
    ground = {"swell_percent": 40, "shrink_percent": 0, "truck": "10 m3"}
    earth = graded_plane(_pad(10, 10, wide=10, deep=10, level=9), ground=ground).earth
    assert (earth.loose_m3, earth.compacted_m3) == pytest.approx((140, 100))
    assert earth.loads == 14


def test_topsoil_comes_off_the_disturbed_area_alone(graded_plane):
    """A pad of 8 x 5 m raised 0.45 m with sides 2:1: 40 + 26 x 0.9 + pi 0.9^2, 0.1 m deep.

    The foot of a side is known to half a cell: 31 m of it times 0.125 m are 6 %.
    """
    pad = _pad(10, 10, wide=8, deep=5, level=10.45, batter=2)
    plain, stripped = graded_plane(pad), graded_plane(pad, ground={"strip": "100 mm"})
    wanted_m2 = 40 + 26 * 0.9 + math.pi * 0.9**2
    assert stripped.earth.disturbed_m2 == pytest.approx(wanted_m2, rel=0.06)
    assert stripped.earth.strip_m3 == pytest.approx(0.1 * stripped.earth.disturbed_m2)
    assert stripped.earth.fill_m3 == plain.earth.fill_m3
    assert plain.earth.strip_m3 == 0


def test_disturbed_area_of_vertical_sides_is_that_of_the_outline(graded_plane):
    walk = {"do": "ribbon", "centreline": [[5.07, 5], [5.07, 35]], "width": 1.2192,
            "levels": [10.1, 10.1], "batter": 0}  # fmt: skip
    assert graded_plane(walk).earth.disturbed_m2 == pytest.approx(30 * 1.2192, rel=1e-9)


def test_areas_apart_are_told_one_by_one_the_largest_first(graded_plane):
    small = _pad(4, 4, wide=4, deep=4, level=9.5)
    large = _pad(20, 20, wide=10, deep=6, level=11)
    first, second = graded_plane(small, large).earth.areas
    assert first.at == pytest.approx((25, 23), abs=0.13)
    assert (first.fill_m3, first.cut_m3) == pytest.approx((60, 0))
    assert second.at == pytest.approx((6, 6), abs=0.13)
    assert (second.fill_m3, second.cut_m3, second.area_m2) == pytest.approx((0, 8, 16))


def test_areas_add_up_to_the_whole(graded_plane):
    gradings = [
        _pad(4 + 12 * k, 5, wide=6, deep=6, level=9.7 + 0.3 * k, batter=2) for k in range(3)
    ]
    earth = graded_plane(*gradings, north=0.03).earth
    assert len(earth.areas) == 3
    assert sum(area.cut_m3 for area in earth.areas) == pytest.approx(earth.cut_m3)
    assert sum(area.fill_m3 for area in earth.areas) == pytest.approx(earth.fill_m3)
    assert sum(area.area_m2 for area in earth.areas) == pytest.approx(earth.disturbed_m2)


def test_truck_loads_are_whole_and_each_way_by_itself():
    soil = Soil("plain", swell=0.25, shrink=0.1)
    assert loads(Balance(0, 0, 0), soil, 10.0) == 0
    assert loads(Balance(50, 0, 8), soil, 10.0) == 1
    assert loads(Balance(50, 8.1, 0), soil, 10.0) == 2


@pytest.mark.parametrize("shift_m", [0.0, 0.06, 0.125])
@pytest.mark.parametrize("cell", [0.5, 0.25])
def test_the_error_told_is_an_upper_one_and_falls_with_the_square_of_the_cell(
    graded_plane, shift_m, cell
):
    pad = _pad(12 + shift_m, 9, wide=15, deep=12, level=11.2, batter=2)
    wanted = 180 * 1.2 + 54 * 1.2**2 + math.pi * 4 * 1.2**3 / 3
    earth = graded_plane(pad, cell=cell).earth
    finer = graded_plane(pad, cell=cell / 2).earth
    assert abs(earth.fill_m3 - wanted) <= earth.error_m3 < 0.01 * wanted
    assert earth.error_m3 / finer.error_m3 == pytest.approx(4, rel=0.1)


def test_even_ground_and_vertical_sides_have_no_error_of_the_cell(graded_plane):
    earth = graded_plane(_pad(10, 10, wide=8, deep=5, level=11), east=0.05).earth
    assert earth.error_m3 == pytest.approx(0, abs=1e-6)
