"""Contours of surfaces whose lines are known in closed form, and the intervals offered."""

import numpy as np
import pytest

from viz.contours import GRAIN, contours, intervals, packed

X = np.linspace(-3.0, 27.0, 61)
Y = np.linspace(2.0, 42.0, 81)


def plane(x, y):
    return 100 + 0.05 * x + 0.02 * y


def test_contours_of_a_plane_lie_on_it() -> None:
    """Every point of a line has the line's level: a plane is what marching squares draw exactly."""
    found = contours(X, Y, plane(X[None, :], Y[:, None]), interval_m=0.25)
    assert found.level == tuple(range(400, 409))  # 99.89 to 102.19 holds 100.0 to 102.0
    for line, level in zip(found.lines_m, found.level, strict=True):
        assert plane(line[:, 0], line[:, 1]) == pytest.approx(0.25 * level, abs=0.001)
        ends = line[[0, -1]]
        on_edge = np.isclose(ends, [X[0], Y[0]]) | np.isclose(ends, [X[-1], Y[-1]])
        assert on_edge.any(axis=1).all()


def test_contours_of_a_cone_are_circles() -> None:
    x, y = X[None, :] - 12, Y[:, None] - 22
    found = contours(X, Y, 10 - np.hypot(x, y), interval_m=2.0)
    (circle,) = (line for line, level in zip(found.lines_m, found.level, strict=True) if level == 2)
    radius = np.hypot(circle[:, 0] - 12, circle[:, 1] - 22)
    assert radius == pytest.approx(6.0, abs=0.02)  # chord of a 0.5 m cell, and 1 cm of thinning
    assert np.allclose(circle[0], circle[-1])


def test_a_plane_needs_two_points_a_line() -> None:
    found = contours(X, Y, plane(X[None, :], Y[:, None]), interval_m=0.5)
    assert {len(line) for line in found.lines_m} == {2}


def test_level_ground_between_levels_has_no_contour() -> None:
    found = contours(X, Y, np.full((len(Y), len(X)), 7.3), interval_m=1.0)
    assert found.lines_m == ()
    assert len(packed(found, X, Y)["points"]) == 0


def test_packing_keeps_places_to_a_millimetre() -> None:
    found = contours(X, Y, plane(X[None, :], Y[:, None]), interval_m=0.5)
    sent = packed(found, X, Y)
    points = sent["points"].reshape(-1, 2) / GRAIN * [30.0, 40.0] + [X[0], Y[0]]
    assert points == pytest.approx(np.concatenate(found.lines_m), abs=1e-3)
    assert sent["counts"].sum() == len(points)


@pytest.mark.parametrize(
    ("relief", "offered"),
    [
        (10.0, (0.5, 1.0, 2.0, 5.0)),
        (1.9, (0.05, 0.1, 0.2, 0.5)),
        (6.0, (0.2, 1.0, 2.0)),  # 0.5 is no multiple of 0.2
        (0.0, (0.05,)),
        (90.0, (5.0, 10.0, 20.0)),
    ],
)
def test_intervals_are_round_and_multiples_of_the_finest(relief: float, offered: tuple) -> None:
    assert intervals(relief) == offered
