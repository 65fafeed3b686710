"""Water on 132,000 nodes: filling, directions and what gathers, against RichDEM's filling alone.

Peer: RichDEM's priority flood (compiled C++, after Zhou 2016), which fills hollows and does
nothing else; ours also gives every node its next one and gathers what drains to it.
"""

import time

import numpy as np
import pytest
import richdem

from scenes.flow import accumulated, flow

ROWS, COLUMNS = 400, 330


def smooth(rng):
    """A site as surveys give it: a slope with rolls of a few centimetres."""
    row, column = np.indices((ROWS, COLUMNS))
    return 0.02 * row + 0.3 * np.sin(row / 25) * np.cos(column / 31)


def rough(rng):
    """The worst there is: every ninth node a hollow of its own."""
    return rng.random((ROWS, COLUMNS))


def level(rng):
    """One level without a fall: every node is a basin of its own."""
    return np.zeros((ROWS, COLUMNS))


def water(heights_m):
    nothing = np.zeros(heights_m.shape, bool)
    found = flow(heights_m, blocked=nothing, drained=nothing)
    return found, accumulated(found.to, np.ones(heights_m.size))


@pytest.mark.parametrize(("ground", "limit_s"), [(smooth, 0.1), (rough, 0.4), (level, 0.8)])
def test_water_of_132_000_nodes(benchmark, report, ground, limit_s):
    heights_m = ground(np.random.default_rng(0))
    found, _ = benchmark.pedantic(water, args=(heights_m,), rounds=5, iterations=1, warmup_rounds=1)
    grid = richdem.rdarray(heights_m, no_data=-9999)
    grid.geotransform = [0, 1, 0, 0, 0, -1]
    started = time.perf_counter()
    filled_m = np.asarray(richdem.fill_depressions(grid, epsilon=False, in_place=False))
    peer_s = time.perf_counter() - started
    seconds = benchmark.stats.stats.min
    report(f"water, {ground.__name__} ground", seconds, peer_s, f"limit {limit_s} s")
    np.testing.assert_array_equal(found.filled_m, filled_m)
