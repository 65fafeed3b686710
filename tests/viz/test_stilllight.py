"""Shadows, shade and haze of a still, known by hand."""

import numpy as np
import pytest

from viz.palette import Light
from viz.shadows import DepthMap, lens_over, open_sky, sunlit
from viz.tableau import Cards, Surface
from viz.tableaulight import (
    PIECE_M,
    WHOLE_M,
    cut_where_shadows_end,
    haze_share,
    shaded_surface,
    sunlit_cards,
)  # fmt: skip

UP = (0.0, 0.0, 1.0)


def _roof_map() -> DepthMap:
    """Seen from above: a roof 2 m over ground at z = 0 where x < 0, nothing elsewhere."""
    box = np.array([[-4.0, -4.0, 0.0], [4.0, 4.0, 2.0]])
    lens = lens_over(box, UP)
    size = 400
    x = ((np.arange(size) + 0.5) / size - 0.5) * 2 * lens.half_m * lens.right[0]
    roof, ground = lens.reach_m - 1.0, lens.reach_m + 1.0
    return DepthMap(lens, np.tile(np.where(x < 0, roof, ground), (size, 1)).astype(np.float32))


def test_under_a_roof_is_shade_and_beside_it_sun():
    seen = _roof_map()
    points = np.array([[-2.0, 0, 0], [2.0, 0, 0], [-2.0, 0, 2.0]])
    share = sunlit(seen, points, radius_m=0.3, bias_m=0.05)
    assert share.tolist() == [0, 1, 1]


def test_a_shadow_ends_softly_over_its_disc():
    seen = _roof_map()
    points = np.column_stack([np.zeros(400), np.linspace(-3, 3, 400), np.zeros(400)])
    share = sunlit(seen, points, radius_m=0.3, bias_m=0.05)
    assert share.mean() == pytest.approx(0.5, abs=0.05)


def test_light_fades_behind_the_first_leaf():
    seen = _roof_map()
    deep = np.array([[-2.0, 0, 2.0 - d] for d in (0.1, 0.65, 1.2)])
    share = sunlit(seen, deep, radius_m=0.1, bias_m=0.1, fade_m=0.55)
    assert share == pytest.approx(np.exp([0, -1, -2]), rel=0.02)


def test_open_ground_keeps_its_sky_and_that_under_a_roof_does_not():
    seen = _roof_map()
    grid = np.stack(np.meshgrid(np.linspace(-3, 3, 60), np.linspace(3, -3, 60)), -1)
    ground = np.dstack([grid, np.zeros((60, 60))])
    share = open_sky(seen, ground, 0.1)
    assert share[:, -5:].min() > 0.98
    assert share[:, :5].max() < 0.45
    assert np.all(np.diff(share[30]) > -0.01)


def test_a_face_is_cut_only_where_a_shadow_ends_and_loses_nothing():
    face = np.array([[[0, 0, 0], [4, 0, 0], [4, 4, 0]], [[0, 0, 0], [4, 4, 0], [0, 4, 0]]])
    pieces = cut_where_shadows_end(
        face.astype(np.float32), lambda corners: (corners[..., 0] > 1.0).astype(np.float32)
    )
    points = pieces[..., :3].astype(float)
    area = np.linalg.norm(
        np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0]), axis=1
    )
    assert area.sum() / 2 == pytest.approx(16, rel=1e-5)
    longest = np.linalg.norm(points - np.roll(points, 1, axis=1), axis=2).max(axis=1)
    mixed = np.ptp(pieces[..., 3], axis=1) > 0
    assert mixed.any()
    assert longest[mixed].max() <= PIECE_M
    assert WHOLE_M / 2 < longest.max() <= WHOLE_M
    assert np.array_equal(pieces[..., 3] == 1, pieces[..., 0] > 1.0)


def test_a_face_half_under_a_roof_has_both_its_colours():
    corners = np.array([[-3, -1, 0], [3, -1, 0], [3, 1, 0], [-3, 1, 0]], dtype=np.float32)
    bright, dark = np.full((4, 3), 200, dtype=np.uint8), np.full((4, 3), 80, dtype=np.uint8)
    up = np.tile(np.array(UP, dtype=np.float32), (4, 1))
    face = Surface(corners, np.array([[0, 1, 2], [0, 2, 3]]), bright, dark, up)
    made = shaded_surface(face, _roof_map())
    x = made.points_m[:, 0]
    assert np.all(made.colours[x < -0.2] == 80)
    assert np.all(made.colours[x > 0.2] == 200)


def test_leaves_under_a_roof_are_darker_than_beside_it():
    flat = np.array([[-0.1, 0, 0], [0.1, 0, 0], [0.1, 0.1, 0], [-0.1, 0.1, 0]], dtype=np.float32)
    aside = np.array([2, 0, 0], dtype=np.float32)
    points = np.stack([flat - aside, flat + aside])
    grey = np.full((2, 4, 3), 0.2, dtype=np.float32)
    up = np.broadcast_to(np.array(UP, dtype=np.float32), (2, 4, 3))
    cards = Cards(points, up, points[..., :2], grey, np.ones(2, dtype=np.float32), np.zeros(0))
    below, beside = sunlit_cards(cards, _roof_map(), Light(UP)).colours.astype(int)
    assert below.max() < 0.7 * beside.min()


def test_haze_begins_at_thirty_metres():
    near, edge, far = haze_share(np.array([5.0, 30.0, 2000.0]))
    assert near == edge == 0
    assert 0.8 < far < 1
