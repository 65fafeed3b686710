"""The command that draws stills: pictures, sheets, words, and no graphics library."""

import ctypes
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import scenes
from viz import stillprocess
from viz.__main__ import main
from viz.stillsheet import sheet
from viz.stillsun import (
    sun_angles_deg,
)  # fmt: skip
from viz.stillwords import Asked, caption, clock, height_band

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


def test_captions_say_year_and_range(small):
    stand = small.stand
    assert caption(stand, 0) == "Year 0, the day of planting: sizes as planted"
    low, high = height_band(stand, 10)
    assert low < 1 < high
    said = caption(stand, 10)
    assert said.startswith("Year 10: expected sizes; heights of 8 in 10 plants within ")
    assert f"{round(100 * low)} to {round(100 * high)} %" in said


def test_clock():
    assert (clock(9), clock(14.5), clock(23.999)) == ("9:00", "14:30", "24:00")


def test_a_sheet_is_as_wide_as_asked_and_holds_every_picture():
    asked = Asked((0, 1, 5), "Plan", 6, 15.0, 800)
    wide = asked.picture_width
    colours = ["#ff0000", "#00ff00", "#0000ff"]
    pictures = [Image.new("RGB", (wide, round(wide * 9 / 16)), colour) for colour in colours]
    made = sheet(
        pictures, ["a", "b", "c" * 400], title="T", heading="h", width=asked.width, gap=asked.gap
    )
    assert made.width == 800
    counted = {colour: count for count, colour in made.getcolors(1 << 20)}
    for colour in ((255, 0, 0), (0, 255, 0), (0, 0, 255)):
        assert counted[colour] == wide * round(wide * 9 / 16)


def _still(yard: Path, out: Path, *more: str) -> int:
    return main(["still", str(yard), "--width", "480", "--out", str(out), *more])


@pytest.fixture
def posts(graded_lot) -> Path:
    """A bare level lot of 20 m with a box 4 m high on its middle."""
    yard, _ = graded_lot(
        """
points = [[0, 0, 0], [20, 0, 0], [20, 20, 0], [0, 20, 0]]
[[structure]]
name = "post"
kind = "box"
outline = [[9.5, 9.5], [10.5, 9.5], [10.5, 10.5], [9.5, 10.5]]
height = 4
"""
    )
    return yard.path


@pytest.mark.parametrize("hour", [9, 15])
def test_a_shadow_falls_where_the_sun_puts_it(posts, tmp_path, hour):
    """Of a post 4 m high, h / tan(height) long and away from the sun; by hand in the plan."""
    out = tmp_path / "plan.png"
    assert _still(posts, out, "--year", "0", "--view", "plan", "--hour", str(hour)) == 0
    picture = np.asarray(Image.open(out).convert("L"), dtype=float)
    assert picture.shape == (270, 480)
    height_deg, azimuth_deg = sun_angles_deg(scenes.load(posts).site, month=6, hour=hour)
    long_m = 4 / np.tan(np.radians(height_deg))
    away = -np.array([np.sin(np.radians(azimuth_deg)), np.cos(np.radians(azimuth_deg))])
    metre = _pixels_a_metre(picture.shape[0])

    def tone(along_m: float) -> float:
        x, y = 240 + metre * along_m * away[0], 135 - metre * along_m * away[1]
        return float(picture[round(y) - 2 : round(y) + 3, round(x) - 2 : round(x) + 3].mean())

    lawn = np.mean([tone(-0.7 * long_m), tone(-long_m), tone(long_m + 1.5)])
    assert tone(0.7 * long_m) < 0.75 * lawn
    assert tone(long_m + 1.5) == pytest.approx(lawn, rel=0.12)


def _pixels_a_metre(high: int) -> float:
    """Scale of the plan at the ground: 20 m of depth take 20 / (2 x 0.53 x 20 + 4 x 9/16)."""
    return high / (2 * 0.53 * 20 + 4 * 9 / 16)


def test_years_make_one_sheet_with_its_words_inside(tmp_path, capsys):
    out = tmp_path / "years.png"
    assert _still(YARD, out, "--years", "0,9", "--month", "oct", "--hour", "11:30") == 0
    made = Image.open(out)
    assert made.width == 480
    words = made.info["Description"]
    for said in ("Whole yard", "October", "11:30 by the sun", "m above the ground"):
        assert said in words
    assert words in capsys.readouterr().out
    left, right = (np.asarray(made.convert("RGB"))[60:150, x : x + 200] for x in (10, 250))
    assert np.abs(left.astype(float) - right).mean() > 2  # nine years of growth
    assert [path.name for path in tmp_path.iterdir()] == ["years.png"]


