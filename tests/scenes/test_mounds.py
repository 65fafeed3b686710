import numpy as np
import pytest
from shapely.geometry import Point

from scenes.mounds import wendland


def test_round_mound_is_a_third_of_area_times_height(graded_plane):
    """2 pi h R^2 times the integral of q (1 - q^2)^2, which is 1 / 6."""
    ring = Point(20, 20).buffer(6, quad_segs=64)
    mound = {"do": "mound", "outline": list(ring.exterior.coords)[:-1], "height": 1.2}
    earth = graded_plane(mound, east=0.03).earth
    assert earth.fill_m3 == pytest.approx(ring.area * 1.2 / 3, rel=2e-3)
    assert earth.cut_m3 == 0


def test_oblong_mound_has_the_volume_of_its_strips(graded_plane):
    """Strips at distance d to the edge are 2 (a + b) - 8 d long; with t = d / R, R = b / 2,
    the profile (2 t - t^2)^2 integrates to 8 / 15, and times t to 11 / 30."""
    mound = {"do": "mound", "outline": [[10, 10], [22, 10], [22, 18], [10, 18]], "height": 1.0}
    wanted = 4 * (2 * (12 + 8) * 8 / 15 - 8 * 4 * 11 / 30)
    assert graded_plane(mound).earth.fill_m3 == pytest.approx(wanted, rel=2e-3)


def test_mound_stands_its_height_above_the_ground_and_has_no_edge(graded_plane):
    mound = {"do": "mound", "outline": [[10, 10], [22, 10], [22, 18], [10, 18]], "height": 1.0}
    terrain = graded_plane(mound, north=0.1)
    heights = terrain.height_m([[16, 14], [14, 14], [16, 12], [16, 10.25], [16, 9.5]])
    ground = [11.4, 11.4, 11.2, 11.025, 10.95]
    risen = [1.0, 1.0, (1 - 0.5**2) ** 2, (1 - (1 - 0.25 / 4) ** 2) ** 2, 0.0]
    np.testing.assert_allclose(heights, np.add(ground, risen), atol=1e-6)


def test_a_spot_level_pulls_what_its_function_holds(graded_plane):
    """pi R^2 c / 7: twice pi R^2 times the integral of t (1 - t)^4 (4 t + 1), 1 / 14."""
    spot = {"do": "levels", "points": [[20, 20, 10.6]], "influence": 4}
    terrain = graded_plane(spot)
    assert terrain.earth.fill_m3 == pytest.approx(np.pi * 16 * 0.6 / 7, rel=2e-3)
    assert terrain.height_m([[20, 20], [24.5, 20]]) == pytest.approx([10.6, 10.0])


def test_every_spot_keeps_its_level_where_influences_overlap(graded_plane):
    points = [[15, 15, 12.0], [16, 15.5, 11.0], [17, 17, 12.5]]
    terrain = graded_plane({"do": "levels", "points": points}, east=0.1)
    at = np.array(points)
    assert terrain.height_m(at[:, :2]) == pytest.approx(at[:, 2], abs=1e-9)


def test_the_pull_is_one_at_its_spot_and_flat_at_both_ends():
    away = np.array([0.0, 1e-4, 0.5, 1.0, 3.0])
    np.testing.assert_allclose(wendland(away), [1.0, 1.0, 3 / 16, 0.0, 0.0], atol=1e-6)


def test_too_many_spots_are_sent_to_the_survey(graded_plane):
    points = [[k % 40, k // 40, 10] for k in range(1001)]
    with pytest.raises(ValueError, match=r"grading\[1\]: 1001 spot levels; write 1000 at most"):
        graded_plane({"do": "levels", "points": points})
