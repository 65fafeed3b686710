"""Ground and built things between an eye and its panel: by hand, and against another caster."""

from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

import scenes
from growth.obstacles import passing
from growth.rays import fan
from scenes.solids import Part, Solid, prism

EYE = np.array([0.0, 0.0, 2.0])
PANEL = np.array([[-4.0, 10, 0], [4, 10, 0], [4, 10, 4], [-4, 10, 4]])
LINES = fan(EYE, PANEL, rows=40, columns=40)


def flat(xy_m):
    return np.zeros(len(xy_m))


def wall(y, height, *, name="fence", open_share=0.0, x=(-9, 9)):
    outline = shapely.box(x[0], y - 0.02, x[1], y + 0.02)
    return Solid(name, "fence", open_share, (prism("fence", outline, low_m=-1, high_m=height),))


def test_nothing_between_hides_nothing():
    assert passing(LINES, [], flat, own=None).min() == 1


def test_a_fence_hides_what_its_shadow_reaches():
    # the line over 1.5 m at 5 m away meets the panel at 2 - 0.5 * 2 = 1 m: the lowest quarter
    left = passing(LINES, [wall(5, 1.5)], flat, own=None)
    assert left.mean(axis=1) == pytest.approx(np.repeat([0, 1], [10, 30]))


def test_an_open_fence_lets_its_share_through_once_for_both_faces():
    left = passing(LINES, [wall(5, 9, open_share=0.3)], flat, own=None)
    assert left == pytest.approx(0.3)


def test_two_fences_multiply():
    both = [wall(5, 9, open_share=0.3), wall(6, 9, open_share=0.5)]
    assert passing(LINES, both, flat, own=None) == pytest.approx(0.15)


@pytest.mark.parametrize("y", [-1, 10.5])
def test_what_stands_behind_eye_or_panel_hides_nothing(y):
    assert passing(LINES, [wall(y, 9)], flat, own=None).min() == 1


def test_the_own_wall_at_the_panel_does_not_hide_it():
    at_panel = [wall(9.9, 9, name="house")]
    assert passing(LINES, at_panel, flat, own="house").min() == 1
    assert passing(LINES, at_panel, flat, own=None).max() == 0


def test_own_glass_and_trim_do_not_hide_the_opening_but_the_own_roof_can():
    outline = shapely.box(-9, 8, 9, 8.1)
    for role, share in (("glass", 1), ("trim", 1), ("door", 1), ("roof", 0)):
        part = prism(role, outline, low_m=0, high_m=9)
        house = Solid("house", "house", 0.0, (part,))
        assert passing(LINES, [house], flat, own="house").mean() == share


def test_a_rise_in_the_ground_hides_what_lies_below_its_line():
    def ridge(xy_m):
        return np.where(np.abs(xy_m[:, 1] - 5) < 0.5, 1.5, 0.0)

    # hidden where the line dips below 1.5 m before 5.5 m: z < 2 - 0.5 * 10 / 5.5 = 1.09 m of 4 m
    left = passing(LINES, [], ridge, own=None)
    assert 1 - left.mean() == pytest.approx(1.09 / 4, abs=0.025)


def test_ground_just_below_a_level_line_is_no_obstacle():
    level = fan(np.array([0, 0, 0.05]), PANEL[:, :] * [1, 1, 0.025], rows=3, columns=3)
    assert passing(level, [], flat, own=None).min() == 1


def test_a_real_house_and_fence_hide_what_another_caster_finds():
    """Peer: trimesh with Embree on the same triangles."""
    yard = scenes.load(Path(__file__).parents[1] / "scenes" / "yards" / "small.toml")
    layout = scenes.lay_out(yard, scenes.grade(yard))
    panel = np.array([[-1.0, 14, 9], [13, 14, 9], [13, 14, 16], [-1, 14, 16]])
    lines = fan(np.array([5.0, -6.0, 11.7]), panel, rows=37, columns=41)
    opaque = [Solid(s.name, s.kind, 0.0, s.parts) for s in layout.solids]
    hidden = passing(lines, opaque, lambda xy: np.full(len(xy), -99.0), own=None) == 0
    parts: list[Part] = [part for solid in layout.solids for part in solid.parts]
    meshes = [trimesh.Trimesh(p.points_m, p.triangles, process=False) for p in parts]
    rays = np.stack([*np.broadcast_to(lines.across_m[:, None], (2, 37, 41)), lines.rise_m], -1)
    rays = rays.reshape(-1, 3)
    found, ray, _ = trimesh.util.concatenate(meshes).ray.intersects_location(
        np.broadcast_to(lines.eye_m, rays.shape), rays
    )
    along = ((found - lines.eye_m) * rays[ray]).sum(axis=1) / (rays[ray] ** 2).sum(axis=1)
    peer = np.zeros(len(rays), bool)
    peer[ray[along < 1]] = True
    assert 0.05 < hidden.mean() < 0.95
    assert (hidden.ravel() == peer).mean() > 0.998  # edges may fall to either side
