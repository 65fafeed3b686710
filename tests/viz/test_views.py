"""Cameras: the document's eyes, the whole lot in the frame, the plan with north up."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from growth.stand import grow
from scenes.layout import Layout, lay_out
from scenes.reading import load
from scenes.solids import Part, Solid
from scenes.terrain import Terrain, grade
from viz.palette import afternoon
from viz.stage import tops_m
from viz.views import FILLED, Eye, eyes, hidden_share

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
TOPS = np.array([[2.5, 7.5, 16.0]])


@pytest.fixture(scope="module")
def yard() -> tuple[Terrain, Layout]:
    document = load(YARD)
    terrain = grade(document)
    return terrain, lay_out(document, terrain)


def seen(eye: Eye, points: np.ndarray) -> np.ndarray:
    """Places (n, 2) in a 16:9 picture, -1 to 1, by the pinhole's own sums."""
    ahead = np.subtract(eye.focal_m, eye.eye_m)
    ahead = ahead / np.linalg.norm(ahead)
    right = np.cross(ahead, eye.up)
    right /= np.linalg.norm(right)
    up = np.cross(right, ahead)
    to = points - np.array(eye.eye_m)
    half = np.tan(np.radians(eye.angle_deg / 2))
    deep = to @ ahead
    return np.stack([to @ right / deep / half, to @ up / deep / half * 16 / 9], axis=1)


def named(yard: tuple[Terrain, Layout], name: str) -> Eye:
    terrain, layout = yard
    return next(
        eye for eye in eyes(terrain, layout, afternoon(40.0), tops_m=TOPS) if eye.name == name
    )


def corners(terrain: Terrain) -> np.ndarray:
    xy = np.array([[0.0, 0], [12, 0], [12, 10], [0, 10]])
    return np.column_stack([xy, terrain.height_m(xy)])


def test_views_come_first_then_the_yard_and_the_plan(yard: tuple[Terrain, Layout]) -> None:
    names = [eye.name for eye in eyes(*yard, afternoon(40.0), tops_m=TOPS)]
    assert names == ["from the lane", "patio to the west", "Whole yard", "Plan"]


def test_a_view_looks_from_its_eye_at_its_panel(yard: tuple[Terrain, Layout]) -> None:
    """Eye and window by hand from the document: (8.7, -4), ground 9.8 there, 1.6 above it."""
    eye = named(yard, "from the lane")
    assert eye.eye_m == pytest.approx((8.7, -4, 11.4), abs=0.05)
    assert eye.focal_m == pytest.approx((8.75, 6, 12.1), abs=0.1)
    assert eye.angle_deg >= 40


def test_the_whole_panel_is_in_its_view(yard: tuple[Terrain, Layout]) -> None:
    for look in yard[1].looks:
        assert np.abs(seen(named(yard, look.name), look.panel_m)).max() < 1


def test_the_whole_yard_is_in_the_frame_and_fills_it(yard: tuple[Terrain, Layout]) -> None:
    places = seen(named(yard, "Whole yard"), np.concatenate([corners(yard[0]), TOPS]))
    assert np.abs(places).max() < 1
    assert np.ptp(places, axis=0).max() > 1.6


def test_the_grown_trees_of_the_whole_yard_are_not_cut_off_at_the_top(
    yard: tuple[Terrain, Layout],
) -> None:
    stand = grow(load(YARD), yard[1])
    eye = eyes(*yard, afternoon(40.0), tops_m=tops_m(stand))[-2]
    tops = stand.xyz_m + stand.height_m.expected[15][:, None] * [0, 0, 1]
    assert seen(eye, tops).max(axis=0)[1] == pytest.approx(FILLED, abs=0.02)


def test_a_lone_tree_beside_the_lot_moves_the_picture_aside(yard: tuple[Terrain, Layout]) -> None:
    """As much room is left on one side as on the other."""
    tops = np.array([[-40.0, 5.0, 12.0]])
    terrain, layout = yard[0], replace(yard[1], solids=())
    eye = eyes(terrain, layout, afternoon(40.0), tops_m=tops)[-2]
    across = seen(eye, np.concatenate([corners(terrain), tops]))[:, 0]
    assert across.min() == pytest.approx(-FILLED, abs=0.02)
    assert across.max() == pytest.approx(FILLED, abs=0.02)


def test_an_open_yard_is_seen_from_the_sunny_side(yard: tuple[Terrain, Layout]) -> None:
    terrain, layout = yard[0], replace(yard[1], solids=())
    for latitude, side in ((40.0, -1), (-40.0, 1)):
        eye = eyes(terrain, layout, afternoon(latitude), tops_m=TOPS)[-2]
        assert np.sign(eye.eye_m[1] - eye.focal_m[1]) == side


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Solid:
    part = Part("wall", np.array([low, high], dtype=float), np.zeros((0, 3), dtype=int))
    return Solid("house", "house", 0.0, (part,))


@pytest.mark.parametrize(("at", "framed"), [((2.0, 6.0), True), ((-30.0, 6.0), False)])
def test_a_tall_house_of_the_lot_is_in_the_frame_and_a_neighbour_s_is_not(
    yard: tuple[Terrain, Layout], at: tuple[float, float], framed: bool
) -> None:
    """A box 6 by 3 m wide and 14 m high, more than the lot's own 12 by 10 m leave room for."""
    low, high = np.array([*at, 10.0]), np.array([at[0] + 6, at[1] + 3, 24.0])
    terrain, layout = yard[0], replace(yard[1], solids=(box(tuple(low), tuple(high)),))
    eye = eyes(terrain, layout, afternoon(40.0), tops_m=TOPS)[-2]
    assert bool((np.abs(seen(eye, np.array([low, high]))) < 1).all()) == framed


def test_a_house_across_the_south_is_not_looked_over(yard: tuple[Terrain, Layout]) -> None:
    """A wall of a house as wide as the lot: from the south it hides, from the west it does not."""
    terrain, layout = yard[0], replace(yard[1], solids=(box((0, 0, 9), (12, 2, 18)),))
    south, west = np.array([1e-6, -0.8, 0.6]), np.array([-0.8, 1e-6, 0.6])
    assert hidden_share(terrain, layout, south) > 0.5  # a 7.5 m wall hides 10 m at 3 in 4
    assert hidden_share(terrain, layout, west) == 0
    eye = eyes(terrain, layout, afternoon(40.0), tops_m=TOPS)[-2]
    away = np.subtract(eye.eye_m, eye.focal_m)
    assert abs(away[0]) > abs(away[1])


def test_the_plan_shows_north_up(yard: tuple[Terrain, Layout]) -> None:
    places = seen(named(yard, "Plan"), corners(yard[0]))
    assert np.abs(places).max() < 1
    assert places[2, 1] > places[1, 1]  # the north-east corner above the south-east one
    assert places[1, 0] > places[0, 0]
