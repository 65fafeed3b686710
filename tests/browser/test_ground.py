"""The ground in the page of a small yard: layers, existing ground, contours, and a section.

The small yard's ground is z = 10 + y / 20; its pad at 10.25 m reaches from y = 3.5 to 6, so its
north edge is cut and its south edge filled by a few centimetres.
"""

import re

import pytest

pytestmark = pytest.mark.browser


@pytest.fixture
def ground(shared):
    """The page with the ground's controls open, the plan in view, nothing laid over."""
    shared.page.evaluate("window.scrollTo(0, 0)")
    controls = shared.page.locator("details.ground")
    if controls.get_attribute("open") is None:
        controls.locator("summary").click()
    shared.pick("Plan")
    shared.page.get_by_role("radio", name="Nothing").check()
    shared.pick("Proposed")
    shared.page.get_by_label("Contours").select_option("0")
    close = shared.page.get_by_role("button", name="Close", exact=True)
    if close.is_visible():
        close.click()
    shared.settle()
    yield shared
    assert shared.complaints == []


def key(yard) -> str:
    return yard.page.locator(".groundkey").inner_text()


def test_each_layer_has_its_key_and_the_picture_changes(ground) -> None:
    box = ground.page.locator(".view3d")
    bare = box.screenshot()
    for layer, words in (
        ("Slope", "your code governs"),
        ("Water", "roofs and soaking in are left out"),
        ("Beds closing", "expected growth"),
        ("Roots", "dig with care"),
        ("Cut and fill", "bank measure"),
    ):
        ground.page.get_by_role("radio", name=layer).check()
        ground.settle()
        assert words in key(ground)
    assert box.screenshot() != bare


def test_beds_closing_tells_each_class_with_its_share(ground, small_findings) -> None:
    """The key's shares are those of the findings' cells, worked out here without the classes."""
    (closing,) = small_findings.closing
    ground.page.get_by_role("radio", name="Beds closing").check()
    ground.settle()
    weight = closing.over.weight / closing.over.weight.sum()
    never = 100 * weight[closing.year == 31].sum()
    soon = 100 * weight[closing.year <= 2].sum()
    said = key(ground)
    assert f"not by year 30: {never:.0f} %" in said
    assert f"year 0 to 2: {soon:.0f} %" in said
    assert "expected growth" in said
    assert "lane bed: " in said  # read out with the key


def test_the_sun_is_reckoned_when_chosen_and_follows_the_year(ground) -> None:
    """Years are mapped at 0, 2, 5, 10, 15, 20 and 30: seven is nearest to five, nine to ten."""
    assert not any(url.endswith("/sun") for url in ground.requests)
    ground.set_year(7)
    ground.page.get_by_role("radio", name="Sun").check()
    words = ground.page.locator(".groundkey")
    words.get_by_text("Year 5", exact=True).wait_for(timeout=60_000)
    assert "expected growth" in words.inner_text()
    ground.set_year(9)
    words.get_by_text("Year 10", exact=True).wait_for()
    box = ground.page.locator(".view3d")
    ground.settle()
    later = box.screenshot()
    ground.set_year(0)
    words.get_by_text("Year 0", exact=True).wait_for()
    ground.settle()
    assert box.screenshot() != later


def test_contours_are_written_with_their_levels(ground) -> None:
    """The lot lies between 10 and 10.5 m: a contour each 0.1 m says so."""
    ground.page.get_by_label("Contours").select_option(label="every 0.1 m")
    ground.settle()
    shown = ground.page.locator(".groundlabels span.level:visible")
    levels = {float(text) for text in shown.all_inner_texts()}
    assert levels
    assert levels <= {round(9.5 + 0.1 * n, 1) for n in range(20)}
    assert "proposed, every 0.1 m" in key(ground)


def test_existing_ground_puts_away_what_is_planned(ground) -> None:
    ground.page.get_by_role("radio", name="Slope").check()
    ground.pick("Existing")
    ground.settle()
    assert "Existing ground" in key(ground)
    assert ground.page.get_by_role("radio", name="Nothing").is_checked()  # slope is of the plan
    ground.page.get_by_role("radio", name="Slope").check()
    assert ground.page.get_by_role("radio", name="Proposed").is_checked()


def test_a_section_between_named_places_follows_the_year(ground) -> None:
    """From the south side (6, 0) to the north side (6, 10): 10 m, from 10 to 10.5 m high."""
    page = ground.page
    page.get_by_role("button", name="Section", exact=True).click()
    page.get_by_label("From A", exact=True).select_option("south side")
    page.get_by_label("to B", exact=True).select_option("north side")
    ground.settle()
    drawing = page.locator(".sectionpicture svg")
    said = drawing.get_attribute("aria-label")
    assert said.startswith("Section from south side to north side, 10.0 m long.")
    page.locator(".section summary").click()
    rows = page.locator(".section tr").all()
    first, last = (row.locator("td").all_inner_texts() for row in (rows[1], rows[-1]))
    assert first[:2] == ["0.0", "10.00"]
    assert last[:2] == ["10.0", "10.50"]
    ground.set_year(0)
    ground.settle()
    young = drawing.inner_html()
    ground.set_year(30)
    ground.settle()
    assert drawing.inner_html() != young


def test_a_section_is_drawn_on_the_picture_and_moved_by_keys(ground) -> None:
    page = ground.page
    page.get_by_role("button", name="Section", exact=True).click()
    page.get_by_role("button", name="Draw it on the picture").click()
    page.evaluate("window.scrollTo(0, 0)")
    box = page.locator(".view3d").bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 0.45 * box["width"], middle)
    page.mouse.down()
    page.mouse.move(box["x"] + 0.55 * box["width"], middle, steps=4)
    page.mouse.up()
    ground.settle()
    drawing = page.locator(".sectionpicture svg")

    def long() -> float:
        return float(re.search(r"([\d.]+) m long", drawing.get_attribute("aria-label"))[1])

    drawn = long()
    assert 0.5 < drawn < 12
    page.get_by_role("button", name="End B of the section").press("ArrowRight")
    ground.settle()
    assert long() == pytest.approx(drawn + 1, abs=0.11)  # one metre east, along the line


def test_the_key_hides_nothing_of_a_narrow_picture(ground) -> None:
    """Below 760 px the key stands under the picture; beyond, on it."""
    page = ground.page
    wide = page.viewport_size
    ground.page.get_by_role("radio", name="Slope").check()

    def beside() -> bool:
        picture, words = (page.locator(each).bounding_box() for each in (".stage", ".groundkey"))
        return words["y"] >= picture["y"] + picture["height"]

    assert not beside()
    page.set_viewport_size({"width": 390, "height": 844})
    ground.settle()
    assert beside()
    page.set_viewport_size(wide)
    ground.settle()
    assert not beside()
