"""Ponds in hollows whose depth, area and volume have a closed form."""

import numpy as np
import pytest

from scenes.flow import flow
from scenes.lattice import Lattice
from scenes.ponds import ponds

CELL_M = 0.1
LATTICE = Lattice(x0_m=-6.0, y0_m=-5.0, cell_m=CELL_M, nx=121, ny=101)
X, Y = np.moveaxis(LATTICE.nodes_m(), -1, 0)


def found(heights_m):
    nothing = np.zeros(heights_m.shape, bool)
    water = flow(heights_m, blocked=nothing, drained=nothing)
    rain_m2 = np.full(heights_m.shape, CELL_M**2)
    return [pond for pond, _ in ponds(LATTICE, heights_m, water, rain_m2)]


def test_cone_hollow_in_level_ground():
    """Half a metre deep, 2 m in radius: volume pi r2 h / 3, area pi r2."""
    (pond,) = found(np.minimum(10.0, 9.5 + 0.25 * np.hypot(X - 1, Y)))
    assert pond.at == pytest.approx((1, 0), abs=1e-9)
    assert pond.depth_m == pytest.approx(0.5)
    assert pond.level_m == pytest.approx(10)
    assert pond.area_m2 == pytest.approx(np.pi * 4, rel=0.01)
    assert pond.volume_m3 == pytest.approx(np.pi * 4 * 0.5 / 3, rel=0.002)


def test_dam_across_a_valley():
    """Ground falls 1 in 10 to a sill 0.4 m high: a wedge 4 m long over the whole width, 10 m.

    The valley's sides stand at y = -4.95 and 4.95; above the sill all of its ground drains in.
    """
    valley = 10 + 0.1 * np.maximum(X, 0) + 0.4 * (X < 0)
    heights_m = np.where(np.abs(Y) > 4.95, 20.0, valley)
    (pond,) = found(heights_m)
    wet_m = 9.9  # rows of nodes from -4.9 to 4.9, each for its cell
    assert pond.depth_m == pytest.approx(0.4)
    assert pond.volume_m3 == pytest.approx(0.4 * 4 / 2 * wet_m, rel=0.03)  # and half a cell of sill
    assert pond.area_m2 == pytest.approx(4 * wet_m, rel=0.02)
    assert pond.catchment_m2 == pytest.approx(6 * wet_m, rel=0.02)


def test_two_hollows_one_overflowing_into_the_other():
    """The lower pond's catchment holds the upper one's; each has its own depth."""
    slope = 10 + 0.02 * X
    upper, lower = np.hypot(X - 3, Y) < 0.95, np.hypot(X + 2, Y) < 0.95
    heights_m = np.where(upper, 9.7, np.where(lower, 9.6, slope + 0.05 * np.abs(Y)))
    both = sorted(found(heights_m), key=lambda pond: pond.at[0])
    assert [pond.at[0] < 0 for pond in both] == [True, False]
    assert both[0].catchment_m2 > both[1].catchment_m2 > np.pi * 0.95**2


def test_what_is_shallower_than_two_centimetres_is_no_pond():
    def dish(depth_m):
        return 10 - np.where(np.hypot(X, Y) < 2, depth_m, 0.0)

    assert found(dish(0.019)) == []
    assert len(found(dish(0.021))) == 1
