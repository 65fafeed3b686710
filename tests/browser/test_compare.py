"""Comparing: two pictures with one camera, each of its own year or of the yard before the work."""

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

SMALL_COPIES = """() => [...document.querySelectorAll('*')].flatMap(e => e.shadowRoot ?
  [...e.shadowRoot.querySelectorAll('canvas.sheet')] : []).map(sheet => {
    const small = new OffscreenCanvas(96, 54), pen = small.getContext('2d');
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(sheet, 0, 0, 96, 54);
    return [...pen.getImageData(0, 0, 96, 54).data];
  })"""


def compare(visited):
    """The page with Compare pressed."""
    button = visited.page.get_by_role("button", name="Compare", exact=True)
    if button.get_attribute("aria-pressed") == "false":
        button.click()
    visited.settle()
    return visited.page


def leave(visited):
    button = visited.page.get_by_role("button", name="Compare", exact=True)
    if button.get_attribute("aria-pressed") == "true":
        button.click()
    visited.settle()


def set_other(visited, year: float) -> None:
    """As a drag of the second thumb does."""
    visited.page.locator("#otheryear").evaluate(
        "(e, y) => { e.value = y; e.dispatchEvent(new Event('input')); }", year
    )


def sheets(visited) -> np.ndarray:
    """Both pictures, small, (2, pixel, 4), once neither changes any more."""
    last = None
    for _ in range(20):
        visited.settle()
        now = np.array(visited.page.evaluate(SMALL_COPIES), dtype=int).reshape(2, -1, 4)
        if last is not None and np.array_equal(now, last):
            return now
        last = now
        visited.page.wait_for_timeout(800)
    raise AssertionError("the pictures do not come to rest")


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """Share of pixels that differ clearly."""
    return float((np.abs(one - other).max(axis=1) > 24).mean())


ALIKE, UNLIKE = 0.005, 0.02


def at_the_start(visited):
    visited.page.set_viewport_size({"width": 800, "height": 600})
    visited.pick("June, in leaf")
    visited.pick("Whole yard")
    visited.set_year(5)
    visited.settle()


@pytest.fixture
def yard(shared):
    """The page with its picture at year 5; left single."""
    at_the_start(shared)
    yield shared
    leave(shared)


@pytest.fixture
def flat(shared_flat):
    """The page without WebGL at year 5; left single."""
    at_the_start(shared_flat)
    yield shared_flat
    leave(shared_flat)
    shared_flat.page.set_viewport_size({"width": 800, "height": 600})


@pytest.mark.parametrize(("width", "aside"), [(1400, True), (390, False)])
def test_two_pictures_stand_side_by_side_or_one_above_the_other(visit, small_yard, width, aside):
    flat = visit(small_yard, drawn=False, viewport={"width": width, "height": 844})
    page = compare(flat)
    one, other = (page.locator(".view3d").nth(i).bounding_box() for i in (0, 1))
    assert (one["width"], one["height"]) == (other["width"], other["height"])
    if aside:
        assert other["y"] == one["y"]
        assert other["x"] == pytest.approx(one["x"] + one["width"] + 4, abs=1)
    else:
        assert other["x"] == one["x"] == 0
        assert other["y"] == pytest.approx(one["y"] + one["height"] + 4, abs=1)
        assert one["width"] == 390
    assert page.locator(".pairtitle").all_inner_texts() == ["Year 5", "Year 15"]
    lines = page.locator(".pairtitle").evaluate_all(
        "all => all.map(e => getComputedStyle(e).textDecorationStyle)"
    )
    assert lines == ["solid", "dashed"]
    assert page.evaluate("document.documentElement.scrollWidth") == width


def test_each_picture_shows_its_own_year(yard):
    compare(yard)
    set_other(yard, 15)
    five, fifteen = sheets(yard)
    assert apart(five, fifteen) > UNLIKE
    yard.set_year(15)
    one, other = sheets(yard)
    assert apart(one, other) < ALIKE
    assert apart(other, fifteen) < ALIKE
    set_other(yard, 5)
    one, other = sheets(yard)
    assert apart(one, fifteen) < ALIKE
    assert apart(other, five) < ALIKE
    assert yard.page.locator(".pairtitle").all_inner_texts() == ["Year 15", "Year 5"]


