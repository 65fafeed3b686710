"""Where water runs on a lattice of heights: from node to node, through hollows, off the edge.

Each node gives its water to the steepest of its eight lower neighbours (D8). Nodes that reach
the same lowest point are a basin; each basin is joined to a neighbour over the lowest pass, so
that all passes together are a minimum spanning tree rooted outside. A hollow stands full up to
the highest pass on its way out, and its water then runs back from its lowest point over its
own pass. Blocked nodes (buildings, walls) take no part. Nodes at the lattice's edge let all
water out. Left out: soaking in, pipes, and how fast water runs.

Source: D8, O'Callaghan and Mark 1984, Comput. Vision Graph. 28:323-344; filling by passes
between basins, Cordonnier, Bovy and Braun 2019, Earth Surf. Dynam. 7:549-562 (both from
memory). Valid for: any heights; on exactly level ground the way out is one of many.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order, minimum_spanning_tree

from scenes.lattice import Array, BoolArray, IntArray

HALF_NEIGHBOURS = ((0, 1), (1, 0), (1, 1), (1, -1))
NEIGHBOURS = (*HALF_NEIGHBOURS, *((-row, -column) for row, column in HALF_NEIGHBOURS))
"""Steps (row, column) to the nodes around one; the first half meets every pair once."""


@dataclass(frozen=True)
class Basins:
    """Nodes (n,) by the basin they drain to; number `len(lowest)` is outside the lattice.

    `into` is the basin that each one overflows into, -1 where it is closed in on all sides.
    """

    of_node: IntArray
    lowest: IntArray
    into: IntArray


@dataclass(frozen=True)
class Flow:
    """Heights (ny, nx) with all hollows full, the next node of each (n,), -1 = out; basins."""

    filled_m: Array
    to: IntArray
    basins: Basins


@dataclass(frozen=True)
class _Passes:
    """The lowest link between every two basins that touch: basins low < high, nodes, level."""

    key: IntArray
    low: IntArray
    high: IntArray
    nodes: IntArray
    level_m: Array
    outside: int


@dataclass(frozen=True)
class _Ways:
    """For each basin (b,): where it overflows into, -1 = nowhere, at which level and nodes."""

    into: IntArray
    level_m: Array
    inside: IntArray
    beyond: IntArray


def flow(heights_m: Array, *, blocked: BoolArray, drained: BoolArray) -> Flow:
    """Where the water of every node runs, over the ground with its hollows full.

    Drained nodes let out all water that reaches them, as those at the lattice's edge do.
    """
    down = _downhill(heights_m, blocked)
    down[drained.ravel()] = heights_m.size
    of_node, lowest = _basins(down)
    ways = _ways(_passes(heights_m, of_node, blocked, outside=len(lowest)), of_node)
    spill_m = np.append(_highest_on_the_way(ways), -np.inf)
    filled_m = np.maximum(heights_m, spill_m[of_node].reshape(heights_m.shape))
    to = _turned_back(down, ways)
    return Flow(filled_m, np.where(to == len(to), -1, to), Basins(of_node, lowest, ways.into))


def accumulated(to: IntArray, amount: Array) -> Array:
    """The amount (n,) of each node and of all that run to it by `to` (n,), -1 = out.

    Each round joins ways of twice the length: S(v) grows by S(u) of all u that are 2^k steps
    above v, so the rounds are the logarithm of the longest way.
    """
    out = len(to)
    ahead = np.append(np.where(to < 0, out, to), out)
    total = np.append(amount, 0.0)
    while (ahead[:-1] != out).any():
        arrived = np.bincount(ahead, weights=total, minlength=out + 1)
        arrived[out] = 0.0
        total += arrived
        ahead = ahead[ahead]
    return np.asarray(total[:-1])


def _shifted(values: Array, step: tuple[int, int]) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Windows of the nodes that have a neighbour at a step, and of those neighbours."""
    here, there = [], []
    for size, by in zip(values.shape, step, strict=True):
        here.append(slice(max(0, -by), size - max(0, by)))
        there.append(slice(max(0, by), size - max(0, -by)))
    return tuple(here), tuple(there)


