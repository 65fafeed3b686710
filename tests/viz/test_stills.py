"""Stills: sun and shadows known by hand or closed form, seasons, words, no graphics library."""

import ctypes
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import growth
import scenes
from growth.errors import GrowthError
from growth.seasons import autumn_months
from growth.stand import Stand
from scenes.document import Site, Yard
from viz import stillprocess
from viz.__main__ import main
from viz.palette import LUMINANCE, Light, afternoon, linear
from viz.shadows import DepthMap, lens_over, open_sky, sunlit
from viz.stage import Stage, compose
from viz.stillsheet import sheet
from viz.stillsun import (
    CHANNELS_UM,
    air_mass,
    light_at,
    lit_through_air,
    scattering,
    sun_angles_deg,
    usual_hour,
)  # fmt: skip
from viz.stillwords import Asked, caption, clock, height_band
from viz.tableau import Cards, Surface
from viz.tableaulight import (
    PIECE_M,
    WHOLE_M,
    cut_where_shadows_end,
    haze_share,
    shaded_surface,
    sunlit_cards,
)  # fmt: skip
from viz.tableauplants import leaf_colours, linear_of, nearest_drawing, planted, without_flowers

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
UP = (0.0, 0.0, 1.0)


@pytest.fixture(scope="module")
def site() -> Site:
    """A site at 45 degrees north on the meridian of Greenwich, +y to the north."""
    there = {"latitude_deg": 45.0, "longitude_deg": 0.0}
    return scenes.load(YARD).site.model_copy(update=there)


@pytest.fixture(scope="module")
def small() -> tuple[Yard, Stand, Stage]:
    yard = scenes.load(YARD)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return yard, stand, compose(yard, terrain, layout, stand)


# the sun


def test_noon_in_june_stands_where_the_declination_puts_it(site):
    """Height 90 - latitude + declination; Cooper 1969: 23.45 sin(360 (284 + day) / 365)."""
    declination_deg = 23.45 * np.sin(np.radians(360 * (284 + 166) / 365))
    height_deg, azimuth_deg = sun_angles_deg(site, month=6, hour=12)
    assert height_deg == pytest.approx(90 - site.latitude_deg + declination_deg, abs=0.3)
    assert azimuth_deg == pytest.approx(180, abs=2)


def test_the_sun_turns_with_the_yard(site):
    """Where +y looks east, the south, and the noon sun in it, lie towards +x."""
    turned = site.model_copy(update={"north_deg": 90.0})
    east, north, _ = light_at(turned, month=6, hour=12).towards
    assert east > 0.3
    assert abs(north) < 0.02


def test_a_night_is_refused_with_the_hours_that_have_sun(site):
    with pytest.raises(GrowthError, match="--hour 22: the sun is down; in January choose 8 to 16"):
        light_at(site, month=1, hour=22)


def test_air_mass_is_that_of_its_tables():
    """1 overhead; at 30 degrees half a percent from the secant's 2; 5.6 at 10 degrees."""
    assert air_mass(1.0) == pytest.approx(1.0, abs=1e-3)
    assert air_mass(0.5) == pytest.approx(2.0, rel=5e-3)
    assert air_mass(float(np.sin(np.radians(10)))) == pytest.approx(5.6, rel=0.01)


def test_clear_air_scatters_as_measured():
    """Rayleigh optical depth at 550 nm is 0.097 to 0.098 (Bucholtz 1995), and goes as the
    fourth power of frequency, a little more in the blue."""
    green, blue = scattering(np.array([0.55, 0.45]))
    assert green == pytest.approx(0.0975, abs=0.001)
    assert blue / green == pytest.approx((0.55 / 0.45) ** 4, rel=0.03)


def test_a_lower_sun_is_weaker_and_warmer_and_the_usual_one_is_unchanged():
    usual = afternoon(40.0)
    same = lit_through_air(usual, usual.towards)
    assert same.sun == pytest.approx(usual.sun)
    assert (same.exposure, same.sky) == (usual.exposure, usual.sky)
    low = lit_through_air(usual, (0.0, -0.98, 0.2))
    assert np.asarray(low.sun) @ LUMINANCE < np.asarray(usual.sun) @ LUMINANCE
    assert low.sun[0] / low.sun[2] > usual.sun[0] / usual.sun[2]
    assert low.exposure > usual.exposure
    assert len(CHANNELS_UM) == 3


