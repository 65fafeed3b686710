import numpy as np
import pytest

WALL = {"do": "wall", "line": [[10, 20], [30, 20]], "height": 1.0}


def test_a_wall_across_a_slope_holds_a_wedge(graded_plane):
    """Ground rises 20 % northwards: a level fill 1 m high runs back 5 m; half a square on 20 m."""
    terrain = graded_plane(WALL, north=0.2)
    assert terrain.earth.fill_m3 == pytest.approx(20 * 0.5 * 1.0 * 5.0, rel=2e-3)
    assert terrain.earth.cut_m3 == 0
    heights = terrain.height_m([[20, 19], [20, 21], [20, 24], [20, 26], [32, 21]])
    np.testing.assert_allclose(heights, [13.8, 15.0, 15.0, 15.2, 14.2], atol=1e-6)


def test_how_high_a_wall_stands_with_and_without_its_footing(graded_plane):
    (bare,) = graded_plane(WALL, north=0.2).walls
    assert bare.highest_m == pytest.approx(1.0, abs=1e-6)
    assert bare.with_footing_m is None
    (footed,) = graded_plane(WALL | {"footing": 0.45}, north=0.2).walls
    assert footed.with_footing_m == pytest.approx(1.45, abs=1e-6)
    assert (footed.place, footed.name, footed.line.length) == ("grading[1]", "op 1", 20.0)


def test_a_wall_with_a_level_top_is_highest_where_the_ground_is_lowest(graded_plane):
    """Ground 10 + 0.2 y - 0.02 x: at (30, 20) it is 13.4, the top 14.5."""
    wall = {"do": "wall", "line": [[10, 20], [30, 20]], "top": 14.5}
    (standing,) = graded_plane(wall, north=0.2, east=-0.02).walls
    assert standing.highest_m == pytest.approx(1.1, abs=1e-6)


def test_a_wall_at_a_cut_pad_brings_the_bank_back(graded_plane):
    """Level ground at 10, pad cut to 9 with sides 3:1; the wall on its north edge, top 10.

    Behind the wall the bank (a wedge of half 3 x 1 m) is filled again.
    """
    pad = {
        "do": "pad",
        "outline": [[10, 10], [30, 10], [30, 20], [10, 20]],
        "level": 9,
        "batter": 3,
    }
    wall = {"do": "wall", "line": [[10, 20], [30, 20]], "top": 10.0}
    alone, both = graded_plane(pad), graded_plane(pad, wall)
    assert alone.earth.cut_m3 - both.earth.cut_m3 == pytest.approx(20 * 1.5, rel=0.01)
    assert both.walls[0].highest_m == pytest.approx(1.0, abs=1e-6)
    assert both.clashes == ()
    np.testing.assert_allclose(both.height_m([[20, 19], [20, 21]]), [9, 10], atol=1e-6)


@pytest.mark.parametrize(("retains", "y"), [("left", 21), ("right", 19)])
def test_on_level_ground_the_document_says_which_side_is_held(graded_plane, retains, y):
    wall = WALL | {"height": 0.5, "retains": retains}
    terrain = graded_plane(wall)
    heights = terrain.height_m([[20, y], [20, 40 - y]])
    np.testing.assert_allclose(heights, [10.5, 10.0], atol=1e-9)


def test_a_closed_wall_is_a_raised_bed(graded_plane):
    ring = [[10, 10], [14, 10], [14, 12], [10, 12], [10, 10]]
    terrain = graded_plane({"do": "wall", "line": ring, "height": 0.6})
    assert terrain.earth.fill_m3 == pytest.approx(4 * 2 * 0.6, rel=1e-6)
    assert terrain.walls[0].highest_m == pytest.approx(0.6)


def test_fill_that_never_meets_the_ground_ends_in_a_bank(graded_plane):
    """On level ground it is level for ten times its height, then falls at the batter."""
    wall = WALL | {"height": 0.5, "retains": "left", "batter": 2}
    terrain = graded_plane(wall)
    assert terrain.earth.fill_m3 == pytest.approx(20 * (5 * 0.5 + 0.5 * 1 * 0.5), rel=2e-3)


def test_a_wall_that_holds_nothing_is_told(graded_plane):
    with pytest.raises(ValueError, match=r"grading\[1\]: the ground is as high on both sides"):
        graded_plane(WALL)


def test_a_wall_round_a_corner_holds_both_its_arms(graded_plane):
    """On level ground, fill inside the corner of two arms of 6 m, ten times 0.3 m deep.

    A square of 3 m at the corner belongs to both arms; the strips end square to the wall.
    The bank beyond runs out over 0.6 m: half of it counts, round the inner corner.
    """
    wall = {"do": "wall", "line": [[10, 16], [10, 10], [16, 10]], "height": 0.3,
            "retains": "left", "batter": 2}  # fmt: skip
    level_m2 = 6 * 3 + 3 * 3
    bank_m2 = (3 + 3) * 0.6 / 2 - 0.6**2 / 6
    terrain = graded_plane(wall, cell=0.125)
    assert terrain.earth.fill_m3 == pytest.approx(0.3 * (level_m2 + bank_m2), rel=0.01)
    assert terrain.height_m([[11, 11], [9.5, 9.5], [11, 9]]) == pytest.approx([10.3, 10, 10])


def test_a_wall_of_a_million_metres_is_told_and_at_once(graded_plane):
    with pytest.raises(ValueError, match=r"grading\[1\]: stands 1e\+06 m high; compare its top"):
        graded_plane({"do": "wall", "line": [[10, 20], [30, 20]], "top": 1e6}, north=0.1)


def test_fill_that_ends_in_a_bank_is_told(graded_plane):
    (note,) = graded_plane(WALL | {"height": 0.5, "retains": "left"}).notes
    assert note.startswith('grading "op 1": the fill behind the wall ends in a bank of its own')
    assert graded_plane(WALL, north=0.2).notes == ()


def test_a_raised_bed_on_a_slope_is_filled_from_top_to_top(graded_plane):
    """The wall's top follows the ground 0.6 m below it, so the fill is a layer of 0.6 m."""
    ring = [[10, 10], [30, 10], [30, 26], [10, 26], [10, 10]]
    terrain = graded_plane({"do": "wall", "line": ring, "height": 0.6}, north=0.05, east=0.02)
    assert terrain.earth.fill_m3 == pytest.approx(20 * 16 * 0.6, rel=1e-3)
    assert terrain.height_m([[20, 18]])[0] == pytest.approx(10 + 0.4 + 0.9 + 0.6, abs=1e-3)
    assert terrain.notes == ()
