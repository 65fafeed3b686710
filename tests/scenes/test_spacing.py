import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree
from shapely.geometry import LineString, Point, Polygon, box

from scenes.spacing import evenly_along, exact_counts, mixed, rows_inside


def test_ten_metres_at_three_is_three_plants_half_a_space_from_each_end() -> None:
    places = evenly_along(LineString([(0, 0), (10, 0)]), 3.0)
    np.testing.assert_allclose(places[:, 0], [10 / 6, 5, 50 / 6])


def test_a_short_line_has_one_plant_in_its_middle() -> None:
    assert evenly_along(LineString([(0, 0), (0, 1)]), 5.0).tolist() == [[0.0, 0.5]]


def test_spacing_runs_round_a_bend() -> None:
    places = evenly_along(LineString([(0, 0), (3, 0), (3, 3)]), 2.0)
    np.testing.assert_allclose(places, [[1, 0], [3, 0], [3, 2]], atol=1e-12)


def test_square_rows_by_hand() -> None:
    rows = rows_inside(box(0, 0, 3, 2), 1.0, pattern="square")
    wanted = {(x, y) for x in (0.5, 1.5, 2.5) for y in (0.5, 1.5)}
    assert {tuple(place) for place in rows.xy_m.round(9)} == wanted


@pytest.mark.parametrize(("pattern", "near"), [("square", 4), ("triangular", 6)])
def test_inner_plants_have_neighbours_at_the_spacing(pattern: str, near: int) -> None:
    rows = rows_inside(Point(0, 0).buffer(5), 0.5, pattern=pattern)
    inner = rows.xy_m[np.linalg.norm(rows.xy_m, axis=1) < 3]
    apart, _ = cKDTree(rows.xy_m).query(inner, k=near + 2)
    np.testing.assert_allclose(apart[:, 1 : near + 1], 0.5, rtol=1e-9)
    assert (apart[:, near + 1] > 0.7).all()


def test_a_bed_narrower_than_the_spacing_gets_one_row() -> None:
    rows = rows_inside(box(0, 0, 5, 0.2), 1.0, pattern="triangular")
    assert len(rows.xy_m) == 5
    np.testing.assert_allclose(rows.xy_m[:, 1], 0.1)


def test_a_bed_smaller_than_the_spacing_gets_one_plant_and_an_empty_one_none() -> None:
    corner = Polygon([(0, 0), (0.3, 0), (0, 0.3)])
    rows = rows_inside(corner, 1.0, pattern="square")
    assert len(rows.xy_m) == 1
    assert corner.covers(Point(rows.xy_m[0]))
    assert len(rows_inside(Polygon(), 1.0, pattern="square").xy_m) == 0


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.05, 1.0), min_size=1, max_size=6), st.integers(1, 400))
def test_counts_are_whole_exact_to_one_and_sum_up(shares: list[float], count: int) -> None:
    counts = exact_counts(count, shares)
    wanted = np.array(shares) / sum(shares) * count
    assert counts.sum() == count
    assert (np.abs(counts - wanted) < 1).all()


def test_the_largest_remainder_gets_the_plant_left_over() -> None:
    """Seven of 50, 30, 20 %: 3.5, 2.1 and 1.4."""
    assert exact_counts(7, [0.5, 0.3, 0.2]).tolist() == [4, 2, 1]


def test_a_mix_is_exact_and_the_same_each_time() -> None:
    rows = rows_inside(box(0, 0, 10, 10), 1.0, pattern="square")
    kinds = mixed(rows.row, [0.4, 0.35, 0.25])
    assert np.bincount(kinds).tolist() == [40, 35, 25]
    np.testing.assert_array_equal(kinds, mixed(rows.row, [0.4, 0.35, 0.25]))


@pytest.mark.parametrize("pattern", ["square", "triangular"])
def test_a_mix_is_well_mixed_in_every_part_of_the_bed(pattern: str) -> None:
    """In each 5 x 5 plant part a kind of 25 % has 4 to 9 of some 25 (chance alone: 2 to 11)."""
    rows = rows_inside(box(0, 0, 20, 20), 1.0, pattern=pattern)
    kinds = mixed(rows.row, [0.25, 0.75])
    part = (rows.xy_m // 5).astype(int) @ np.array([4, 1])
    in_part = np.bincount(part[kinds == 0], minlength=16) / np.bincount(part, minlength=16)
    assert in_part.min() > 0.16
    assert in_part.max() < 0.36
