"""Ground layers of yards whose cut, contours and sizes are known by hand."""

import numpy as np
import pytest

import growth
import scenes
from viz.groundlayers import ground_layers, rise_m, tone_depths
from viz.palette import afternoon

YARD = """
title = "Plane"
lengths = "m"
[site]
latitude_deg = 45
longitude_deg = 0
hardiness_zone = 8
boundary = [[0, 0], [20, 0], [20, 30], [0, 30]]
planted = 2027-03-15
[ground]
cell = 0.5
points = [[-5, -5, 9.5], [25, -5, 9.5], [25, 35, 13.5], [-5, 35, 13.5]]
[[grading]]
name = "pad"
do = "pad"
outline = [[5, 10], [15, 10], [15, 20], [5, 20]]
level = 11.0
batter = 0
[[kept]]
name = "oak"
plant = "Quercus robur"
at = [10, 25]
height = 9
spread = 8
"""
"""Ground that rises a tenth to the north, z = 10 + y / 10, and a level pad cut at 11."""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    path = tmp_path_factory.mktemp("ground") / "plane.toml"
    path.write_text(YARD, encoding="utf-8")
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    layers = ground_layers(yard, terrain, layout, stand, afternoon(yard.site.latitude_deg))
    return terrain, stand, layers


def test_rise_is_the_pad_less_the_slope(made) -> None:
    """At the pad's middle line y = 15 + d the ground 11.5 + d / 10 is cut to 11."""
    terrain, _, layers = made
    sent = layers["rise"].reshape(len(layers["y"]), len(layers["x"])) * layers["riseStep"]
    assert sent == pytest.approx(rise_m(terrain), abs=1e-4)
    column = int(np.argmin(np.abs(layers["x"] - 10)))
    for y, rise in ((11.0, -0.1), (15.0, -0.5), (19.0, -0.9), (5.0, 0.0), (25.0, 0.0)):
        row = int(np.argmin(np.abs(layers["y"] - y)))
        assert sent[row, column] == pytest.approx(rise, abs=1e-3)


def test_unmoved_ground_is_sent_as_exactly_unmoved(made) -> None:
    _, _, layers = made
    x, y = np.meshgrid(layers["x"], layers["y"])
    outside = (x < 4.9) | (x > 15.1) | (y < 9.9) | (y > 20.1)
    assert not layers["rise"][outside.ravel()].any()


def test_deepest_cut_and_tones(made) -> None:
    """The pad is cut by 1 m at its north edge; the last node inside may lie a cell, 5 cm, lower."""
    _, _, layers = made
    earth = layers["earth"]
    assert earth["deepest_m"] == pytest.approx(1.0, abs=0.051)
    assert earth["highest_m"] == pytest.approx(0.0, abs=1e-6)
    assert earth["steps_m"] == [0.2, 0.5]
    assert earth["cut_m3"] == pytest.approx(50.0, rel=0.01)  # 100 m2, half a metre on average


@pytest.mark.parametrize(
    ("deepest", "tones"),
    [(0.0, ()), (0.04, ()), (0.1, (0.05,)), (2.3, (0.5, 1.0)), (9, (2.0, 5.0))],
)
def test_tones_change_at_round_depths(deepest: float, tones: tuple) -> None:
    assert tone_depths(deepest) == tones


def test_existing_contours_run_straight_across(made) -> None:
    """z = 10 + y / 10: the contour at level n * 0.1 lies at y = (level - 10) * 10."""
    _, _, layers = made
    drawn = layers["contours"]
    before = drawn["before"]
    y = before["points"].reshape(-1, 2)[:, 1] / 65535 * np.ptp(layers["y"]) + layers["y"][0]
    level = np.repeat(before["lowest"] + before["level"], before["counts"]) * drawn["fine"]
    assert y == pytest.approx((level - 10) * 10, abs=0.01)
    assert drawn["every"][0] == 1


def test_the_first_section_runs_up_the_slope_through_the_pad(made) -> None:
    """The ground rises to the north, and the pad reaches from x = 5 to x = 15."""
    _, _, layers = made
    (x0, y0), (x1, y1) = layers["section"]["line"]
    assert x0 == x1 == pytest.approx(10, abs=0.5)
    assert y0 < 0
    assert y1 > 30


def test_section_sizes_are_those_of_the_forecast(made) -> None:
    _, stand, layers = made
    cut = layers["section"]
    sizes = cut["sizes"].reshape(3, 3, 31, -1)[..., cut["course"]] / 100
    for quantity, name in enumerate(("height_m", "spread_m", "crown_base_m")):
        for end, which in enumerate(("low", "expected", "high")):
            truth = getattr(getattr(stand, name), which)
            assert sizes[quantity, end] == pytest.approx(truth, abs=0.0051)


def test_named_places_hold_the_kept_tree(made) -> None:
    _, _, layers = made
    at = {place["name"]: place["at"] for place in layers["section"]["places"]}
    assert at["oak"] == [10, 25]
    assert at["north side"] == [10, 30]
