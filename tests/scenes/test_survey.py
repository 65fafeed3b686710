"""Surveys in the trade's orders and units, where they lie, and levels that stand out."""

import os

import numpy as np
import pytest

from scenes.badlevels import off_neighbours_m
from scenes.errors import SceneError
from scenes.reading import load, read_survey
from scenes.terrain import grade

LOT = "[[0, 0], [9, 0], [9, 12], [0, 12]]"
POINTS = [[1, 2, 10], [8, 3, 11], [7, 11, 12.5]]


@pytest.fixture
def yard_of(tmp_path):
    """A yard whose survey holds the given text."""

    def make(text, *, ground="", site="", lengths="m", boundary=LOT):
        (tmp_path / "s.csv").write_text(text)
        (tmp_path / "yard.toml").write_text(
            f'title = "t"\nlengths = "{lengths}"\n[site]\nboundary = {boundary}\n{site}\n'
            f'[ground]\nsurvey = "s.csv"\ncell = 0.5\n{ground}\n'
        )
        return load(tmp_path / "yard.toml")

    return make


NEZD = "1,2,1,10,TOP\n2,3,8,11,TOP\n3,11,7,12.5,gnd\n"
ENZD = "1,1,2,10,TOP\n2,8,3,11,TOP\n3,7,11,12.5,gnd\n"


@pytest.mark.parametrize(
    ("text", "ground"),
    [
        (NEZD, 'columns = "number northing easting level code"'),
        (ENZD, 'columns = "point E N elevation desc"'),
        (ENZD.replace(",", "\t"), 'columns = "- x y z -"'),
        (ENZD.replace(",", " "), 'columns = "number easting northing level code"'),
        ("P,N,E,Z,D\n" + NEZD, ""),
        ("Point;Northing;Easting;Elevation;Description\n" + NEZD.replace(",", ";"), ""),
        ("pt no., easting (m), northing (m), level (m), desc\n" + ENZD, ""),
        ("Punkt,Hoch,Rechts,Level,Code\n" + NEZD, 'columns = "number y x z code"'),
        ("P,N,E,Z,D\n" + NEZD, 'columns = "number northing easting level code"'),
        ("z,code,y,date,x\n10,a,2,,1\n11,b,3,,8\n12.5,c,11,,7\n", ""),
        ("1,2,10,TOP\n8,3,11,\n7,11,12.5\n", ""),
        ('1,2,10,"kerb, top"\n8,3,11,kerb, foot\n7,11,12.5,12\n', ""),
        ("  1   2   10\n  8   3   11 TOP\n  7  11  12.5\n", ""),
        ("+1,2.,1e1\n8,3,11\n7,11,12.50\n", ""),
    ],
)
def test_a_survey_is_read_in_the_trade_s_orders(yard_of, text, ground):
    np.testing.assert_array_equal(read_survey(yard_of(text, ground=ground)).points_m, POINTS)


