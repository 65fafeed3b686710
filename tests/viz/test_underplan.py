"""What the page is sent of a base plan: size, matrix and words, all known by hand."""

import io
from pathlib import Path

import pytest
from PIL import Image

from viz.underplan import LONGEST_PX, under_plan

TWO = "[0, 600, 0, 0], [800, 600, 40, 0]"
"""Twenty pixels a metre, the picture's lower left corner at the zero of the yard."""


@pytest.fixture
def yard_of(tmp_path, tied_yard):
    def made(points: str, size=(800, 600)):
        photo = Image.new("RGB", size, "white")
        notes = photo.getexif()
        notes[0x010E] = "taken at home"
        photo.save(tmp_path / "plat.jpg", exif=notes)
        return tied_yard("plat.jpg", f"[{points}]")

    return made


def test_the_matrix_takes_pixels_to_metres(yard_of):
    made = under_plan(yard_of(TWO))
    assert made["size"] == [800, 600]
    a, b, c, d, e, f = made["matrix"]
    assert (a, b, c, d, e, f) == pytest.approx((0.05, 0, 0, -0.05, 0, 30))
    assert made["words"] == (
        "plat.jpg: 50.00 m to 1,000 pixels, tied by 2 points, so that no misfit shows; "
        "a third would tell."
    )


def test_the_misfit_is_told_in_metres(yard_of):
    """The square of tests/scenes/test_baseplan.py, its sides 400 pixels: 0.14 m, and at the
    corner that is 0.4 m off half of that."""
    corners = "[0, 400, 0, 0], [400, 400, 10, 0], [400, 0, 10.4, 10], [0, 0, 0, 10]"
    words = under_plan(yard_of(corners))["words"]
    assert "4 points that it misses by 0.14 m (root mean square)" in words
    assert "at most by 0.20 m, at point 3" in words


def test_what_is_sent_is_small_and_says_nothing_of_the_camera(yard_of):
    made = under_plan(yard_of(TWO, size=(2 * LONGEST_PX, 600)))
    sent = Image.open(io.BytesIO(made["picture"]))
    assert (sent.size, made["size"]) == ((LONGEST_PX, 300), [2 * LONGEST_PX, 600])
    assert not sent.getexif()


def test_a_damaged_picture_is_told_in_its_place(yard_of):
    yard = yard_of(TWO)
    picture = Path(yard.path).with_name("plat.jpg")
    Image.effect_noise((800, 600), 90).convert("RGB").save(picture)
    picture.write_bytes(picture.read_bytes()[:4000])
    assert under_plan(yard) == {
        "words": "plat.jpg is damaged; save the picture again as PNG or JPEG."
    }


def test_without_a_base_plan_nothing_is_sent(yard_of):
    assert under_plan(yard_of(TWO).model_copy(update={"base_plan": None})) == {}