@pytest.mark.parametrize("box", [0, 1])
def test_whichever_picture_is_turned_both_turn(yard, box):
    page = compare(yard)
    set_other(yard, 5)
    before = sheets(yard)
    page.locator(".view3d").nth(box).focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowUp", "+", "Shift+ArrowLeft"):
        page.keyboard.press(key)
    one, other = sheets(yard)
    assert apart(one, before[0]) > UNLIKE
    assert apart(one, other) < ALIKE
    yard.pick("From the lane")
    lane, other = sheets(yard)
    assert apart(lane, one) > UNLIKE
    assert apart(lane, other) < ALIKE
    page.keyboard.press("Home")


def test_both_pictures_share_one_drawing_context(visit, small_yard):
    """Contexts are counted as they are asked for; thumbnails and atlas need none."""
    visited = visit(small_yard)
    visited.page.evaluate(
        """() => { window.made = 0; const get = HTMLCanvasElement.prototype.getContext;
        HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
          if (kind === 'webgl2' && this.isConnected) window.made += 1;
          return get.call(this, kind, ...rest); } }"""
    )
    compare(visited)
    sheets(visited)
    assert visited.page.evaluate("window.made") == 0
    assert visited.page.locator(".view3d canvas:not(.sheet)").count() == 1
    assert visited.complaints == []


def test_the_season_is_that_of_both(yard):
    compare(yard)
    set_other(yard, 5)
    leaf = sheets(yard)[1]
    yard.pick("January, bare")
    one, other = sheets(yard)
    assert apart(other, leaf) > UNLIKE
    assert apart(one, other) < ALIKE


def test_before_the_work_stand_only_the_plants_that_stay(visit, small_yard):
    visited = visit(small_yard)
    page = compare(visited)
    visited.set_year(0)
    set_other(visited, 0)
    planted, alike = sheets(visited)
    assert apart(planted, alike) < ALIKE
    page.get_by_role("radio", name="Before the work").check()
    now, before = sheets(visited)
    assert apart(now, planted) < ALIKE
    assert apart(before, planted) > UNLIKE
    assert page.locator(".pairtitle").all_inner_texts() == ["Year 0", "Before the work"]
    assert page.locator("#otheryear").count() == 0
    assert page.locator(".second").count() == 0
    assert "before the work" in page.locator(".view3d").nth(1).get_attribute("aria-label")
    page.get_by_role("radio", name="A year").check()
    _, again = sheets(visited)
    assert apart(again, planted) < ALIKE
    assert visited.complaints == []


def test_keys_move_the_second_year(flat):
    page = compare(flat)
    set_other(flat, 15)
    other = page.get_by_role("slider", name="Second year")
    other.focus()
    pressed = [
        ("ArrowRight", "16"), ("Shift+ArrowRight", "16.1"), ("PageUp", "21.1"),
        ("PageDown", "16.1"), ("End", "30"), ("ArrowRight", "30"), ("Home", "0"),
    ]  # fmt: skip
    for key, year in pressed:
        page.keyboard.press(key)
        assert other.input_value() == year, key
    assert other.get_attribute("aria-valuetext") == "Year 0, second picture"
    assert flat.year == 5


@pytest.mark.parametrize("width", [1400, 390])
def test_the_second_thread_stands_at_the_second_thumb(flat, width):
    flat.page.set_viewport_size({"width": width, "height": 844})
    page = compare(flat)
    flat.page.wait_for_timeout(200)  # the track lays itself out anew
    set_other(flat, 20)
    groove = page.locator(".groove").bounding_box()
    expected = groove["x"] + 11 + 20 / 30 * (groove["width"] - 22)
    thread = page.locator(".thread.other").bounding_box()
    assert thread["x"] + 1 == pytest.approx(expected, abs=1)
    for chart in page.locator(".chart").all():
        line = chart.evaluate(
            "e => e.getBoundingClientRect().x + "
            "new DOMMatrix(getComputedStyle(e, '::after').transform).m41"
        )
        assert line == pytest.approx(expected, abs=1)
        look = chart.evaluate("e => getComputedStyle(e, '::after').borderLeftStyle")
        assert look == "dashed"


