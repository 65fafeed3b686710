"""A picture tied to the yard: by hand, and beside Umeyama's equations written out with matrices."""

import math
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import scenes
from scenes.baseplan import tied
from scenes.pictures import picture_size, read_picture

SIDE_PX, SIDE_M = 100.0, 10.0
SQUARE = [(0, 100, 0, 0), (100, 100, 10, 0), (100, 0, 10, 10), (0, 0, 0, 10)]
"""A square of 100 pixels that is one of 10 m, upright: pixel y runs down, yard y up."""


def test_an_upright_picture():
    tie = tied(SQUARE)
    assert (tie.metres_a_pixel, tie.turn_deg) == pytest.approx((0.1, 0))
    assert tie.missed_m == pytest.approx(np.zeros(4), abs=1e-12)
    middle = tie.places_m(np.array([[50.0, 50.0], [75.0, 100.0]]))
    assert middle == pytest.approx(np.array([[5, 5], [7.5, 0]]))


def test_two_points_fix_scale_and_turn():
    """To the right in the picture is north, so that down is east."""
    tie = tied([(0, 0, 5, 5), (100, 0, 5, 15)])
    assert (tie.metres_a_pixel, tie.turn_deg, tie.misfit_m) == pytest.approx((0.1, 90, 0))
    assert tie.places_m(np.array([[0.0, 100.0]])) == pytest.approx(np.array([[15, 5]]))


def test_what_least_squares_leave():
    """One corner of the square is 0.4 m off. The middle follows by a quarter of it, scale and turn
    by another, so that the sum of squares left is half of 0.16, over four points."""
    tie = tied([*SQUARE[:2], (100, 0, 10.4, 10), SQUARE[3]])
    assert tie.misfit_m == pytest.approx(math.sqrt(0.08 / 4))
    assert tie.turned == pytest.approx(0.101 - 0.001j)
    assert int(tie.missed_m.argmax()) == 2


def umeyama(pixels, places):
    """Scale, rotation and shift by singular values: Umeyama (1991), eqs. 38-42."""
    middle, centre = pixels.mean(axis=0), places.mean(axis=0)
    covariance = (places - centre).T @ (pixels - middle) / len(pixels)
    u, d, v_transposed = np.linalg.svd(covariance)
    signs = np.diag([1.0, np.sign(np.linalg.det(u) * np.linalg.det(v_transposed))])
    rotation = u @ signs @ v_transposed
    scale = np.trace(np.diag(d) @ signs) / np.mean(np.sum((pixels - middle) ** 2, axis=1))
    return scale, rotation, centre - scale * rotation @ middle


@pytest.mark.parametrize("seed", range(5))
def test_umeyamas_equations(seed):
    random = np.random.default_rng(seed)
    pixels = random.uniform(0, 2000, (7, 2))
    upright = pixels * [1, -1]
    angle, scale = random.uniform(-3, 3), random.uniform(0.005, 0.1)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    places = scale * upright @ turn.T + random.uniform(-50, 50, 2) + random.normal(0, 0.3, (7, 2))
    tie = tied(np.column_stack([pixels, places]).tolist())
    theirs, rotation, shift = umeyama(upright, places)
    assert tie.metres_a_pixel == pytest.approx(theirs, rel=1e-9)
    assert tie.places_m(pixels) == pytest.approx(theirs * upright @ rotation.T + shift, abs=1e-8)


@pytest.mark.parametrize(("points", "said"), [
    ([(10, 10, 0, 0), (12, 13, 5, 5)], "one place of the picture; give points far apart"),
    ([(10, 10, 3, 3), (500, 10, 3.01, 3)], "one place of the yard; give points far apart"),
    ([(u, 100 - v, x, y) for u, v, x, y in SQUARE], "mirrored picture better.*exchanged"),
])  # fmt: skip
def test_points_that_tie_nothing(points, said):
    with pytest.raises(ValueError, match=said):
        tied(points)


def test_points_on_one_line_are_no_mirror():
    """They fit mirrored as well as upright; the picture is taken to be upright."""
    assert tied([(0, 0, 0, 0), (50, 0, 5, 0), (100, 0, 10, 0)]).turn_deg == pytest.approx(0)


