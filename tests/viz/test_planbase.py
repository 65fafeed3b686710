"""A base plan on paper: a spot of it lies where its points say, whatever the file."""

import base64
import io
import re
from datetime import date
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pytest
from PIL import Image, ImageDraw

import growth
import scenes
from viz.plan import Asked, plan
from viz.plandraw import DOTS_PER_INCH, as_pdf, as_png, as_svg

DAY = date(2027, 3, 1)
SPOT_M = (12.0, 21.0)
"""In the yard, on open ground."""

POINTS = {
    "as it is": "[[0, 600, 0, 0], [800, 600, 40, 0]]",  # 20 pixels a metre
    "turned": "[[0, 0, 0, 0], [800, 0, 0, 40]]",  # its right is the yard's north
    "no good fit": "[[0, 400, 0, 0], [400, 400, 10, 0], [400, 0, 10.4, 10], [0, 0, 0, 10]]",
}
AROUND_PX = 60
"""More than the spot is wide; whatever else is as dark lies farther off."""

PIXEL = {"as it is": (240, 180), "turned": (420, 240)}
"""Where the spot lies in the picture: x to the east is 20 pixels a metre from the left, and 600
less that from the top; turned, y to the north is from the left and x from the top."""


@pytest.fixture
def planned_of(tmp_path, tied_yard):
    def made(tie: str, **asked):
        photo = Image.new("RGB", (800, 600), "white")
        x, y = PIXEL.get(tie, (0, 0))
        ImageDraw.Draw(photo).rectangle((x - 10, y - 10, x + 10, y + 10), fill="black")
        photo.save(tmp_path / "plat.png")
        yard = tied_yard("plat.png", POINTS[tie])
        terrain = scenes.grade(yard)
        layout = scenes.lay_out(yard, terrain)
        stand = growth.grow(yard, layout)
        return plan(yard, terrain, layout, stand, Asked("A3", None, 5, "", DAY, **asked))

    return made


def spot_mm(made) -> np.ndarray:
    """Where the spot has to be on the sheet, from its lower left corner."""
    return made.frame.mm(np.array([SPOT_M]))[0]


def spot_lies(picture: Image.Image, at: tuple[float, float]) -> np.ndarray:
    """The middle of all as dark as a black spot printed lightly (255 less 45 %) near a place."""
    corner = np.array(at).astype(int) - AROUND_PX
    near = picture.convert("L").crop((*corner, *(corner + 2 * AROUND_PX)))
    rows, columns = np.nonzero(np.abs(np.asarray(near, int) - 140) <= 3)
    assert len(rows) > 50
    return corner + np.array([columns.mean() + 0.5, rows.mean() + 0.5])


@pytest.mark.parametrize("tie", ["as it is", "turned"])
def test_a_spot_lies_at_its_place_on_the_sheet(planned_of, tie):
    made = planned_of(tie)
    sheet = Image.open(io.BytesIO(as_png(made.pages[0])))
    across, down = spot_mm(made) * DOTS_PER_INCH / 25.4
    at = across, sheet.height - down
    assert spot_lies(sheet, at) == pytest.approx(at, abs=3)


def test_the_pdf_holds_it_in_the_same_place(planned_of):
    """As another PDF reader draws it."""
    made = planned_of("turned")
    with pdfplumber.open(io.BytesIO(as_pdf(made.pages, title="t", day=DAY))) as file:
        drawn = file.pages[0].to_image(resolution=DOTS_PER_INCH).original
    across, down = spot_mm(made) * DOTS_PER_INCH / 25.4
    at = across, drawn.height - down
    assert spot_lies(drawn, at) == pytest.approx(at, abs=3)


def test_the_svg_holds_it_in_the_same_place(planned_of):
    made = planned_of("turned")
    page = made.pages[0]
    text = as_svg(page, title="t", day=DAY)
    image = ElementTree.fromstring(text).find(".//{http://www.w3.org/2000/svg}image")
    inside = image.get("{http://www.w3.org/1999/xlink}href").partition("base64,")[2]
    drawn = Image.open(io.BytesIO(base64.b64decode(inside)))
    assert drawn.size == tuple(int(image.get(side)) for side in ("width", "height"))
    a, b, c, d, e, f = map(float, re.findall(r"-?[\d.]+", image.get("transform")))
    assert (b, c) == (0, 0)
    across, down = spot_mm(made) * 72 / 25.4
    at = (across - e) / a, (page.height * 72 / 25.4 - down - f) / d
    assert spot_lies(drawn, at) == pytest.approx(at, abs=3)


def test_its_misfit_is_told_in_the_notes_and_it_can_be_left_out(planned_of):
    def told(made) -> str:
        return " ".join(mark.text for mark in made.pages[0].frame if hasattr(mark, "text"))

    made = planned_of("no good fit")
    assert "Base plan, no survey: plat.png" in told(made)
    assert "at most by 0.20 m" in told(made)
    assert [mark.role for mark in made.pages[0].plan].count("base plan") == 1
    bare = planned_of("no good fit", base_plan=False)
    assert "plat.png" not in told(bare)
    assert "base plan" not in [mark.role for mark in bare.pages[0].plan]
