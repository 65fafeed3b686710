"""Laws of water that hold for any ground: it all leaves, and never stands above its way out."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.flow import accumulated, flow

SHAPE = (9, 11)
heights = st.lists(st.integers(0, 12), min_size=99, max_size=99).map(
    lambda values: np.array(values, dtype=float).reshape(SHAPE)
)
blocks = st.sets(st.integers(0, 98), max_size=25)


def mask(nodes):
    found = np.zeros(99, bool)
    found[list(nodes)] = True
    return found.reshape(SHAPE)


@settings(max_examples=150, deadline=None)
@given(heights, blocks, blocks)
def test_all_water_leaves_and_never_runs_up(heights_m, blocked, drained):
    stands = mask(blocked)
    water = flow(heights_m, blocked=stands, drained=mask(drained - blocked))
    rain = np.where(stands, 0.0, 1.0).ravel()
    gathered = accumulated(water.to, rain)
    assert gathered[water.to < 0].sum() == rain.sum()
    goes = np.flatnonzero((water.to >= 0) & ~stands.ravel())
    filled = water.filled_m.ravel()
    assert (filled[water.to[goes]] <= filled[goes]).all()
    assert not stands.ravel()[water.to[goes]].any()
    assert (water.filled_m >= heights_m).all()


@settings(max_examples=100, deadline=None)
@given(heights)
def test_water_steps_to_a_neighbour(heights_m):
    nothing = np.zeros(SHAPE, bool)
    water = flow(heights_m, blocked=nothing, drained=nothing)
    goes = np.flatnonzero(water.to >= 0)
    row, column = np.divmod(goes, SHAPE[1])
    next_row, next_column = np.divmod(water.to[goes], SHAPE[1])
    assert np.maximum(np.abs(next_row - row), np.abs(next_column - column)).max(initial=1) == 1


@settings(max_examples=100, deadline=None)
@given(heights, st.integers(0, 98))
def test_digging_never_raises_the_water(heights_m, node):
    nothing = np.zeros(SHAPE, bool)
    dug_m = heights_m.copy()
    dug_m.flat[node] -= 3
    before = flow(heights_m, blocked=nothing, drained=nothing)
    after = flow(dug_m, blocked=nothing, drained=nothing)
    assert (after.filled_m <= before.filled_m).all()
