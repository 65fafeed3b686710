"""Rows of new plants set on the plan: by mouse, by touch and by keys, one step and one table."""

import re

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from shapely.geometry import LineString

import scenes
from growth.plants import catalogue
from scenes.spacing import evenly_along

pytestmark = pytest.mark.browser

HOLLY = "Ilex glabra"
MADE = """(circles) => circles.map((each) =>
  ['cx', 'cy'].map((key) => Number(each.getAttribute(key))))"""
WHOLE = ((1.0, 5.0), (5.0, 5.0))
"""Open ground of the small yard."""

ROW = f"""[[planting]]
plant = "{HOLLY}"
size = "#5"
along = [[1, 5], [5, 5]]
spacing = 0.9
"""


def in_a_row(plan):
    """The holly armed, to be set in a row."""
    page = plan.page
    page.get_by_role("button", name="Add a plant").click()
    page.locator("#find-add").fill(HOLLY)
    item = page.locator("#hand-add .found li", has_text=HOLLY).first
    item.get_by_role("combobox").select_option("#5")
    item.get_by_role("button").click()
    page.get_by_label("In a row").check()


def pixel(plan, at) -> tuple[float, float]:
    """Where a place is in the window, by the two hydrangeas at (2, 1.5) and (3, 1.5)."""
    (x, y), scale = plan.feet()[5], plan.pixels_a_metre()
    return x + (at[0] - 2) * scale, y - (at[1] - 1.5) * scale


def write(page, **values) -> None:
    for name, value in values.items():
        page.locator(f"#row-{name}").fill(str(value))


def test_two_presses_set_a_row_as_one_table_and_one_step(plan_of, yard_file):
    before = yard_file.read_bytes()
    plan = plan_of(yard_file)
    page = plan.page
    in_a_row(plan)
    mature_m = sum(catalogue()[HOLLY].spread_m) / 2
    assert float(page.locator("#row-spacing").input_value()) == pytest.approx(mature_m, abs=0.01)
    write(page, spacing=0.9)
    for end in WHOLE:
        page.mouse.click(*pixel(plan, end))
    expect(page.locator(".count:visible")).to_have_text("4 plants, 1.00 m apart")  # 4 m / 0.9: 4.4
    assert page.locator(".sketch .tobe").count() == 4
    assert yard_file.read_bytes() == before  # shown, and not yet done
    plan.press("Plant the row")
    text = before.decode()
    assert yard_file.read_text(encoding="utf-8") == text.replace("[[view]]", f"{ROW}\n[[view]]", 1)
    expect(page.locator(".said")).to_contain_text(f"Planted 4 {HOLLY} in a row")
    assert page.locator(".sketch .tobe").count() == 0
    plan.press("Undo")
    assert yard_file.read_bytes() == before
    assert plan.visited.complaints == []


def test_what_is_sketched_is_what_the_document_sets(plan_of, yard_file):
    """By keys alone; 5 m at 2 m are two and a half plants, told as the even number, two."""
    plan = plan_of(yard_file)
    page = plan.page
    in_a_row(plan)
    for ends, spacing in (((1, 5, 6, 5), 2), ((1, 9, 1.5, 3.3), 0.7), ((1, 5, 1.2, 5), 3)):
        write(page, **dict(zip(("x0", "y0", "x1", "y1"), ends, strict=True)), spacing=spacing)
        line = LineString(np.reshape(ends, (2, 2)))
        places = evenly_along(line, spacing)
        plants = "1 plant" if len(places) == 1 else f"{len(places)} plants"
        words = f"{plants}, {line.length / len(places):.2f} m apart"
        expect(page.locator(".count:visible")).to_have_text(words)
        sketched = page.locator(".sketch .tobe").evaluate_all(MADE)
        assert np.array(sketched) == pytest.approx(places, abs=1e-6)
    assert not Axe().run(page).response["violations"]
    before = plan.told()
    page.locator("#row-spacing").press("Enter")
    plan.await_told(before)
    row = scenes.load(yard_file).planting[-1]
    assert (row.along, row.spacing) == (((1, 5), (1.2, 5)), 3)


def test_escape_takes_the_ends_back_and_stop_the_sketch(plan_of, yard_file):
    plan = plan_of(yard_file)
    page = plan.page
    in_a_row(plan)
    for end in WHOLE:
        page.mouse.click(*pixel(plan, end))
    assert page.locator(".sketch .tobe").count() > 0
    page.locator(".plan").press("Escape")
    assert page.locator(".sketch *").count() == 0
    assert page.locator("#row-x0").input_value() == ""
    page.mouse.click(*pixel(plan, WHOLE[0]))
    assert page.locator(".sketch .grip").count() == 1
    page.get_by_role("button", name="Stop").click()
    assert page.locator(".sketch *").count() == 0
    page.mouse.click(*pixel(plan, (2, 1.5)))  # presses choose again
    expect(page.locator(".hand h2")).to_contain_text(re.compile("hydrangea"))


def test_a_row_is_set_by_touch(plan_of, yard_file):
    plan = plan_of(yard_file, viewport={"width": 390, "height": 900}, has_touch=True)
    page = plan.page
    in_a_row(plan)
    write(page, spacing=1)
    page.evaluate("scrollTo(0, 0)")
    for end in WHOLE:
        page.touchscreen.tap(*pixel(plan, end))
    expect(page.locator(".count:visible")).to_contain_text("4 plants")
    plan.press("Plant the row")
    row = scenes.load(yard_file).planting[-1]
    assert (row.plant, row.spacing) == (HOLLY, 1)
    assert np.ravel(row.along) == pytest.approx(np.ravel(WHOLE), abs=0.06)
    assert plan.visited.complaints == []
