"""Marks on paper: where ink lies and where it does not, in millimetres from the lower left."""

import io
from datetime import date
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pytest
from PIL import Image

from viz.plandraw import as_pdf, as_png, as_svg
from viz.planmarks import Area, Line, Page, Words

DAY = date(2027, 3, 1)
WIDE, HIGH, WINDOW = 60.0, 40.0, (10.0, 10.0, 50.0, 35.0)
DOTS_PER_MM = 200 / 25.4
WHOLE = np.array([[0, 0], [WIDE, 0], [WIDE, HIGH], [0, HIGH]])
SPIKE = np.array([[28.0, 15.0], [30.0, 30.0], [32.0, 15.0]])


def sheet(*plan, frame=()):
    return Page(WIDE, HIGH, WINDOW, plan, tuple(frame))


def ink(page):
    """How dark the paper is at a place in mm: 0 white, 1 black."""
    picture = Image.open(io.BytesIO(as_png(page))).convert("L")
    assert picture.size == pytest.approx((WIDE * DOTS_PER_MM, HIGH * DOTS_PER_MM), abs=1)

    def at(x, y):
        return 1 - picture.getpixel((int(x * DOTS_PER_MM), int((HIGH - y) * DOTS_PER_MM))) / 255

    return at


def test_the_plan_is_cut_off_at_its_window_and_the_frame_is_not():
    corner = np.array([[1, 1], [8, 1], [8, 8], [1, 8]])
    dark = ink(sheet(Area("a", (WHOLE,), fill="#000000"), frame=[Area("b", (corner,), "#000000")]))
    assert [dark(30, 20), dark(5, 5), dark(5, 20), dark(55, 20)] == [1, 1, 0, 0]
    assert [dark(9.8, 20), dark(10.2, 20), dark(49.8, 20), dark(50.2, 20)] == [0, 1, 1, 0]


def test_corners_of_areas_are_sharp_and_those_of_lines_round():
    """Half of 1 mm over the sine of half the corner, atan(2 / 15), are 3.8 mm beyond the tip."""
    area = ink(sheet(Area("a", (SPIKE,), edge=1.0)))
    line = ink(sheet(Line("l", SPIKE, 1.0)))
    assert [area(30, 32.0), area(30, 34.2)] == [1, 0]
    assert [line(30, 30.3), line(30, 31.0)] == [1, 0]


@pytest.mark.parametrize("width", [0.5, 2.0])
def test_dashes_are_as_long_as_they_say_however_thick_the_line(width):
    dark = ink(sheet(Line("l", np.array([[15.0, 20.0], [45.0, 20.0]]), width, (4.0, 2.0))))
    assert [round(dark(x, 20)) for x in (15.5, 18.5, 20, 21.5, 24.5, 26)] == [1, 1, 0, 1, 1, 0]


def test_an_area_has_holes_a_fill_that_lets_through_and_a_pattern():
    hole = np.array([[25, 15], [35, 15], [35, 25], [25, 25]])[::-1]
    dark = ink(sheet(Area("a", (WHOLE, hole), fill="#000000", opacity=0.4)))
    assert [dark(15, 15), dark(30, 20)] == pytest.approx([0.4, 0], abs=0.01)
    lined = ink(sheet(Area("a", (WHOLE,), hatch="---")))
    across = np.array([[lined(x, y) for x in (20, 40)] for y in np.arange(12, 33, 0.05)])
    assert across[:, 0].max() > 0.3
    assert (across[:, 0] == across[:, 1]).all()
    assert across.mean() < 0.2


def test_later_marks_lie_over_earlier_ones_and_words_have_their_backing():
    dark = ink(sheet(
        Area("a", (WHOLE,), fill="#000000"), Words("w", "ii", (30, 20), 4.0, "center", backed=True)
    ))  # fmt: skip
    assert dark(30, 20) == 0
    assert dark(20, 20) == 1


@pytest.mark.parametrize(("anchor", "share"), [("left", 0.0), ("center", 0.5), ("right", 1.0)])
def test_words_stand_at_their_anchor(anchor, share):
    """HHH in DejaVu Sans: strokes begin and end 0.1 of the letters' size inside the advance."""
    page = sheet(Words("w", "HHH", (30.0, 20.0), 3.0, anchor))
    read = pdfplumber.open(io.BytesIO(as_pdf([page], title="t", day=DAY))).pages[0]
    assert (float(read.width), float(read.height)) == pytest.approx((170.08, 113.39), abs=0.01)
    left, right = (min(c["x0"] for c in read.chars), max(c["x1"] for c in read.chars))
    assert (left + share * (right - left)) * 25.4 / 72 == pytest.approx(30.0, abs=0.3)
    assert read.chars[0]["size"] == pytest.approx(3.0 * 72 / 25.4 * 0.92, abs=0.01)
    assert read.chars[0]["matrix"][5] * 25.4 / 72 == pytest.approx(20.0, abs=0.01)


def test_marks_of_an_svg_carry_their_role():
    page = sheet(Area("bed", (WHOLE,), fill="#00ff00"), Words("label", "3 CM", (20, 20)))
    root = ElementTree.fromstring(as_svg(page, title="t", day=DAY))
    roles = [each.get("id") for each in root.iter() if each.get("id") in ("bed", "label")]
    assert roles == ["bed", "label"]