def test_a_drag_of_either_thumb_moves_its_own_year(flat):
    flat.page.set_viewport_size({"width": 1400, "height": 844})
    page = compare(flat)
    set_other(flat, 15)
    page.locator(".groove").scroll_into_view_if_needed()
    groove = page.locator(".groove").bounding_box()

    def at(year: float) -> float:
        return groove["x"] + 11 + year / 30 * (groove["width"] - 22)

    middle = groove["y"] + groove["height"] / 2
    for start, end, years in ((15, 25, (5, 25)), (5, 10, (10, 25)), (0, 3, (3, 25))):
        page.mouse.move(at(start), middle)
        page.mouse.down()
        page.mouse.move(at(end), middle, steps=4)
        page.mouse.up()
        other = float(page.locator("#otheryear").input_value())
        assert (flat.year, other) == pytest.approx(years, abs=0.2)


def test_figures_of_both_years_are_those_of_the_findings(flat, small_findings):
    page = compare(flat)
    set_other(flat, 10)
    expected = [small_findings.coverage[0].fraction]
    # evergreen screens: leaf and bare are one course
    expected += [each.fraction_blocked for each in small_findings.screening[::2]]
    expected.append(small_findings.canopy.fraction)
    shown = page.locator(".value").evaluate_all(
        "all => all.map(e => [...e.querySelectorAll('b')].map(b => b.textContent))"
    )
    both = [[f"{round(100 * each.expected[y])}\u00a0%" for y in (5, 10)] for each in expected]
    assert shown == both
    assert page.locator(".pairhead .values span").all_inner_texts() == ["Year 5", "Year 10"]
    leave(flat)
    assert page.locator(".value b").count() == len(expected)
    assert page.locator(".pairhead").count() == 0


def test_leaving_gives_the_single_picture_back(yard):
    before = yard.rested()
    compare(yard)
    sheets(yard)
    leave(yard)
    assert yard.page.locator(".view3d").count() == 1
    assert yard.page.locator(".sheet, .pairtitle, #otheryear, .thread.other").count() == 0
    after = yard.rested()
    assert after.shape == before.shape
    assert (np.abs(after - before).max(axis=2) > 30).mean() < 0.001
    assert yard.complaints == []


def test_steps_of_either_year_send_nothing(visit, small_yard):
    visited = visit(small_yard, drawn=False)
    compare(visited)
    visited.page.evaluate(
        """() => { window.sent = 0; const send = WebSocket.prototype.send;
        WebSocket.prototype.send = function (...all) {
          window.sent += 1; return send.apply(this, all); } }"""
    )
    asked = len(visited.requests)
    for year in (3, 9.5, 22):
        visited.set_year(year)
        set_other(visited, 30 - year)
        visited.settle()
    assert visited.page.evaluate("window.sent") == 0
    assert len(visited.requests) == asked


@pytest.mark.parametrize("width", [1400, 390])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(flat, width, scheme):
    flat.page.set_viewport_size({"width": width, "height": 844})
    flat.page.emulate_media(color_scheme=scheme)
    try:
        page = compare(flat)
        found = Axe().run(page).response["violations"]
        assert [(each["id"], each["nodes"][0]["html"][:120]) for each in found] == []
    finally:
        flat.page.emulate_media(color_scheme="light")


def test_a_lost_picture_comes_back_as_two(visit, small_yard):
    visited = visit(small_yard)
    page = compare(visited)
    before = sheets(visited)
    page.locator(".view3d canvas:not(.sheet)").evaluate(
        "e => { const lose = e.getContext('webgl2').getExtension('WEBGL_lose_context');"
        " lose.loseContext(); setTimeout(() => lose.restoreContext(), 200); }"
    )
    page.wait_for_timeout(600)
    page.locator(".view3d[data-ready=true]").first.wait_for(timeout=30_000)
    page.wait_for_timeout(1000)
    after = sheets(visited)
    assert apart(after[0], before[0]) < ALIKE
    assert apart(after[1], before[1]) < ALIKE
