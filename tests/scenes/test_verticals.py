"""Volumes that the ground must reach at a cell of 0.25 m, wherever the lattice lies."""

import math

import numpy as np
import pytest

FOOT = 0.3048


def _square(x, y, side, *, turned):
    turn = math.radians(turned)
    across, up = (
        np.array([math.cos(turn), math.sin(turn)]),
        np.array([-math.sin(turn), math.cos(turn)]),
    )
    corners = [(0, 0), (1, 0), (1, 1), (0, 1)]
    return [(np.array([x, y]) + side * (a * across + b * up)).tolist() for a, b in corners]


PLACES = pytest.mark.parametrize("shift", [0.0, 0.06, 0.125])


@PLACES
@pytest.mark.parametrize("height", [0.4, 1.0])
def test_a_pad_with_batters_is_within_a_thousandth(graded_plane, shift, height):
    pad = {"do": "pad", "outline": _square(5 + shift, 5, 30, turned=0), "batter": 2}
    earth = graded_plane(pad | {"level": 10 + height}).earth
    wanted = 900 * height + 120 * height**2 + math.pi * 4 * height**3 / 3
    assert earth.fill_m3 == pytest.approx(wanted, rel=1e-3)


@PLACES
@pytest.mark.parametrize("turned", [0, 17])
def test_vertical_sides_on_a_slope_are_within_a_thousandth(graded_plane, shift, turned):
    """A level pad at the ground of its middle: cut and fill are each half of s |x| over it.

    x = a u + b v over -1 < u, v < 1, a and b half the side times cos and sin: the mean of |x|
    is (a^2 + b^2 / 3) / (2 a). Square to the slope that is s side^3 / 8 for each.
    """
    outline = np.array(_square(12 + shift, 6, 16, turned=turned))
    middle = outline.mean(axis=0)
    pad = {"do": "pad", "outline": outline.tolist(), "level": 10 + 0.08 * middle[0], "batter": 0}
    earth = graded_plane(pad, east=0.08).earth
    a, b = 8 * math.cos(math.radians(turned)), 8 * math.sin(math.radians(turned))
    wanted = 0.08 * 16**2 * (a**2 + b**2 / 3) / (2 * a) / 2
    assert turned or wanted == pytest.approx(0.08 * 16**3 / 8)
    assert earth.cut_m3 == pytest.approx(wanted, rel=1e-3)
    assert earth.fill_m3 == pytest.approx(wanted, rel=1e-3)


@PLACES
@pytest.mark.parametrize("turned", [0, 30, 45])
def test_a_four_foot_walk_across_a_slope_is_within_a_thousandth(graded_plane, shift, turned):
    """Cut and fill are triangles of half the width: slope (w / 2)^2 / 2 on the length."""
    turn = math.radians(turned)
    east, north = 0.1 * math.cos(turn), 0.1 * math.sin(turn)
    start = np.array([22 + shift, 5.0])
    end = start + 20 * np.array([-math.sin(turn), math.cos(turn)])
    level = 10 + east * start[0] + north * start[1]
    walk = {"do": "ribbon", "centreline": [start.tolist(), end.tolist()], "width": 4 * FOOT,
            "levels": [level, level], "batter": 0}  # fmt: skip
    earth = graded_plane(walk, east=east, north=north).earth
    wanted = 0.1 * (2 * FOOT) ** 2 / 2 * 20
    assert earth.cut_m3 == pytest.approx(wanted, rel=1e-3)
    assert earth.fill_m3 == pytest.approx(wanted, rel=1e-3)


def test_a_ledge_narrower_than_a_cell_keeps_its_volume(graded_plane):
    ledge = {"do": "pad", "outline": [[10.03, 5], [10.15, 5], [10.15, 25], [10.03, 25]],
             "level": 10.5, "batter": 0}  # fmt: skip
    assert graded_plane(ledge).earth.fill_m3 == pytest.approx(0.12 * 20 * 0.5, rel=1e-3)
