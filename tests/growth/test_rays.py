"""Sight lines through crowns against closed forms and against a plain march along each line."""

import numpy as np
import pytest

from growth.crowns import FORMS, relative_radius
from growth.errors import GrowthError
from growth.rays import OPAQUE_PER_M, Crowns, blocked_share, fan, transmitted

EYE = np.array([0.0, -10.0, 2.0])
PANEL = np.array([[-3.0, 10, 0], [3, 10, 0], [3, 10, 4], [-3, 10, 4]])


def stand(foot, sizes, form="sheet", density=((0.5,),)):
    """Crowns of one form and one row: sizes are (height, spread, base) of each plant."""
    height, spread, base = np.array(sizes, np.float32).T[:, None]
    return Crowns(
        np.array(foot, float), height, spread, base,
        tuple(FORMS.values()), np.full(len(foot), list(FORMS).index(form)),
        np.broadcast_to(np.array(density, float), (len(density), len(foot))),
    )  # fmt: skip


def picture(lines, crowns):
    parts = [np.moveaxis(part, -1, 1) for _, part in transmitted(lines, crowns)]
    return np.concatenate(parts, axis=1)  # (season, row, nv, nu)


def march(lines, crowns, *, row, season, steps=3000):
    """Transmittance by small steps: at each the densest crown that holds the point."""
    t = (np.arange(steps) + 0.5) / steps
    x = lines.eye_m[0] + lines.across_m[0][None, :, None] * t
    y = lines.eye_m[1] + lines.across_m[1][None, :, None] * t
    z = lines.eye_m[2] + lines.rise_m[:, :, None] * t
    dense = np.zeros(z.shape)
    for i, (fx, fy, fz) in enumerate(crowns.foot_m):
        base = fz + crowns.base_m[row, i]
        tall = crowns.height_m[row, i] - crowns.base_m[row, i]
        if crowns.spread_m[row, i] == 0:
            continue
        reach = relative_radius(crowns.forms[crowns.form[i]], (z - base) / tall)
        inside = np.hypot(x - fx, y - fy) < reach * crowns.spread_m[row, i] / 2
        dense = np.maximum(dense, inside * crowns.density_per_m[season, i])
    return np.exp(-dense.mean(axis=2) * lines.length_m)


def random_stand(rng, *, count, rows):
    height = rng.uniform(0.4, 6, (rows, count)).astype(np.float32)
    height[rng.random((rows, count)) < 0.1] = 0
    leaf = rng.uniform(0.1, 2, count)
    return Crowns(
        np.column_stack([rng.uniform(-4, 4, count), rng.uniform(-8, 9, count), np.zeros(count)]),
        height,
        np.where(height > 0, rng.uniform(0.4, 5, (rows, count)), 0).astype(np.float32),
        height * rng.uniform(0, 0.5, (rows, count)).astype(np.float32),
        tuple(FORMS.values()),
        rng.integers(0, len(FORMS), count),
        np.array([leaf, leaf * rng.uniform(0.1, 1, count)]),
    )


def test_a_cylinder_across_the_middle_lets_beer_lambert_through():
    lines = fan(EYE, PANEL, rows=1, columns=1)  # one line, level, through the axis
    crowns = stand([[0, 0, 0]], [[4, 2, 0]], density=((0.5,), (0.1,)))
    assert picture(lines, crowns)[:, 0, 0, 0] == pytest.approx(
        [np.exp(-0.5 * 2), np.exp(-0.1 * 2)], rel=1e-5
    )


def test_a_sphere_off_the_axis_is_crossed_along_its_chord():
    lines = fan(EYE, PANEL, rows=1, columns=1)
    crowns = stand([[0.6, 0, 0]], [[3, 2, 1]], form="oval")  # radius 1, centre 2 m up
    assert picture(lines, crowns)[0, 0, 0, 0] == pytest.approx(np.exp(-0.5 * 1.6), rel=1e-5)


@pytest.mark.parametrize(
    ("foot", "share"),
    [([0, -10, 0], 0.5), ([0, 10, 0], 0.5), ([0, 12, 0], 0.0), ([0, -12, 0], 0.0)],
)
def test_only_leaf_between_eye_and_panel_counts(foot, share):
    lines = fan(EYE, PANEL, rows=1, columns=1)
    through = picture(lines, stand([foot], [[4, 2, 0]]))[0, 0, 0, 0]
    assert through == pytest.approx(np.exp(-0.5 * 2 * share), rel=1e-4)


def test_opaque_bodies_hide_the_share_of_the_panel_they_cover():
    # a 2 m wide cylinder seen from far away, straight on: the middle third of 6 m
    far = np.array([0.0, -1e4, 2.0])
    crowns = stand([[0, 9, 0]], [[4, 2, 0]], density=((OPAQUE_PER_M,),))
    blocked = blocked_share(fan(far, PANEL, rows=20, columns=300), crowns)
    assert blocked[0, 0] == pytest.approx(1 / 3, abs=0.004)


