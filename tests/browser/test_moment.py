"""Month strip and hour groove: what they show, their keys, and what follows them."""

import re

import pytest
from playwright.sync_api import expect

import scenes
from tests.browser.conftest import SMALL
from viz.suns import STEP_H, daylight_h

pytestmark = pytest.mark.browser

BAR_PX, LEAST_BAR = 30, 0.08
"""As in viz/moment.css and viz/js/moment.js."""


@pytest.fixture
def flat(shared_flat):
    shared_flat.page.set_viewport_size({"width": 1400, "height": 900})
    shared_flat.pick("June, in leaf")
    shared_flat.pick("Whole yard")
    shared_flat.set_year(15)
    shared_flat.settle()
    return shared_flat


def bars_px(page) -> list[float]:
    return page.locator(".months i").evaluate_all("all => all.map(e => e.offsetHeight)")


def test_twelve_months_say_their_leaf(flat):
    names = flat.page.locator(".months input").evaluate_all("all => all.map(e => e.ariaLabel)")
    assert [name.split(",")[0] for name in names][::5] == ["January", "June", "November"]
    assert [name for name in names if name.endswith(", bare")] == [
        f"{month}, bare" for month in ("January", "February", "March", "April", "November",
                                       "December")
    ]  # fmt: skip
    assert "October, autumn colour, in leaf" in names


def test_the_strip_is_as_high_as_the_leaf(flat):
    """All crowns in June; a bar that still can be seen where hardly a leaf is left."""
    high = bars_px(flat.page)
    assert high[5] == pytest.approx(BAR_PX, abs=1)
    assert high[0] < high[5] / 2
    assert min(high) >= LEAST_BAR * BAR_PX - 1


@pytest.mark.parametrize(("month", "name"), [(6, "June, in leaf"), (1, "January, bare")])
def test_the_hour_ends_at_sunrise_and_sunset(flat, month, name):
    flat.pick(name)
    rise, sunset = daylight_h(scenes.load(SMALL).site)[month - 1]
    slider = flat.page.locator("#hour")
    slider.press("Home")
    first = float(slider.input_value())
    slider.press("End")
    last = float(slider.input_value())
    assert rise <= first < rise + STEP_H
    assert sunset - STEP_H < last <= sunset
    flat.set_hour(15.5)


def test_keys_move_the_hour_and_it_is_said(flat):
    slider = flat.page.locator("#hour")
    flat.set_hour(12)
    slider.focus()
    slider.press("ArrowRight")
    assert float(slider.input_value()) == 12 + STEP_H
    said = slider.get_attribute("aria-valuetext")
    assert said.startswith("12:15 solar time, sun ")
    assert said.endswith("in the south")
    assert "Mean solar time" in flat.page.locator(".hourly").inner_text()


def test_arrows_move_the_month(flat):
    flat.page.get_by_role("radio", name="June, in leaf").focus()
    flat.page.keyboard.press("ArrowRight")
    assert flat.page.locator(".caption").inner_text().endswith("July, in leaf")


def test_an_hour_comes_back_after_a_shorter_day(flat):
    flat.set_hour(19)
    flat.pick("January, bare")
    assert float(flat.page.locator("#hour").input_value()) < 17.5
    flat.pick("June, in leaf")
    assert float(flat.page.locator("#hour").input_value()) == 19
    flat.set_hour(15.5)


def test_an_event_is_looked_at_in_its_season(flat):
    flat.pick("January, bare")
    flat.page.get_by_role("button", name=re.compile("^Kitchen screened: 50 %")).first.click()
    expect(flat.page.locator(".caption")).to_contain_text("June, in leaf")
    flat.pick("May, in leaf")
    flat.page.get_by_role("button", name=re.compile("^Kitchen screened: 50 %")).first.click()
    expect(flat.page.locator(".caption")).to_contain_text("May, in leaf")


@pytest.mark.parametrize("width", [1400, 800, 390])
def test_fingers_hit_every_month(flat, width):
    flat.page.set_viewport_size({"width": width, "height": 844})
    flat.settle()
    for box in flat.page.locator(".months label").all():
        assert box.bounding_box()["width"] >= 21
        assert box.bounding_box()["height"] >= 44
    assert flat.page.evaluate("document.documentElement.scrollWidth") == width
