"""Slope: on planes by hand, and on rough ground against RichDEM's Horn slopes."""

import numpy as np
import pytest
import richdem

from scenes.lattice import Lattice
from scenes.slopes import slopes

LATTICE = Lattice(x0_m=-3.0, y0_m=5.0, cell_m=0.5, nx=24, ny=31)


def ground(rise_east, rise_north):
    x, y = np.moveaxis(LATTICE.nodes_m(), -1, 0)
    return rise_east * x + rise_north * y


@pytest.mark.parametrize(
    ("east", "north", "slope"),
    [(0, -0.02, 0.02), (-0.25, 0, 0.25), (0, 0.05, 0.05), (0.03, -0.04, 0.05)],
)
def test_a_plane_has_its_slope_everywhere(east, north, slope):
    heights_m = ground(east, north)
    np.testing.assert_allclose(slopes(LATTICE, heights_m), slope)


@pytest.mark.parametrize("seed", range(3))
def test_rough_ground_against_another_library(seed):
    """The peer's rows run south, and it has no ground beyond its edge: the inner nodes agree."""
    heights_m = np.random.default_rng(seed).random((31, 24))
    grid = richdem.rdarray(heights_m[::-1].copy(), no_data=-9999)
    grid.geotransform = [0, 0.5, 0, 0, 0, -0.5]
    inner = np.s_[1:-1, 1:-1]
    slope = np.asarray(richdem.terrain_attribute(grid, attrib="slope_riserun"))[::-1]
    np.testing.assert_allclose(slopes(LATTICE, heights_m)[inner], slope[inner], rtol=1e-5)