def test_an_unnamed_hour_has_the_sun_behind_the_viewer(site):
    from_east, from_west = (20.0, 0.0, 2.0), (-20.0, 0.0, 2.0)
    assert usual_hour(site, from_east, (0, 0, 0), month=6) == 10
    assert usual_hour(site, from_west, (0, 0, 0), month=6) == 15
    polar = site.model_copy(update={"latitude_deg": 64.0})
    assert usual_hour(polar, from_west, (0, 0, 0), month=12) == 12


# shadows


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


# plants


def test_plants_stand_on_their_feet_as_high_and_wide_as_forecast(small):
    yard, _, stage = small
    for one in range(len(stage.kind)):
        alone = replace(stage, height_m=stage.height_m * (np.arange(len(stage.kind)) == one))
        cards = planted(alone, yard.site, year=5, month=7)
        if stage.height_m[5, one] == 0:
            assert len(cards.points_m) == 0
            continue
        top = cards.points_m[..., 2].max() - stage.foot_m[one, 2]
        assert top == pytest.approx(stage.height_m[5, one], rel=0.12)
        middle = cards.points_m.reshape(-1, 3)[:, :2]
        away = np.linalg.norm(middle - stage.foot_m[one, :2], axis=1).max()
        assert away == pytest.approx(stage.spread_m[5, one] / 2, rel=0.12)
        assert np.linalg.norm(cards.normals, axis=-1) == pytest.approx(1, abs=1e-3)


def test_autumn_leaves_have_their_autumn_colour(small):
    yard, _, stage = small
    turning = [
        k for k, p in enumerate(stage.plants) if 10 in autumn_months(p, yard.site.latitude_deg)
    ]
    assert turning
    colours = leaf_colours(stage, yard.site, month=10)
    for kind in turning:
        wanted = linear(stage.plants[kind].colour_autumn)
        assert colours[stage.kind == kind].mean(axis=0) == pytest.approx(wanted, rel=0.35)


def test_flowers_go_and_leaves_stay(small):
    _, _, stage = small
    flowering = [d.leaf for stages, p in zip(stage.kinds, stage.plants, strict=True)
                 for d in stages if p.colour_flower and p.kind == "shrub"]  # fmt: skip
    assert flowering
    for quads in flowering:
        plain = without_flowers(quads)
        lost = len(quads.points_m) - len(plain.points_m)
        assert 0 <= lost <= 60  # viz.foliage_woody.MOST_FLOWERS
        leaves = (quads.tint[:, 0, 3] < 0.5).sum()
        assert (plain.tint[:, 0, 3] < 0.5).sum() == leaves


def test_the_least_stretched_drawing_is_taken(small):
    stages = next(s for s in small[2].kinds if len(s) > 1)
    sizes = [np.array([getattr(d, name) for d in stages]) for name in ("height_m", "spread_m")]
    assert nearest_drawing(stages, *sizes).tolist() == list(range(len(stages)))


def test_screen_values_become_the_reflectance_they_came_from():
    assert linear_of(np.array([0x7F, 0x03, 0xFF], dtype=np.uint8)) == pytest.approx(
        linear("#7f03ff"), rel=1e-5
    )


def test_haze_begins_at_thirty_metres():
    near, edge, far = haze_share(np.array([5.0, 30.0, 2000.0]))
    assert near == edge == 0
    assert 0.8 < far < 1


# words


def test_captions_say_year_and_range(small):
    stand = small[1]
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


# the command


def _still(yard: Path, out: Path, *more: str) -> int:
    return main(["still", str(yard), "--width", "480", "--out", str(out), *more])


@pytest.fixture(scope="module")
def posts(tmp_path_factory) -> Path:
    """A bare level lot of 20 m with a box 4 m high on its middle."""
    path = tmp_path_factory.mktemp("posts") / "posts.toml"
    path.write_text(
        """
title = "Post"
lengths = "m"
[site]
latitude_deg = 45
longitude_deg = 0
hardiness_zone = 8
boundary = [[0, 0], [20, 0], [20, 20], [0, 20]]
planted = 2027-03-15
[ground]
cell = 0.5
points = [[0, 0, 0], [20, 0, 0], [20, 20, 0], [0, 20, 0]]
[[structure]]
name = "post"
kind = "box"
outline = [[9.5, 9.5], [10.5, 9.5], [10.5, 10.5], [9.5, 10.5]]
height = 4
""",
        encoding="utf-8",
    )
    return path


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
    assert not list(tmp_path.iterdir())


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