def _downhill(heights_m: Array, blocked: BoolArray) -> IntArray:
    """The steepest lower neighbour of each node (n,): itself where none is lower, n = out."""
    count = heights_m.size
    open_m = np.where(blocked, np.inf, heights_m)
    index = np.arange(count).reshape(heights_m.shape)
    steepest, to = np.zeros(heights_m.shape), index.copy()
    for step in NEIGHBOURS:
        here, there = _shifted(heights_m, step)
        fall = (heights_m[here] - open_m[there]) / np.hypot(*step)
        steeper = fall > steepest[here]
        steepest[here] = np.where(steeper, fall, steepest[here])
        to[here] = np.where(steeper, index[there], to[here])
    to[[0, -1], :] = count
    to[:, [0, -1]] = count
    to[blocked] = count
    return to.ravel()


def _basins(down: IntArray) -> tuple[IntArray, IntArray]:
    """The basin of each node (n,) and the lowest node of each basin (b,)."""
    count = len(down)
    end = np.append(down, count)
    while True:
        further = end[end]
        if np.array_equal(further, end):
            break
        end = further
    lowest = np.flatnonzero(down == np.arange(count))
    number = np.full(count + 1, len(lowest))
    number[lowest] = np.arange(len(lowest))
    return number[end[:-1]], lowest


def _passes(heights_m: Array, of_node: IntArray, blocked: BoolArray, *, outside: int) -> _Passes:
    """The lowest link between every two basins that touch."""
    basin = of_node.reshape(heights_m.shape)
    index = np.arange(heights_m.size).reshape(heights_m.shape)
    links, levels = [], []
    for step in HALF_NEIGHBOURS:
        here, there = _shifted(heights_m, step)
        joins = (basin[here] != basin[there]) & ~blocked[here] & ~blocked[there]
        links.append(np.stack([index[here][joins], index[there][joins]], axis=-1))
        levels.append(np.maximum(heights_m[here][joins], heights_m[there][joins]))
    nodes, level_m = np.concatenate(links), np.concatenate(levels)
    order = np.argsort(level_m, kind="stable")
    nodes, level_m = nodes[order], level_m[order]
    pair = np.sort(of_node[nodes], axis=1)
    key, first = np.unique(pair[:, 0] * (outside + 1) + pair[:, 1], return_index=True)
    low, high = pair[first].T
    return _Passes(key, low, high, nodes[first], level_m[first], outside)


def _ways(passes: _Passes, of_node: IntArray) -> _Ways:
    """The way out of each basin, on the tree of lowest passes that is rooted outside."""
    outside = passes.outside
    rank = np.unique(passes.level_m, return_inverse=True)[1] + 1.0
    shape = (outside + 1, outside + 1)
    tree = minimum_spanning_tree(csr_array((rank, (passes.low, passes.high)), shape=shape))
    before = breadth_first_order(tree, outside, directed=False)[1][:outside].astype(np.int64)
    basin = np.flatnonzero(before >= 0)
    low, high = np.minimum(basin, before[basin]), np.maximum(basin, before[basin])
    number = np.searchsorted(passes.key, low * (outside + 1) + high)
    nodes = passes.nodes[number]
    first_inside = (of_node[nodes[:, 0]] == basin)[:, None]
    ways = _Ways(
        into=np.maximum(before, -1),
        level_m=np.full(outside, -np.inf),
        inside=np.full(outside, -1),
        beyond=np.full(outside, -1),
    )
    ways.level_m[basin] = passes.level_m[number]
    ways.inside[basin], ways.beyond[basin] = np.where(first_inside, nodes, nodes[:, ::-1]).T
    return ways


def _highest_on_the_way(ways: _Ways) -> Array:
    """The highest pass (b,) in metres from each basin to the outside."""
    out = len(ways.into)
    ahead = np.append(np.where(ways.into < 0, out, ways.into), out)
    highest_m = np.append(ways.level_m, -np.inf)
    while (ahead != out).any():
        highest_m = np.maximum(highest_m, highest_m[ahead])
        ahead = ahead[ahead]
    return highest_m[:-1]


def _turned_back(down: IntArray, ways: _Ways) -> IntArray:
    """The next node (n,), with the way from each basin's lowest node to its pass turned round.

    Ways of different basins share no node, so all are followed at once, a step a round.
    """
    to = np.where(down == np.arange(len(down)), len(down), down)
    leads_out = ways.into >= 0
    here, ahead = ways.inside[leads_out], ways.beyond[leads_out]
    while len(here):
        to[here] = ahead
        below = down[here]
        goes_on = below != here
        here, ahead = below[goes_on], here[goes_on]
    return to
