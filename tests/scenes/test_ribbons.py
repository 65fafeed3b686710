import numpy as np
import pytest

from scenes.ribbons import smoothed

INCH = 0.0254


def test_smoothing_keeps_both_ends_and_even_slopes():
    slope = np.linspace(3, 9, 40)
    np.testing.assert_allclose(smoothed(slope, spread=6.0), slope, atol=1e-12)
    rough = slope + np.random.default_rng(1).normal(0, 0.2, 40)
    even = smoothed(rough, spread=6.0)
    assert even[[0, -1]] == pytest.approx(rough[[0, -1]])
    assert np.diff(even, 2).std() < np.diff(rough, 2).std() / 10


SWALE = {"do": "swale", "centreline": [[10, 5], [10, 35]], "width": 3, "depth": 0.4}


def test_swale_across_level_ground_is_two_thirds_of_width_and_depth(graded_plane):
    earth = graded_plane(SWALE).earth
    assert earth.cut_m3 == pytest.approx(2 / 3 * 3 * 0.4 * 30, rel=0.02)
    assert earth.fill_m3 == 0


def test_swale_falls_along_its_line_whatever_the_ground_does(graded_plane):
    """Ground rises 1 % along it: starts 0.4 m down, falls 2 %, so 1.3 m down at its end."""
    terrain = graded_plane(SWALE | {"fall_percent": 2}, north=0.01)
    bottom = terrain.height_m([[10, 5.5], [10, 20], [10, 34.5]])
    np.testing.assert_allclose(bottom, 10.05 - 0.4 - 0.02 * np.array([0.5, 15, 29.5]), atol=1e-9)
    assert terrain.height_m([[10.75, 20]])[0] == pytest.approx(
        10.05 - 0.4 - 0.3 + 0.4 / 4, abs=0.01
    )


def test_swale_never_fills_low_ground(graded_plane):
    terrain = graded_plane(SWALE | {"fall_percent": 1}, north=-0.1)
    assert terrain.earth.fill_m3 == 0
    assert terrain.height_m([[10, 30]])[0] == pytest.approx(7.0)


def test_steps_tell_risers_and_treads(graded_plane):
    """Five risers over four treads of 12 in: 30 in rise, 48 in long."""
    steps = {"do": "steps", "centreline": [[10, 10], [10, 10 + 48 * INCH]], "width": 1.2,
             "risers": 5, "levels": [10, 10 + 30 * INCH], "batter": 0}  # fmt: skip
    terrain = graded_plane(steps)
    flight = terrain.shaped[0].flight
    assert flight.riser_m == pytest.approx(6 * INCH)
    assert flight.tread_m == pytest.approx(12 * INCH)
    assert flight.slope_percent == pytest.approx(62.5)
    wanted = 1.2 * 48 * INCH * 15 * INCH
    assert terrain.earth.fill_m3 == pytest.approx(wanted, rel=1e-3)


def test_steps_without_levels_join_the_ground_at_both_ends(graded_plane):
    steps = {"do": "steps", "centreline": [[10, 10], [10, 14]], "width": 1.2, "risers": 8}
    terrain = graded_plane(steps, north=0.25)
    assert terrain.shaped[0].flight.riser_m == pytest.approx(0.125)
    assert terrain.earth.cut_m3 + terrain.earth.fill_m3 < 1e-6


def test_a_surface_of_kind_ramp_has_a_landing_after_thirty_inches(graded_plane):
    """60 in over two runs of 30 ft at 1:12 and a landing of 5 ft between them."""
    foot = 12 * INCH
    ramp = {"name": "r", "kind": "ramp", "centreline": [[10, 5], [10, 5 + 65 * foot]], "width": 1.5,
            "levels": [10, 10 + 60 * INCH]}  # fmt: skip
    terrain = graded_plane(surface=[ramp])
    assert terrain.shaped[0].place == "surface[1]"
    flight = terrain.shaped[0].flight
    assert flight.runs == 2
    assert flight.slope_percent == pytest.approx(100 / 12)
    middle = terrain.height_m([[10, 5 + at * foot] for at in (15, 31, 32.5, 34, 50)])
    wanted = 10 + INCH * np.array([15, 30, 30, 30, 45])
    np.testing.assert_allclose(middle, wanted, atol=1e-6)


def test_a_ribbon_as_wide_as_the_world_is_graded_or_told_at_once(graded_plane):
    ribbon = {"do": "ribbon", "centreline": [[10, 5], [10, 35]], "width": 1e7, "batter": 0}
    terrain = graded_plane(ribbon)
    assert terrain.earth.cut_m3 == pytest.approx(0, abs=1e-6)


def test_a_swale_above_the_ground_is_told_with_its_place(graded_plane):
    """Ground falls 10 % along it, its bottom 1 %: highest above the ground at its end."""
    terrain = graded_plane(SWALE | {"fall_percent": 1}, north=-0.1)
    wanted = 'grading "op 1": the ground is lower than the swale\'s bottom near (10.0, 35.0)'
    assert terrain.notes == (wanted,)
    assert graded_plane(SWALE | {"fall_percent": 1}).notes == ()