def test_where_crowns_overlap_the_denser_counts_once():
    lines = fan(EYE, PANEL, rows=1, columns=1)
    two = stand([[0, 0, 0], [0, 1, 0]], [[4, 2, 0], [4, 2, 0]], density=((0.5, 0.2),))
    # from -1 to 1 at 0.5, then from 1 to 2 at 0.2
    assert picture(lines, two)[0, 0, 0, 0] == pytest.approx(np.exp(-1.2), rel=1e-5)


def test_a_twin_in_the_same_place_changes_nothing():
    lines = fan(EYE, PANEL, rows=24, columns=32)
    one = stand([[0.3, 2, 0]], [[4, 3, 1]], form="rounded")
    two = stand([[0.3, 2, 0]] * 2, [[4, 3, 1]] * 2, form="rounded", density=((0.5, 0.5),))
    assert picture(lines, two) == pytest.approx(picture(lines, one), abs=1e-5)


@pytest.mark.parametrize("form", FORMS)
def test_every_form_agrees_with_the_march(form):
    lines = fan(np.array([0.5, -10, 1.7]), PANEL, rows=9, columns=12)
    crowns = stand([[0.4, 1.3, 0.1]], [[3.6, 5, 0.3]], form=form)
    assert picture(lines, crowns)[0, 0] == pytest.approx(
        march(lines, crowns, row=0, season=0), abs=0.004
    )


@pytest.mark.parametrize("form", ["pyramidal", "vase", "weeping", "upright", "fountain"])
def test_lines_steeper_than_the_sides_agree_with_the_march(form):
    roof = np.array([[-1.0, 2.5, -6], [1, 2.5, -6], [1, 2.5, 3], [-1, 2.5, 3]])
    lines = fan(np.array([0.1, 0.0, 9.0]), roof, rows=12, columns=8)
    crowns = stand([[0, 1.5, 0]], [[6, 2, 0.5]], form=form)
    assert picture(lines, crowns)[0, 0] == pytest.approx(
        march(lines, crowns, row=0, season=0), abs=0.004
    )


@pytest.mark.parametrize("seed", range(8))
def test_random_small_stands_agree_with_the_march(seed):
    rng = np.random.default_rng(seed)
    crowns = random_stand(rng, count=12, rows=2)
    lines = fan(np.array([0.5, -10, 1.7]), PANEL, rows=8, columns=12)
    blocked = blocked_share(lines, crowns)
    for row in range(2):
        for season in range(2):
            plain = 1 - march(lines, crowns, row=row, season=season, steps=1500).mean()
            assert blocked[season, row] == pytest.approx(plain, abs=0.02)


def test_blocks_of_rows_give_what_single_rows_give(monkeypatch):
    crowns = random_stand(np.random.default_rng(3), count=30, rows=7)
    lines = fan(EYE, PANEL, rows=10, columns=10)
    together = blocked_share(lines, crowns)
    monkeypatch.setattr("growth.rays.MOST_LINES", 250)
    assert blocked_share(lines, crowns) == pytest.approx(together, abs=1e-3)


def test_a_crown_taken_out_of_turn_is_not_lost():
    # the far crown is huge in the first row, so it is taken before the near one in both
    lines = fan(EYE, PANEL, rows=1, columns=1)
    crowns = Crowns(
        np.array([[0.0, 5, 0], [0, -5, 0]]),
        np.full((2, 2), 4, np.float32),
        np.array([[29, 2], [2, 2]], np.float32),
        np.zeros((2, 2), np.float32),
        tuple(FORMS.values()),
        np.full(2, list(FORMS).index("sheet")),
        np.full((1, 2), 0.5),
    )
    through = picture(lines, crowns)[0, :, 0, 0]
    assert through == pytest.approx([np.exp(-0.5 * 19.5), np.exp(-0.5 * 4)], rel=1e-4)


def test_walls_come_off_the_light_that_is_left():
    lines = fan(EYE, PANEL, rows=2, columns=2)
    nothing = stand([[50, 50, 0]], [[1, 1, 0]])
    static = np.array([[0.0, 0.0], [1.0, 0.5]])
    assert blocked_share(lines, nothing, static=static) == pytest.approx(1 - 1.5 / 4)


def test_small_far_crowns_keep_their_precision():
    eye = np.array([0.0, -100.0, 1.7])
    panel = np.array([[-0.3, 1, 0], [0.3, 1, 0], [0.3, 1, 0.5], [-0.3, 1, 0.5]])
    lines = fan(eye, panel, rows=20, columns=40)
    crowns = stand([[0, 0, 0]], [[0.4, 0.4, 0]], form="mounding", density=((1,),))
    plain = march(lines, crowns, row=0, season=0, steps=40000)
    assert picture(lines, crowns)[0, 0].mean() == pytest.approx(plain.mean(), abs=0.003)


def test_a_leaning_panel_is_refused():
    leaning = PANEL + np.array([[0, 0, 0], [0, 0, 0], [0, 1, 0], [0, 1, 0]])
    with pytest.raises(GrowthError, match="upright sides"):
        fan(EYE, leaning, rows=2, columns=2)