YARD = """
title = "Base plan"
lengths = "ft"
[site]
boundary = [[0, 0], [40, 0], [40, 30], [0, 30]]
[ground]
points = [[0, 0, 10], [40, 0, 10], [40, 30, 10.5], [0, 30, 10]]
[base_plan]
picture = "plat.png"
points = [[0, 60, 0, 0], [80, 60, 40, "9 in"]]
"""


@pytest.fixture
def yard_file(tmp_path) -> Path:
    path = tmp_path / "yard.toml"
    path.write_text(YARD, encoding="utf-8")
    Image.new("RGB", (80, 60), "white").save(tmp_path / "plat.png")
    return path


def test_a_document_with_a_base_plan(yard_file):
    points = scenes.load(yard_file).base_plan.points
    assert points[1] == pytest.approx((80, 60, 40 * 0.3048, 0.75 * 0.3048))


def write_turned(path: Path) -> None:
    """A photo that lies on its side, with the camera's note of it."""
    photo = Image.new("RGB", (60, 80), "white")
    note = photo.getexif()
    note[0x0112] = 6
    photo.save(path, "JPEG", exif=note)


def test_a_photo_counts_as_it_is_seen(yard_file, tmp_path):
    write_turned(tmp_path / "plat.jpg")
    assert picture_size(tmp_path / "plat.jpg") == (80, 60)
    assert read_picture(tmp_path / "plat.jpg", most_px=40).size == (40, 30)


def test_what_shines_through_is_white(tmp_path):
    Image.new("RGBA", (4, 4), (255, 0, 0, 0)).save(tmp_path / "clear.png")
    assert read_picture(tmp_path / "clear.png", most_px=9).getpixel((1, 1)) == (255, 255, 255)


def claims(rows: int):
    """A small picture whose head says that it has so many rows of 10,000 pixels."""

    def spoil(path: Path) -> None:
        data = bytearray(path.read_bytes())
        data[16:24] = (10_000).to_bytes(4, "big") + rows.to_bytes(4, "big")
        data[29:33] = zlib.crc32(data[12:29]).to_bytes(4, "big")
        path.write_bytes(data)

    return spoil


@pytest.mark.parametrize(("spoil", "said"), [
    (lambda path: path.write_text("no picture"), "is no PNG or JPEG picture; save it as one"),
    (lambda path: path.write_bytes(path.read_bytes()[:20]), "is no PNG or JPEG picture"),
    (lambda path: Image.new("RGB", (80, 60)).save(path, "GIF"), "is no PNG or JPEG picture"),
    (claims(6_001), "has more than 60 million pixels; scan it coarser"),
    (claims(10_000), "has more than 60 million pixels"),
    (claims(50_000), "has more than 60 million pixels"),
    (lambda path: path.write_bytes(bytes(20_000_001)), "is larger than 20 MB"),
    (lambda path: path.unlink(), "is not there"),
])  # fmt: skip
def test_pictures_that_are_none(yard_file, spoil, said):
    spoil(yard_file.with_name("plat.png"))
    with pytest.raises(scenes.SceneError, match=f'base_plan.picture: "plat.png" {said}'):
        scenes.load(yard_file)


@pytest.mark.parametrize(("old", "new", "said"), [
    ('"plat.png"', '"../plat.png"', "leads out of the document's folder"),
    ('"plat.png"', '"plat.pdf"', "unknown type"),
    ("[80, 60, 40", "[81, 60, 40", r"points\[2\]: pixel \(81, 60\) lies outside the picture of 80"),
    ("[80, 60, 40", "[3, 60, 40", "points: are all at one place of the picture"),
    (', [80, 60, 40, "9 in"]', "", "points"),
])  # fmt: skip
def test_base_plans_that_are_wrong(yard_file, old, new, said):
    yard_file.write_text(YARD.replace(old, new), encoding="utf-8")
    with pytest.raises(scenes.SceneError, match=f"yard.toml: base_plan.*{said}"):
        scenes.load(yard_file)


def test_a_damaged_picture_is_said_to_be(yard_file):
    path = yard_file.with_name("plat.png")
    Image.effect_noise((80, 60), 50).save(path)
    path.write_bytes(path.read_bytes()[:1500])
    with pytest.raises(ValueError, match="is damaged; save the picture again"):
        read_picture(path, most_px=100)
