"""The plants of a still: as large as forecast, in the leaves and flowers of their month."""

from dataclasses import replace

import numpy as np
import pytest

from growth.seasons import autumn_months
from viz.palette import linear
from viz.tableauplants import leaf_colours, linear_of, nearest_drawing, planted, without_flowers


def test_plants_stand_on_their_feet_as_high_and_wide_as_forecast(small, small_stage):
    yard, stage = small.yard, small_stage
    for one in range(len(stage.kind)):
        alone = replace(stage, height_m=stage.height_m * (np.arange(len(stage.kind)) == one))
        cards = planted(alone, yard.site, year=5, month=7)
        if stage.height_m[5, one] == 0:
            assert len(cards.points_m) == 0
            continue
        top = cards.points_m[..., 2].max() - stage.foot_m[one, 2]
        assert top == pytest.approx(stage.height_m[5, one], rel=0.12)
        middle = cards.points_m.reshape(-1, 3)[:, :2]
        away = np.linalg.norm(middle - stage.foot_m[one, :2], axis=1).max()
        assert away == pytest.approx(stage.spread_m[5, one] / 2, rel=0.12)
        assert np.linalg.norm(cards.normals, axis=-1) == pytest.approx(1, abs=1e-3)


def test_autumn_leaves_have_their_autumn_colour(small, small_stage):
    yard, stage = small.yard, small_stage
    turning = [
        k for k, p in enumerate(stage.plants) if 10 in autumn_months(p, yard.site.latitude_deg)
    ]
    assert turning
    colours = leaf_colours(stage, yard.site, month=10)
    for kind in turning:
        wanted = linear(stage.plants[kind].colour_autumn)
        assert colours[stage.kind == kind].mean(axis=0) == pytest.approx(wanted, rel=0.35)


def test_flowers_go_and_leaves_stay(small_stage):
    stage = small_stage
    flowering = [d.leaf for stages, p in zip(stage.kinds, stage.plants, strict=True)
                 for d in stages if p.colour_flower and p.kind == "shrub"]  # fmt: skip
    assert flowering
    for quads in flowering:
        plain = without_flowers(quads)
        lost = len(quads.points_m) - len(plain.points_m)
        assert 0 <= lost <= 60  # viz.foliage_woody.MOST_FLOWERS
        leaves = (quads.tint[:, 0, 3] < 0.5).sum()
        assert (plain.tint[:, 0, 3] < 0.5).sum() == leaves


def test_the_least_stretched_drawing_is_taken(small_stage):
    stages = next(s for s in small_stage.kinds if len(s) > 1)
    sizes = [np.array([getattr(d, name) for d in stages]) for name in ("height_m", "spread_m")]
    assert nearest_drawing(stages, *sizes).tolist() == list(range(len(stages)))


def test_screen_values_become_the_reflectance_they_came_from():
    assert linear_of(np.array([0x7F, 0x03, 0xFF], dtype=np.uint8)) == pytest.approx(
        linear("#7f03ff"), rel=1e-5
    )
