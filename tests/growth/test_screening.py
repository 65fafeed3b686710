"""Screening of views in small yards whose hidden share is worked out by hand."""

import numpy as np
import pytest

from growth.checks.outlook import prospects
from growth.checks.screening import screening
from growth.stand import Draws


def test_a_fence_hides_its_share_in_every_year_and_season(level_lot, checked):
    # 1.5 m high half way: the line over it meets the panel at 1 m, a quarter of its height
    fence = {"name": "f", "kind": "fence", "line": [[0, 9], [20, 9]], "height": 1.5}
    views = checked(level_lot(structure=[fence])).screening
    assert [(v.view, v.season) for v in views] == [("north", "leaf"), ("north", "bare")]
    for view in views:
        for end in (view.fraction_blocked.low, view.fraction_blocked.high):
            assert end == pytest.approx(np.full(31, 0.25), abs=0.02)


def test_an_open_fence_hides_less(level_lot, checked):
    fence = {"name": "f", "kind": "fence", "line": [[0, 9], [20, 9]], "height": 6, "open": 0.4}
    view = checked(level_lot(structure=[fence])).screening[0]
    assert view.fraction_blocked.expected == pytest.approx(np.full(31, 0.6), abs=0.01)


def test_no_plants_hide_nothing(level_lot, checked):
    view = checked(level_lot()).screening[0]
    assert view.fraction_blocked.high.max() == 0


def test_a_deciduous_hedge_hides_less_when_bare_and_more_each_year(level_lot, checked):
    hedge = {
        "plant": "Viburnum dentatum", "size": "#5", "along": [[5, 9], [15, 9]], "spacing": 1,
    }  # fmt: skip
    leaf, bare = (v.fraction_blocked for v in checked(level_lot(planting=[hedge])).screening)
    assert (np.diff(leaf.expected) >= -1e-3).all()
    assert (bare.expected <= leaf.expected).all()
    assert bare.expected[15] < leaf.expected[15] - 0.05
    assert (leaf.low <= leaf.expected).all()
    assert (leaf.expected <= leaf.high).all()


def test_a_plant_taken_out_opens_the_view_again(level_lot, checked):
    tree = {"plant": "Thuja 'Green Giant'", "size": "6 ft ht", "at": [[10, 9]], "removed": 6}
    blocked = checked(level_lot(planting=[tree])).screening[0].fraction_blocked
    assert blocked.low[5] > 0.1
    assert blocked.high[6] == 0


def test_draws_of_one_size_have_no_width(level_lot, parts, stand_of):
    terrain, layout, _ = parts(level_lot())
    views = prospects(terrain, layout)
    stand = stand_of(["Taxus x media 'Hicksii'"], [[10, 9]])
    sizes = np.full((5, 31, 1), 2, np.float32)
    draws = Draws(sizes, sizes, np.zeros_like(sizes))
    blocked = screening(views, terrain.height_m, stand, draws)[0].fraction_blocked
    assert blocked.low == pytest.approx(blocked.high)
    assert 0.05 < blocked.low[0] < 0.5


def test_a_thinned_crown_hides_less_and_a_dead_one_nothing(level_lot, parts, stand_of):
    terrain, layout, _ = parts(level_lot())
    views = prospects(terrain, layout)
    stand = stand_of(["Taxus x media 'Hicksii'"], [[10, 9]])
    sizes = np.full((3, 31, 1), 2, np.float32)
    blocked = [
        screening(views, terrain.height_m, stand, Draws(sizes, sizes, 0 * sizes, vigour=vigour))[0]
        for vigour in (None, 0 * sizes + 1, 0 * sizes + 0.3, 0 * sizes)
    ]
    shares = [view.fraction_blocked.expected[0] for view in blocked]
    assert shares[0] == pytest.approx(shares[1])
    assert shares[1] > shares[2] + 0.02
    assert shares[2] > 0
    assert shares[3] == pytest.approx(0)


def test_lost_roots_open_a_view_from_the_second_summer_on(level_lot, checked):
    def hedged(roots_lost):
        laurel = {"plant": "Prunus laurocerasus", "at": [10, 9], "height": 3, "spread": 2}
        return checked(level_lot(kept=[laurel | {"roots_lost": roots_lost}]))

    whole, hurt = hedged(0.0), hedged(0.4)
    before, after = (f.screening[0].fraction_blocked for f in (whole, hurt))
    assert after.expected[1] == pytest.approx(before.expected[1], abs=0.01)
    assert (after.expected[2:] < before.expected[2:]).all()
    assert (after.low[2:] < before.low[2:]).all()
    assert any("certified arborist" in line for line in hurt.cautions)
    assert not any("certified arborist" in line for line in whole.cautions)
