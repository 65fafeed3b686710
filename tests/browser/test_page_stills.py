"""A browser that draws no picture: stills of the nearest year in its place, and what says so."""

import io
import re
from base64 import b64decode

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

STILLS = re.compile(r"stills of years 0, 1, 5 and 15\. Everything else works")


def picture(page) -> np.ndarray:
    """The still on the page, from its own address."""
    address = page.locator(".still").first.get_attribute("src")
    head, _, data = address.partition(",")
    assert head == "data:image/jpeg;base64"
    return np.asarray(Image.open(io.BytesIO(b64decode(data))).convert("RGB")).astype(int)


@pytest.mark.parametrize(("width", "height"), [(1400, 900), (390, 844)])
def test_the_nearest_years_still_stands_in_the_pictures_place(visit, small_yard, width, height):
    size = {"width": width, "height": height}
    flat = visit(small_yard, drawn=False, stills=True, viewport=size)
    page, caption, strip = flat.page, flat.page.locator(".caption"), flat.page.locator(".notice")
    expect(strip).to_contain_text(STILLS, timeout=90_000)
    assert strip.get_attribute("role") == "status"
    shown = {}
    for year, still in ((0, 0), (4, 5), (10, 5), (11, 15), (30, 15), (1, 1)):  # 10: the earlier
        flat.set_year(year)
        nearest = "" if year == still else rf" \(the nearest still to year {year}\)"
        expect(caption).to_have_text(
            re.compile(f"^Whole yard, year {still}{nearest}, June, in leaf")
        )
        shown[still] = picture(page)
    rows, columns, _ = shown[0].shape
    assert 900 <= columns <= 960
    assert columns / rows == pytest.approx(16 / 9, rel=2e-3)
    assert np.abs(shown[0] - shown[15]).mean() > 3  # it has grown
    assert shown[0].std() > 20

    box, over = page.locator(".view3d").bounding_box(), page.locator(".still").bounding_box()
    assert over == box
    assert strip.bounding_box()["y"] + strip.bounding_box()["height"] <= box["y"] + 0.5
    assert caption.bounding_box()["y"] >= box["y"] + box["height"] - 0.5
    assert page.locator(".view3d").get_attribute("aria-label").startswith("The yard, Whole yard, y")
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert Axe().run(page).violations_count == 0
    assert flat.complaints == []


def test_another_view_has_its_own_stills_and_says_so_until_they_are_drawn(visit, small_yard):
    flat = visit(small_yard, drawn=False, stills=True)
    page, name = flat.page, flat.page.locator(".caption b")
    expect(name).to_have_text("Whole yard, year 5", timeout=90_000)
    whole = picture(page)
    flat.pick("Plan")
    expect(page.locator(".notice")).to_contain_text("Drawing the still")
    expect(name).to_have_text("Whole yard, year 5")  # what is still shown
    expect(name).to_have_text("Plan, year 5", timeout=90_000)
    expect(page.locator(".notice")).to_contain_text(STILLS)
    assert np.abs(picture(page) - whole).mean() > 5
    flat.pick("Whole yard")  # kept
    expect(name).to_have_text("Whole yard, year 5", timeout=500)
    assert flat.complaints == []


def test_two_years_compared_are_two_stills(visit, small_yard):
    flat = visit(small_yard, drawn=False, stills=True)
    page = flat.page
    expect(page.locator(".notice")).to_contain_text(STILLS, timeout=90_000)
    flat.set_year(7)
    page.get_by_role("button", name="Compare").click()
    titles = page.locator(".pairtitle")
    expect(titles).to_have_text(["Year 7: still of year 5", "Year 15"])
    sources = page.locator(".still").evaluate_all("all => all.map((each) => each.src)")
    assert len(sources) == len(set(sources)) == 2
    page.get_by_role("radio", name="Before the work").check()
    expect(page.locator(".view3d.other")).to_have_text("There is no still of this.")
    assert Axe().run(page).violations_count == 0
    assert flat.complaints == []


def test_an_edit_has_the_stills_drawn_again(visit, serve_file, yard_file):
    flat = visit(serve_file(yard_file), drawn=False, stills=True)
    page = flat.page
    expect(page.locator(".notice")).to_contain_text(STILLS, timeout=90_000)
    flat.set_year(15)
    before = picture(page)
    text = yard_file.read_text(encoding="utf-8")
    yard_file.write_text(text.replace("at = [[2, 1.5], [3, 1.5]]", "at = [[2, 1.5]]"), "utf-8")
    expect(page.locator(".notice")).to_contain_text("Drawing the still", timeout=30_000)
    expect(page.locator(".notice")).to_contain_text(STILLS, timeout=90_000)
    assert np.abs(picture(page) - before).max() > 40  # a shrub is gone
    assert flat.complaints == []


def test_why_there_is_no_still_is_told_with_what_mends_it(visit, small_yard):
    """As the server answers on a machine without a graphics library (tests/viz)."""
    mistake = (
        "no graphics library can be used to draw (drawing ended with -11); apt install libegl1"
    )
    flat = visit(small_yard, drawn=False, answer={"mistake": mistake})
    said = flat.page.locator(".notice").inner_text()
    assert f"no 3D picture (WebGL is off), and no still can be drawn: {mistake}." in said
    assert not flat.page.locator(".still").is_visible()
    assert flat.page.locator(".caption b").inner_text() == "Whole yard"