def test_a_lot_with_nothing_on_it_has_a_picture_too(posts, tmp_path):
    bare = tmp_path / "bare.toml"
    bare.write_text(posts.read_text(encoding="utf-8").split("[[structure]]")[0], encoding="utf-8")
    assert _still(bare, tmp_path / "bare.png", "--year", "30") == 0
    colours = np.asarray(Image.open(tmp_path / "bare.png")).reshape(-1, 3).astype(int)
    assert np.median(colours[:, 1] - colours[:, 0]) > 5  # green


def test_an_unknown_view_is_answered_with_those_there_are(tmp_path, capsys):
    assert _still(YARD, tmp_path / "x.png", "--year", "1", "--view", "moon") == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith('--view "moon": is no view of this yard; choose one of ')
    assert line.endswith('"Whole yard", "Plan"')


def test_a_folder_that_is_not_there_is_told(posts, tmp_path, capsys):
    assert _still(posts, tmp_path / "no" / "x.png", "--year", "0") == 3
    assert "name a file in a folder that can be written" in capsys.readouterr().err


def test_without_a_graphics_library_the_package_is_named_and_nothing_crashes(
    posts, tmp_path, capsys, monkeypatch
):
    dies = "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)"
    monkeypatch.setattr(stillprocess, "DRAWING", (sys.executable, "-c", dies))
    assert _still(posts, tmp_path / "x.png", "--year", "0") == 3
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("still: no graphics library can be used to draw (drawing ended with -11")
    assert line.endswith(f"apt install {stillprocess.missing_package()}")
    assert list(tmp_path.iterdir()) == [posts]  # no picture beside it


def test_the_package_follows_from_the_library_that_is_missing(monkeypatch):
    def loads(*there: str):
        def load(name: str) -> None:
            if name not in there:
                raise OSError(name)

        monkeypatch.setattr(ctypes, "CDLL", load)
        return stillprocess.missing_package()

    assert loads("libGL.so.1") == "libegl1"
    assert loads("libEGL.so.1") == "libgl1"
    assert loads("libEGL.so.1", "libGL.so.1") == "libgl1-mesa-dri"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["--out", "a.png"], "one of the arguments --year --years is required"),
        (["--out", "a.jpg", "--year", "1"], "a.jpg is not a PNG picture"),
        (["--out", "a.png", "--year", "31"], "31 is not a year from 0 to 30"),
        (["--out", "a.png", "--years", "1,x"], "x is not a year from 0 to 30"),
        (["--out", "a.png", "--year", "1", "--month", "ju"], "ju is not a month"),
        (["--out", "a.png", "--year", "1", "--month", "13"], "13 is not a month"),
        (["--out", "a.png", "--year", "1", "--hour", "25"], "25 is not an hour"),
        (["--out", "a.png", "--year", "1", "--width", "5000"], "5000 is not a width"),
    ],
)
def test_a_wrong_argument_is_one_line(capsys, typed, said):
    with pytest.raises(SystemExit) as ended:
        main(["still", "yard.toml", *typed])
    assert ended.value.code == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert said in line


def test_a_person_stands_in_a_still_where_one_is_asked_for(posts, tmp_path, capsys):
    """Seen from above a person is a spot of half a metre, with a shadow as long as the sun says."""
    pictures = []
    for more in ([], ["--person"]):
        out = tmp_path / f"p{len(more)}.png"
        assert _still(posts, out, "--year", "0", "--view", "plan", "--hour", "12", *more) == 0
        pictures.append(np.asarray(Image.open(out).convert("RGB")).astype(int))
    assert capsys.readouterr().out.splitlines()[-1].endswith("; a person of 1.70 m")
    rows, columns = np.nonzero(np.abs(pictures[1] - pictures[0]).max(axis=2) > 20)
    metre = _pixels_a_metre(270)
    height_deg, _ = sun_angles_deg(scenes.load(posts).site, month=6, hour=12)
    reach_m = 1.7 / np.tan(np.radians(height_deg)) + 0.6
    assert 0.3 < np.ptp(columns) / metre < reach_m
    assert 0.3 < np.ptp(rows) / metre < reach_m
