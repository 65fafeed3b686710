"""Breaklines: ridges and kerbs in closed form, edges checked against scipy's triangles."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.spatial import Delaunay

from scenes.breaklines import SAME_PLACE_M, Clash, lines_by_code, lone_points, set_on_lines
from scenes.conforming import split_until_edges
from scenes.lattice import Lattice
from scenes.survey import Survey
from scenes.tin import surveyed_ground

EAVES = [[x, y, 0.0] for y in (0, 10) for x in range(1, 41, 3)]
RIDGE = [[0, 5, 5.0], [20, 5, 5.0], [41, 5, 5.0]]


def _edges(points_m):
    """All edges of Delaunay's triangles, as ordered pairs."""
    faces = np.sort(Delaunay(points_m[:, :2]).simplices, axis=1)
    return {tuple(pair) for a, b, c in faces for pair in ((a, b), (b, c), (a, c))}


def _runs_along_edges(points_m, start, end, edges):
    """Whether a chain of edges runs straight from one point to another."""
    reach = points_m[end, :2] - points_m[start, :2]
    offset = points_m[:, :2] - points_m[start, :2]
    across = offset @ [-reach[1], reach[0]] / np.hypot(*reach)
    along = offset @ reach / (reach @ reach)
    on = np.flatnonzero((np.abs(across) < SAME_PLACE_M) & (along > -1e-9) & (along < 1 + 1e-9))
    chain = on[np.argsort(along[on])]
    return all(tuple(sorted(pair)) in edges for pair in pairwise(chain.tolist()))


def test_a_ridge_of_three_shots_is_a_straight_ridge():
    """A roof of 45 degrees: ground is 5 m less the distance from the ridge."""
    points = np.array(EAVES + RIDGE)
    first = len(EAVES)
    lattice = Lattice(3.0, 0.0, 0.25, 141, 41)
    y = lattice.nodes_m()[:, :, 1]
    roof = 5 - np.abs(y - 5)
    plain, _ = surveyed_ground(Survey(points), lattice)
    assert np.abs(plain - roof).max() > 1
    ridged, clashes = set_on_lines(points, np.array([[first, first + 1], [first + 1, first + 2]]))
    assert not clashes
    heights, _ = surveyed_ground(Survey(ridged), lattice)
    np.testing.assert_allclose(heights, roof, atol=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_every_line_is_made_of_edges(seed):
    """A star of twelve lines, and lines at random across it, among 300 points."""
    rng = np.random.default_rng(seed)
    points = np.column_stack([rng.uniform(0, 50, (300, 2)), np.zeros(300)])
    turn = np.radians(30 * np.arange(12) + 7)
    points[:13, :2] = 25
    points[1:13, :2] += 20 * np.column_stack([np.cos(turn), np.sin(turn)])
    star = np.column_stack([np.zeros(12, int), np.arange(1, 13)])
    far = np.array([[k, k + 1] for k in range(20, 60, 2)])
    done, clashes = set_on_lines(points, np.vstack([star, far]))
    assert not clashes
    edges = _edges(done)
    assert all(_runs_along_edges(done, a, b, edges) for a, b in [*star, *far])
    np.testing.assert_array_equal(done[:300], points)


@pytest.mark.parametrize("degrees", [10, 1, 0.1])
def test_a_sharp_angle_between_lines_comes_to_an_end(degrees):
    turn = np.radians(degrees)
    tip = [[0, 0, 0], [30, 0, 0], [30 * np.cos(turn), 30 * np.sin(turn), 0]]
    points = np.array([*tip, [10, -9, 0], [11, 9, 0]], dtype=float)
    done = split_until_edges(points, np.array([[0, 1], [0, 2]]))
    assert len(done) < 5000
    edges = _edges(done)
    assert _runs_along_edges(done, 0, 1, edges)
    assert _runs_along_edges(done, 0, 2, edges)


def test_levels_run_evenly_along_a_line():
    points = np.array([[0, 0, 1.0], [12, 0, 4.0], [5, 0.5, 9.0], [7, -0.5, 9.0], [6, 9, 0.0]])
    done = split_until_edges(points, np.array([[0, 1]]))
    set_there = done[5:]
    assert len(set_there) > 0
    np.testing.assert_allclose(set_there[:, 1], 0, atol=1e-12)
    np.testing.assert_allclose(set_there[:, 2], 1 + set_there[:, 0] / 4, atol=1e-12)


CROSS = np.array([[0, 5, 1.0], [10, 5, 3.0], [5, 0, 2.0], [5, 10, 2.0], [9, 9, 0.0]])
BOTH = np.array([[0, 1], [2, 3]])


def test_lines_that_cross_at_one_level_meet_there():
    done, clashes = set_on_lines(CROSS, BOTH)
    assert not clashes
    met = done[(done[:, :2] == [5, 5]).all(axis=1)]
    assert met[:, 2].tolist() == [2.0]


def test_lines_that_cross_at_two_levels_are_told_with_both_places():
    higher = np.add(CROSS, [[0, 0, 0], [0, 0, 0], [0, 0, 1], [0, 0, 1], [0, 0, 0]])
    _, clashes = set_on_lines(higher, BOTH)
    assert clashes == [Clash(0, 2, pytest.approx(1.0), crossing=True)]
    said = clashes[0].mistake([f"ground.survey: s.csv line {n}" for n in range(1, 6)], "ft")
    assert said.place == "ground.survey: s.csv line 1"
    assert "crosses that from s.csv line 3 3.28 ft above or below it" in said.wrong


def test_a_shot_on_the_line_bends_it_or_is_told():
    near = np.vstack([CROSS[:2], [[4, 5.0004, 1.82], [5, 9, 0]]])
    done, clashes = set_on_lines(near, np.array([[0, 1]]))
    assert not clashes
    assert _runs_along_edges(done, 0, 2, _edges(done))
    assert set_on_lines(near - [[0, 0, 0], [0, 0, 0], [0, 0, 1], [0, 0, 0]], BOTH[:1])[1] == [
        Clash(2, 0, pytest.approx(0.98, abs=1e-3), crossing=False)
    ]


def test_points_of_one_number_join_across_others_and_runs_without_one_do_not():
    codes = ["TOP1", "toe 1", "EP1", "top1 ditch", "TOP", "TOP", "gnd", "TOP", "STOP1", "", "EP1"]
    lines = lines_by_code(codes, ["Top", "EP"])
    assert sorted(lines.values()) == [[0, 3], [2, 10], [4, 5], [7]]
    place = [f"line {n}" for n in range(1, 12)]
    assert lone_points(lines, place) == ("line 8: TOP stands alone, no breakline",)


def test_tangled_lines_are_refused_not_worked_at():
    rng = np.random.default_rng(1)
    points = np.column_stack([rng.uniform(0, 50, (1500, 2)), np.zeros(1500)])
    zigzag = np.column_stack([np.arange(1499), np.arange(1, 1500)])
    with pytest.raises(ValueError, match="cross each other more than 1,000 times; number"):
        set_on_lines(points, zigzag)
    line = np.column_stack([np.arange(300.0), np.zeros(300), np.zeros(300)])
    with pytest.raises(ValueError, match="run along each other"):
        set_on_lines(line, np.array([[0, k] for k in range(1, 300)]))
