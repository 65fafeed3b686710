import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from scenes.edges import beside, edges_of, lengths_along_m, nearest_on

RNG = np.random.default_rng(3)


@pytest.mark.parametrize("count", [3, 8, 60, 700])
def test_distances_and_lengths_are_those_of_another_library(count):
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    radius = 2 + np.sin(5 * turn) * (count > 3)
    outline = Polygon(np.column_stack([4 + radius * np.cos(turn), 5 + radius * np.sin(turn)]))
    xy = RNG.uniform(-2, 11, (3000, 2))
    found = nearest_on(edges_of(outline), xy)
    points = shapely.points(xy)
    np.testing.assert_allclose(found.away_m, shapely.distance(outline.exterior, points), atol=1e-9)
    there = shapely.line_interpolate_point(outline.exterior, found.along_m)
    np.testing.assert_allclose(shapely.get_coordinates(there), found.xy_m, atol=1e-9)


def test_right_and_left_of_a_line():
    found = nearest_on(edges_of(LineString([(0, 0), (0, 10)])), np.array([[1, 4], [-2, 5], [0, 6]]))
    np.testing.assert_allclose(found.right_m, [1, -2, 0])
    np.testing.assert_allclose(found.along_m, [4, 5, 6])


def test_points_beside_a_line_are_those_of_another_library_and_lie_on_its_left():
    line = LineString([(0, 0), (3, 4), (3, 10), (-2, 10)])
    along_m = lengths_along_m(line, step_m=0.7)
    assert (len(along_m), along_m[0], along_m[-1]) == (int(16 / 0.7) + 1, 0, 16)
    there = shapely.get_coordinates(shapely.line_interpolate_point(line, along_m))
    np.testing.assert_allclose(beside(line, along_m), there, atol=1e-9)
    north = LineString([(0, 0), (0, 10)])
    np.testing.assert_allclose(beside(north, np.array([4.0]), left_m=2), [[-2, 4]])
    assert len(lengths_along_m(north, step_m=99)) == 2


def test_an_outline_with_a_hole_has_the_edges_of_both_rings():
    ring = Point(0, 0).buffer(5, quad_segs=2).difference(Point(0, 0).buffer(2, quad_segs=2))
    assert edges_of(ring).shape == (16, 2, 2)


def test_no_points_at_all():
    assert len(nearest_on(edges_of(LineString([(0, 0), (1, 1)])), np.empty((0, 2))).away_m) == 0


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 40_000))
def test_points_in_one_place_are_no_trouble(count):
    line = LineString([(0, 0), (3, 1), (5, 9), (7, 2)])
    found = nearest_on(edges_of(line), np.tile([[4.0, 4.0]], (count, 1)))
    np.testing.assert_allclose(found.away_m, line.distance(Point(4, 4)))
