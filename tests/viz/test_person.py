"""The person for scale: its height, its place on the ground, and that it is drawn so tall."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from growth.ranges import Range
from viz.person import APART_M, TALL_M, UNDER_M, _under_crowns, figure, open_ground, standing
from viz.stage import PARAMS


def test_it_is_as_tall_as_it_says_and_stands_on_its_feet():
    (part,) = figure((3.0, 4.0, 10.0)).parts
    assert part.points_m[:, 2].min() == pytest.approx(10.0)
    assert part.points_m[:, 2].max() == pytest.approx(10.0 + TALL_M)
    assert TALL_M == 1.7
    low, high = part.points_m[:, :2].min(axis=0), part.points_m[:, :2].max(axis=0)
    assert (low + high)[0] / 2 == pytest.approx(3.0)
    assert high[0] - low[0] == pytest.approx(0.55, abs=0.05)  # arms hang beside the shoulders


def test_its_faces_look_outwards():
    """By the divergence theorem the faces of bodies that look outwards enclose a volume above
    zero: a person of 1.7 m takes some 50 to 90 litres."""
    (part,) = figure((0.0, 0.0, 0.0)).parts
    a, b, c = np.moveaxis(part.points_m[part.triangles], 1, 0)
    assert 0.05 < float((a * np.cross(b, c)).sum()) / 6 < 0.09


def test_it_is_sent_as_tall_in_every_view(small_stage):
    sent = PARAMS["views"](small_stage)["person"]
    z = sent["figure"]["points"].reshape(-1, 3)[:, 2]
    assert float(np.ptp(z)) == pytest.approx(1.7, abs=1e-4)
    assert float(z.min()) == pytest.approx(0, abs=1e-4)
    assert len(sent["feet"]) == len(small_stage.views)


def test_it_stands_on_graded_ground_where_nothing_else_does(small, small_stage):
    """On the patio or walk, out of the bed and the house, outside every low crown of year 30."""
    terrain, layout, stand, stage = small.terrain, small.layout, small.stand, small_stage
    for feet in stage.feet_m:
        assert feet is not None
        at = shapely.Point(feet[:2])
        assert feet[2] == pytest.approx(float(terrain.height_m(np.array([feet[:2]]))[0]))
        assert terrain.boundary.contains(at)
        assert not any(bed.outline.contains(at) for bed in layout.beds)
        assert not shapely.box(7, 6, 11, 9).contains(at)  # the house
        away = np.hypot(*(stand.xyz_m[:, :2] - feet[:2]).T)
        low = stand.crown_base_m.expected[30] < 1.7
        assert (away > np.where(low, stand.spread_m.expected[30] / 2, 0.3)).all()


def test_from_the_lane_it_stands_before_the_window_on_the_patio(small, small_stage):
    """The view looks from (8.7, -4) at the window over the patio's north side."""
    layout, stage = small.layout, small_stage
    feet = dict(zip((view.name for view in stage.views), stage.feet_m, strict=True))[
        "from the lane"
    ]
    patio = next(each for each in layout.surfaces if each.name == "patio")
    assert patio.outline.contains(shapely.Point(feet[:2]))


def test_every_plant_keeps_its_own_ground(small):
    """Places under a crown, found by a search of neighbours, are those found plant by plant; one
    at exactly a plant's reach is free, and without places or plants nothing is under any."""
    stand = small.stand
    low = stand.crown_base_m.expected < UNDER_M
    reach_m = np.maximum(np.where(low, stand.spread_m.expected / 2, 0).max(axis=0) + 0.2, APART_M)
    edge_m = stand.xyz_m[:, :2] + reach_m[:, None] * [1.0, 0.0]
    xy_m = np.concatenate([np.random.default_rng(3).uniform(-2, 14, (4000, 2)), edge_m])
    under = np.zeros(len(xy_m), bool)
    for at_m, radius_m in zip(stand.xyz_m[:, :2], reach_m, strict=True):
        under |= np.hypot(*(xy_m - at_m).T) < radius_m
    assert 0 < under.sum() < len(under)
    assert np.array_equal(_under_crowns(stand, xy_m), under)
    assert _under_crowns(stand, xy_m[:0]).shape == (0,)
    nobody = replace(
        stand, xyz_m=stand.xyz_m[:0], crown_base_m=_none_of(stand.crown_base_m),
        spread_m=_none_of(stand.spread_m),
    )  # fmt: skip
    assert not _under_crowns(nobody, xy_m).any()


def _none_of(sizes: Range) -> Range:
    return Range(sizes.low[:, :0], sizes.expected[:, :0], sizes.high[:, :0])


def test_where_nothing_is_free_nobody_stands(small, small_stage):
    terrain, layout, stand, stage = small.terrain, small.layout, small.stand, small_stage
    lot = shapely.box(-1, -1, 13, 11)
    full = replace(layout, beds=(replace(layout.beds[0], outline=lot),))
    assert set(standing(open_ground(terrain, full), terrain, full, stand, stage.views)) == {None}
