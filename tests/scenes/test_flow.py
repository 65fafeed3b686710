"""Water on heights alone: against RichDEM (Barnes, GPL, a test's tool only), and by hand."""

import numpy as np
import pytest
import richdem

from scenes.flow import accumulated, flow

ROWS, COLUMNS = 60, 47


def run(heights_m, blocked=(), drained=()):
    masks = np.zeros((2, *heights_m.shape), bool)
    for mask, nodes in zip(masks, (blocked, drained), strict=True):
        for node in nodes:
            mask[node] = True
    return flow(heights_m, blocked=masks[0], drained=masks[1])


def peer(heights_m):
    grid = richdem.rdarray(heights_m, no_data=-9999)
    grid.geotransform = [0, 1, 0, 0, 0, -1]
    return grid


def rough(seed):
    return np.random.default_rng(seed).random((ROWS, COLUMNS))


def stepped(seed):
    """Whole heights only: level ground and ties everywhere."""
    return np.random.default_rng(seed).integers(0, 6, (ROWS, COLUMNS)).astype(float)


def sloping(seed):
    return rough(seed) * 0.4 + np.add.outer(0.1 * np.arange(ROWS), 0.03 * np.arange(COLUMNS))


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("ground", [rough, stepped, sloping])
def test_full_hollows_are_those_of_another_library(ground, seed):
    heights_m = ground(seed)
    wanted = richdem.fill_depressions(peer(heights_m), epsilon=False, in_place=False)
    np.testing.assert_array_equal(run(heights_m).filled_m, np.asarray(wanted))


STEPS = np.array([(0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1)])
"""The peer's neighbours 1 to 8, as steps in row and column."""


def steepest(heights_m):
    """The peer's steepest neighbour, 0 to 7 in STEPS, and where there is one.

    Shares by Freeman's rule rise with drop over distance, so the largest share is the steepest;
    the peer's own D8 takes the lowest neighbour, whatever its distance.
    """
    share = richdem.flow_proportions(peer(heights_m), method="Freeman", exponent=1.1)
    inner = np.zeros(heights_m.shape, bool)
    inner[1:-1, 1:-1] = True
    return np.asarray(share)[..., 1:].argmax(axis=-1), inner & (np.asarray(share)[..., 0] == 0)


@pytest.mark.parametrize("seed", range(5))
def test_directions_are_those_of_another_library(seed):
    heights_m = rough(seed)
    direction, falls = steepest(heights_m)
    row, column = np.indices(heights_m.shape)
    step = STEPS[direction]
    wanted = (row + step[..., 0]) * COLUMNS + column + step[..., 1]
    water = run(heights_m)
    turned = np.zeros(heights_m.size, bool)
    turned[list(turned_nodes(water))] = True
    same_way = falls & ~turned.reshape(heights_m.shape)
    assert same_way.sum() > 1000
    assert (water.to.reshape(heights_m.shape)[same_way] == wanted[same_way]).all()


def turned_nodes(water):
    """Nodes on the way from the lowest node of a basin to its pass, walked one by one."""
    found = set()
    for number, node in enumerate(water.basins.lowest):
        while water.basins.of_node[node] == number:
            found.add(node)
            node = water.to[node]
    return found


@pytest.mark.parametrize("seed", range(3))
def test_what_gathers_is_what_another_library_gathers(seed):
    """On ground without hollows, inside the edge, whose nodes give nothing on with the peer."""
    heights_m = 0.05 * rough(seed) + np.add.outer(0.1 * np.arange(ROWS), 0.04 * np.arange(COLUMNS))
    water = run(heights_m)
    assert len(water.basins.lowest) == 0
    direction, falls = steepest(heights_m)
    share = np.where(falls[..., None], 0.0, -1.0).repeat(9, axis=-1).astype(np.float32)
    np.put_along_axis(share, direction[..., None] + 1, np.where(falls, 1.0, -1.0)[..., None], -1)
    props = richdem.rd3array(share, no_data=-2)
    wanted = np.asarray(richdem.flow_accum_from_props(props))
    found = accumulated(water.to, np.ones(heights_m.size)).reshape(heights_m.shape)
    assert wanted.max() > 50
    np.testing.assert_allclose(found, wanted)


def test_a_hollow_fills_to_its_lowest_pass_by_hand():
    heights_m = np.full((5, 6), 9.0)
    heights_m[2, 2], heights_m[2, 3], heights_m[2, 4] = 1.0, 2.0, 4.0
    heights_m[2, 5] = 3.0
    water = run(heights_m)
    assert water.filled_m[2].tolist() == [9, 9, 4, 4, 4, 3]
    at = 2 * 6
    assert water.to[at + 2 : at + 6].tolist() == [at + 3, at + 4, at + 5, -1]


def test_a_hollow_in_a_hollow_fills_to_the_outer_pass():
    heights_m = np.full((3, 9), 9.0)
    heights_m[1] = [9, 1, 4, 2, 6, 0, 8, 3, 7]
    water = run(heights_m)
    assert water.filled_m[1].tolist() == [9, 8, 8, 8, 8, 8, 8, 7, 7]
    assert water.to[10:17].tolist() == [11, 12, 13, 14, 15, 16, 17]
    assert accumulated(water.to, np.ones(27))[17] == 8


def test_water_runs_round_what_is_in_its_way():
    """A slope of one in ten with a wall across all but one end: all of it passes that end."""
    heights_m = np.repeat(0.1 * np.arange(20.0)[:, None], 12, axis=1)
    wall = [(10, column) for column in range(11)]
    open_way = accumulated(run(heights_m).to, np.ones(240)).reshape(20, 12)
    assert open_way[9, 5] == 10  # ten nodes straight above and itself, less the edge row
    water = run(heights_m, blocked=wall)
    assert (water.filled_m[11, 1:10] > heights_m[11, 1:10]).sum() == 0
    assert not np.isin(water.to, [10 * 12 + column for _, column in wall]).any()


def test_a_drain_empties_a_hollow():
    heights_m = np.full((7, 7), 5.0)
    heights_m[2:5, 2:5] = 1.0
    assert run(heights_m).filled_m[3, 3] == 5.0
    drained = run(heights_m, drained=[(3, 3)])
    assert drained.filled_m.tolist() == heights_m.tolist()
    assert accumulated(drained.to, np.ones(49))[3 * 7 + 3] == 25  # all but the edge


def test_closed_in_ground_is_told_and_not_filled_without_end():
    heights_m = np.full((7, 7), 5.0)
    ring = [(r, c) for r in range(2, 5) for c in range(2, 5) if (r, c) != (3, 3)]
    water = run(heights_m, blocked=ring)
    assert water.filled_m[3, 3] == 5.0
    (number,) = np.flatnonzero(water.basins.into < 0)
    assert water.basins.lowest[number] == 3 * 7 + 3


def test_all_blocked_or_all_level_is_no_trouble():
    level = run(np.ones((30, 30)))
    assert (level.filled_m == 1).all()
    assert accumulated(level.to, np.ones(900))[level.to < 0].sum() == 900
    assert (run(np.ones((4, 4)), blocked=[np.s_[:, :]]).to == -1).all()