FIVE = '"number northing easting level code" or "number easting northing level code"'
HOSTILE = {
    "five columns": (NEZD, "", f"line 1: 5 columns without a header may be {FIVE}; write"),
    "four numbers": ("1,1,2,10\n2,8,3,11\n3,7,11,12\n", "", "line 1: 4 columns without a header"),
    "lettered numbers": ("A1,1,2,10\nA2,8,3,11\nA3,7,9,1\n", "", "4 columns without a header"),
    "six columns": ("1,5,2,5,10,5\n8,0,3,0,11,0\n", "", "has 6 values; write x, y, z with decimal"),
    "one column": ("1\n2\n3\n", "", "line 1: has 1 values"),
    "decimal commas": ("1,5;2;10\n8;3;11\n7;9;12\n", "", '"1,5" has a comma; write decimal points'),
    "header and columns differ": ("P,N,E,Z\n1,2,1,1\n", 'columns = "number x y z"', "the header"),
    "two names for one": ("x,E,y,z\n1,1,2,3\n", "", "x, E are two columns for one thing"),
    "header alone": ("x,y,z\n", "", "holds 0 points"),
    "nothing": ("", "", "holds 0 points; write rows"),
    "unknown column": (NEZD, 'columns = "number lat lon level"', '"lat" is no column; known are'),
    "column missing": (NEZD, 'columns = "number easting"', "y and z is missing"),
    "row too short": ("x,y,z\n1,2,3\n4,5\n", "", "line 3: has 2 values; write 3 to 3"),
    "row too long": ("x,y,z\n1,2,3\n4,5,6,7\n", "", "line 3: has 4 values"),
    "nan level": ("1,2,nan\n8,3,11\n7,11,12\n", "", 'line 1: "nan" is not a finite number'),
    "infinite": ("1,2,3\n8,3,1e999\n7,11,12\n", "", '"1e999" is not a finite number'),
    "huge": ("1,2,3\n8,3,1e200\n7,11,12\n", "", "1e\\+200 is longer than 100,000,000 m"),
    "underscore": ("1,2,3\n8,3,1_1\n7,11,12\n", "", '"1_1" is not a finite number'),
    "million points": ("1,2,3\n" * 1_000_000, "", "holds 1,000,000 rows; thin it to 400,000"),
    "twice the same": ("1,2,3\n" * 9, "", "holds 1 points; give three or more"),
    "long quote": ('"' + "a" * 300_000 + '",1,2\n1,2,3\n', "", "is not a finite number"),
    "long line": ("a," * 200_000, "", "the header names 200,001 columns; name 100 at most"),
    "upright face": (
        "1,2,3\n8,3,11\n7,11,12\n8,3.0001,19\n", "",
        r"line (2|4): less than a millimetre from s\.csv line (4|2), at another height",
    ),
    "bad code": (NEZD, 'breakline_codes = ["TOP1"]', '"TOP1" is no code; write one word'),
    "code not there": (
        "P,N,E,Z,D\n" + NEZD, 'breakline_codes = ["TOP", "TOE"]',
        'breakline_codes: no point has the code "TOE"',
    ),
    "far": ("900001,2,1\n900009,3,1\n900004,11,2\n", "", r"site\.origin: .* begins at 900001, 2"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_survey_is_told_in_one_line(yard_of, name):
    text, ground, words = HOSTILE[name]
    with pytest.raises(SceneError, match=words) as caught:
        read_survey(yard_of(text, ground=ground))
    assert all(line.startswith("yard.toml: ") for line in str(caught.value).splitlines())
    assert "; " in str(caught.value)


def test_a_pipe_is_no_survey(tmp_path, yard_of):
    yard = yard_of(NEZD)
    (tmp_path / "s.csv").unlink()
    os.mkfifo(tmp_path / "s.csv")
    with pytest.raises(SceneError, match="is not a regular file"):
        read_survey(yard)


def test_state_plane_coordinates_keep_a_millionth_of_a_metre(yard_of):
    far = "2100001.123456,700002.654321,110\n2100008,700003,111\n2100007,700011,112.5\n"
    yard = yard_of(far, site="origin = [2100000, 700000, 100]", ground='survey_lengths = "us-ft"')
    expected = np.array([[1.123456, 2.654321, 10], [8, 3, 11], [7, 11, 12.5]]) * 1200 / 3937
    np.testing.assert_allclose(read_survey(yard).points_m, expected, atol=1e-9)
    points = np.array([[6.0, 5.0]]) * 1200 / 3937
    # by hand: the plane through the three shots, at 6, 5
    plane = np.linalg.solve(np.column_stack([expected[:, :2], np.ones(3)]), expected[:, 2])
    height = grade(yard).height_m(points)[0]
    assert height == pytest.approx(plane @ [*points[0], 1], abs=1e-6)


ALL_OVER = "0,0,10\n9,0,11\n9,12,12\n0,12,11\n4,6,11\n"


def _in_unit(text, times):
    rows = [[float(value) * times for value in row.split(",")] for row in text.split()]
    return "\n".join(",".join(f"{value:.6f}" for value in row) for row in rows) + "\n"


@pytest.mark.parametrize(("times", "unit"), [(1 / 0.3048, "ft"), (1000, "mm"), (1, "m")])
def test_a_unit_that_was_mistaken_is_named(yard_of, times, unit):
    lengths = "ft" if unit == "m" else "m"
    lot = LOT if lengths == "m" else "[[0, 0], [29.5, 0], [29.5, 39.4], [0, 39.4]]"
    text = _in_unit(ALL_OVER, times)
    with pytest.raises(SceneError, match=rf'write survey_lengths = "{unit}", or "{lengths}"'):
        read_survey(yard_of(text, lengths=lengths, boundary=lot))
    said = yard_of(text, lengths=lengths, boundary=lot, ground=f'survey_lengths = "{unit}"')
    size_m = np.ptp(read_survey(said).points_m[:, :2], axis=0)
    np.testing.assert_allclose(size_m, [9, 12], atol=1e-5)
    as_is = yard_of(text, lengths=lengths, boundary=lot, ground=f'survey_lengths = "{lengths}"')
    assert len(read_survey(as_is).points_m) == 5


def test_swapped_coordinates_are_named(yard_of):
    east_west = "[[100, 0], [109, 0], [109, 12], [100, 12]]"
    text = "0,100,1\n0,109,1\n12,109,1\n12,100,2\n"
    with pytest.raises(SceneError, match=r"easting and northing.* seem to be swapped"):
        read_survey(yard_of(text, boundary=east_west))


def test_points_outside_the_lot_are_kept(yard_of):
    wide = "-40,-40,0\n60,-40,1\n60,60,2\n-40,60,1\n"
    survey = read_survey(yard_of(wide))
    assert len(survey.points_m) == 4


def _hillside(count, seed):
    rng = np.random.default_rng(seed)
    xy = rng.uniform(0, 60, (count, 2))
    z = 100 + 0.08 * xy[:, 0] + 1.5 * np.sin(xy[:, 1] / 12) + rng.normal(0, 0.02, count)
    return np.column_stack([xy, z])


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("count", "wrong_m"), [(40, 6), (400, 2)])
def test_one_bad_level_stands_out_and_no_other(seed, count, wrong_m):
    points = _hillside(count, seed)
    assert not off_neighbours_m(points).any()
    points[count // 2, 2] += wrong_m
    off_m = off_neighbours_m(points)
    assert np.flatnonzero(off_m).tolist() == [count // 2]
    assert off_m[count // 2] == pytest.approx(wrong_m, abs=1.0)


def test_a_kerb_and_a_wall_are_no_bad_levels():
    x, y = np.meshgrid(np.arange(0, 30, 2.0), np.arange(0, 30, 2.0))
    for step_m in (0.15, 1.5):
        points = np.column_stack([x.ravel(), y.ravel(), np.where(x > 15, step_m, 0).ravel()])
        assert not off_neighbours_m(points).any()


def test_a_bad_level_is_pointed_out_in_the_yard_s_notes(yard_of):
    x, y = np.meshgrid(np.arange(0, 13, 3), np.arange(0, 13, 3))
    rows = [f"{a},{b},{10 + 0.1 * a:.2f}" for a, b in zip(x.ravel(), y.ravel(), strict=True)]
    rows[12] = rows[12].replace("10.60", "16.00")
    terrain = grade(yard_of("\n".join(rows)))
    assert len(terrain.notes) == 1
    assert terrain.notes[0].startswith("s.csv line 13: its level is 5.4 m above the ground around")
    assert terrain.before_m.max() == pytest.approx(16.0)


def test_a_coded_kerb_holds_in_the_graded_yard(yard_of):
    """A bank of 2 m between two lines a metre apart, each of two shots, and shots beyond."""
    far = [f"{x},{y},{z},gnd" for y, z in ((0, 10), (12, 12)) for x in range(0, 10)]
    lines = ["0,5,10,TOE1", "0,6,12,TOP1", "9,6,12,TOP1 wall", "9,5,10,toe1"]
    ground = 'breakline_codes = ["TOP", "TOE"]'
    terrain = grade(yard_of("\n".join([*far, *lines]), ground=ground))
    x = np.arange(0.5, 9, 0.5)
    for y, level in ((0.5, 10), (4.5, 10), (5, 10), (5.5, 11), (6, 12), (11, 12)):
        heights = terrain.height_m(np.column_stack([x, np.full_like(x, y)]))
        np.testing.assert_allclose(heights, level, atol=1e-6)


def test_crossing_breaklines_are_told_with_both_lines_of_the_file(yard_of):
    text = "x,y,z,code\n0,5,10,A1\n9,5,10,A1\n4,0,12,B1\n4,12,12,B1\n"
    words = r"s\.csv line 2: .* crosses that from s\.csv line 4 2 m above or below it; give"
    with pytest.raises(SceneError, match=words):
        read_survey(yard_of(text, ground='breakline_codes = ["A", "B"]'))
