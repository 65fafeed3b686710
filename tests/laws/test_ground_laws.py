"""Laws of earthwork: what must hold for any two surfaces."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from shapely.geometry import Polygon, box

from scenes.lattice import Lattice, bilinear
from scenes.volumes import cut_and_fill

SIZE = 7
LATTICE = Lattice(0.0, 0.0, 0.5, SIZE, SIZE)
LOT = box(0, 0, 3, 3)
SURFACE = arrays(np.float64, (SIZE, SIZE), elements=st.floats(-2, 2, width=32))


@settings(max_examples=60, deadline=None)
@given(SURFACE, SURFACE)
def test_fill_less_cut_is_the_volume_between_the_surfaces(
    before: np.ndarray, after: np.ndarray
) -> None:
    """The volume under a bilinear surface is the mean of four corners times the cell."""
    earth = cut_and_fill(LATTICE, before_m=before, after_m=after, outline=LOT)
    moved = after - before
    corners = moved[:-1, :-1] + moved[1:, :-1] + moved[:-1, 1:] + moved[1:, 1:]
    assert (earth.fill_m3 - earth.cut_m3).sum() == pytest.approx(
        float(corners.sum()) / 4 * 0.25, abs=1e-9
    )
    assert earth.cut_m3.sum() >= 0
    assert earth.fill_m3.sum() >= 0


@settings(max_examples=40, deadline=None)
@given(SURFACE, SURFACE)
def test_undoing_swaps_cut_and_fill(before: np.ndarray, after: np.ndarray) -> None:
    there = cut_and_fill(LATTICE, before_m=before, after_m=after, outline=LOT)
    back = cut_and_fill(LATTICE, before_m=after, after_m=before, outline=LOT)
    assert back.cut_m3.sum() == pytest.approx(there.fill_m3.sum(), abs=1e-9)
    assert back.fill_m3.sum() == pytest.approx(there.cut_m3.sum(), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(SURFACE, SURFACE, st.floats(0.1, 2.9))
def test_two_halves_of_a_lot_sum_to_the_whole(
    before: np.ndarray, after: np.ndarray, fence_m: float
) -> None:
    west = Polygon([(0, 0), (fence_m, 0), (3 - fence_m, 3), (0, 3)])
    whole = cut_and_fill(LATTICE, before_m=before, after_m=after, outline=LOT)
    parts = [
        cut_and_fill(LATTICE, before_m=before, after_m=after, outline=half)
        for half in (west, LOT.difference(west))
    ]
    assert sum(part.cut_m3.sum() for part in parts) == pytest.approx(whole.cut_m3.sum(), abs=1e-7)
    assert sum(part.fill_m3.sum() for part in parts) == pytest.approx(whole.fill_m3.sum(), abs=1e-7)


@settings(max_examples=40, deadline=None)
@given(SURFACE, arrays(np.float64, (20, 2), elements=st.floats(-1, 4, width=32)))
def test_heights_between_nodes_stay_within_the_nodes(
    ground: np.ndarray, points: np.ndarray
) -> None:
    heights = bilinear(LATTICE, ground, points)
    assert heights.min() >= ground.min() - 1e-9
    assert heights.max() <= ground.max() + 1e-9
