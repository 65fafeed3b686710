"""The page of a small yard in a real browser: years, views, picture, charts, quiet line."""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

pytestmark = pytest.mark.browser

NOW = np.array([0x74, 0x09, 0x4B])
"""Colour of thread and thumb in the light scheme (token `now`)."""

VIEWS = ["From the lane", "Patio to the west", "Whole yard", "Plan"]


def pixels(target, **options) -> np.ndarray:
    """A screenshot as (rows, columns, 3) numbers 0 to 255."""
    image = Image.open(io.BytesIO(target.screenshot(**options))).convert("RGB")
    return np.asarray(image).astype(int)


def picture(yard) -> np.ndarray:
    """The picture once the frames asked for are drawn."""
    yard.settle()
    return pixels(yard.page.locator(".view3d"))


def differing(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Which pixels differ clearly."""
    return np.abs(one - other).max(axis=2) > 30


@pytest.fixture
def yard(shared):
    """The page with its picture, at year 5, in leaf, at the whole yard."""
    return at_the_start(shared)


@pytest.fixture
def flat(shared_flat):
    """The page without WebGL at the same state: everything but the picture."""
    shared_flat.page.set_viewport_size({"width": 800, "height": 600})
    return at_the_start(shared_flat)


def at_the_start(visit):
    visit.pick("June, in leaf")
    visit.pick("Whole yard")
    visit.set_year(5)
    visit.settle()
    return visit


def test_nothing_leaves_the_machine_and_nothing_complains(yard, small_yard):
    for year, view, season in (
        (15, "Plan", "January, bare"),
        (0, "From the lane", "June, in leaf"),
    ):
        yard.set_year(year)
        yard.pick(view)
        yard.pick(season)
        yard.settle()
    port = small_yard.split(":")[2].strip("/")
    local = (f"http://localhost:{port}/", f"ws://localhost:{port}/", "data:", "blob:")
    assert any(url.startswith("ws:") for url in yard.requests)
    assert [url for url in yard.requests if not url.startswith(local)] == []
    assert yard.complaints == []


def test_the_page_says_what_it_is_and_skips_to_the_years(visit, small_yard):
    page = visit(small_yard.replace("localhost", "127.0.0.1"), drawn=False).page
    assert page.title() == "Small yard"
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.locator("main").count() == 1
    assert page.locator("h1").inner_text() == "Small yard"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    focused = page.evaluate(
        "() => { let e = document.activeElement;"
        " while (e.shadowRoot) e = e.shadowRoot.activeElement; return e.id; }"
    )
    assert focused == "year"


def test_keys_move_the_year(flat):
    flat.slider.focus()
    pressed = [
        ("ArrowRight", 6), ("ArrowUp", 7), ("ArrowLeft", 6), ("Shift+ArrowRight", 6.1),
        ("PageUp", 11.1), ("PageDown", 6.1), ("Shift+ArrowDown", 6), ("End", 30),
        ("ArrowRight", 30), ("Home", 0), ("ArrowLeft", 0),
    ]  # fmt: skip
    for key, year in pressed:
        flat.page.keyboard.press(key)
        assert flat.year == year, key
    assert flat.slider.get_attribute("aria-valuetext") == "Year 0"


def test_a_mouse_drag_is_not_lost_while_picture_and_figures_follow(yard):
    yard.page.evaluate("window.scrollTo(0, 300)")
    box = yard.slider.bounding_box()
    yard.slider.evaluate(
        "e => { window.lost = 0; window.heard = 0;"
        " e.addEventListener('lostpointercapture', () => window.lost++);"
        " e.addEventListener('input', () => window.heard++); }"
    )

    def at(year: float) -> float:
        return box["x"] + 11 + year / 30 * (box["width"] - 22)

    middle = box["y"] + box["height"] / 2
    yard.page.mouse.move(at(5), middle)
    yard.page.mouse.down()
    shown = set()
    for step in range(1, 11):
        yard.page.mouse.move(at(5 + 2 * step), middle)
        shown.add(yard.page.locator(".value b").last.inner_text())
    assert yard.page.evaluate("window.lost") == 0
    yard.page.mouse.up()
    assert yard.page.evaluate("window.heard") >= 9
    assert len(shown) >= 5
    assert yard.year == pytest.approx(25, abs=0.2)


def test_every_year_button_goes_there(flat):
    flat.page.set_viewport_size({"width": 1200, "height": 600})
    flat.settle()
    for year in (0, 1, 5, 10, 15, 20, 25, 30):
        button = flat.page.get_by_role("button", name=f"Year {year}", exact=True)
        button.click()
        assert flat.year == year
        assert button.get_attribute("aria-pressed") == "true"
        assert flat.page.locator(".big .number").inner_text() == str(year)


def test_play_runs_and_stops(yard):
    play = yard.page.get_by_role("button", name="Play the years")
    play.click()
    yard.page.wait_for_timeout(1500)
    assert yard.year > 5.5
    assert play.get_attribute("aria-pressed") == "true"
    play.click()
    stopped = yard.year
    yard.page.wait_for_timeout(400)
    assert yard.year == stopped
    assert play.get_attribute("aria-pressed") == "false"


def test_before_and_next_step_from_event_to_event(flat):
    flat.set_year(0)
    flat.page.get_by_role("button", name="Next event").click()
    first = flat.year
    sentence = flat.page.locator(".say").inner_text()
    flat.page.get_by_role("button", name="Next event").click()
    assert 0 < first < flat.year
    assert flat.page.locator(".say").inner_text() != sentence
    flat.page.get_by_role("button", name="Event before").click()
    assert flat.year == first
    assert flat.page.locator(".say").inner_text() == sentence
    assert flat.slider.get_attribute("aria-valuetext").startswith(f"Year {first:g}. ")


def test_a_figure_and_its_range_stay_on_one_line(flat):
    """In whatever width: an end of a range alone on a line reads like another figure."""
    told, broken = set(), []
    following = flat.page.get_by_role("button", name="Next event")
    for width in (390, 470, 620, 800):
        flat.page.set_viewport_size({"width": width, "height": 600})
        flat.set_year(0)
        for _ in range(8):
            following.click()
            flat.settle()
            for figure in flat.page.locator(".say .unbroken").all():
                told.add(figure.inner_text())
                if figure.evaluate("(each) => each.getClientRects().length") > 1:
                    broken.append((width, flat.year, figure.inner_text()))
    flat.page.set_viewport_size({"width": 800, "height": 600})
    assert any("% (" in each for each in told), told
    assert broken == []


def test_every_view_shows_another_picture(yard):
    names = yard.page.locator(".views label").all_inner_texts()
    assert names == VIEWS
    shown = []
    for name in names:
        yard.pick(name)
        shown.append(picture(yard))
        assert yard.page.locator(".caption b").inner_text() == name
    for i, one in enumerate(shown):
        for other in shown[i + 1 :]:
            assert differing(one, other).mean() > 0.2


def test_fifteen_years_show_more_plant_than_one(yard):
    yard.set_year(0)
    start = yard.rested()
    grown = {}
    for year in (1, 15):
        yard.set_year(year)
        now = yard.rested()
        green = (now[..., 1] > now[..., 0]) & (now[..., 1] > now[..., 2])
        grown[year] = int((differing(now, start) & green).sum())
    assert grown[15] > 500
    assert grown[15] > 2 * grown[1]


def test_a_bare_month_changes_the_picture_and_the_caption(yard):
    yard.set_year(15)
    leaf = picture(yard)
    yard.pick("January, bare")
    assert differing(picture(yard), leaf).sum() > 500
    assert yard.page.locator(".caption").inner_text().endswith(", January, bare")


@pytest.mark.parametrize("width", [1400, 800, 390])
@pytest.mark.parametrize("year", [0, 7.3, 30])
def test_thread_and_thumb_stand_at_the_same_pixel(flat, width, year):
    flat.page.set_viewport_size({"width": width, "height": 600})
    flat.page.wait_for_timeout(200)  # the track lays itself out anew
    flat.set_year(year)
    flat.settle()
    thumb = _middle_of_now(flat.page.locator(".groove"))
    charts = flat.page.locator(".chart").all()
    assert len(charts) == 4
    for chart in charts:
        assert _middle_of_now(chart) == pytest.approx(thumb, abs=1.0)


def _middle_of_now(locator) -> float:
    """Mean page x of the pixels in the colour of the thread."""
    locator.scroll_into_view_if_needed()
    box = locator.bounding_box()
    around = {**box, "x": max(0, box["x"] - 4), "width": box["width"] + 8}
    shown = pixels(locator.page, clip=around)
    _rows, columns = np.nonzero(np.abs(shown - NOW).max(axis=2) < 24)
    assert len(columns)
    return around["x"] + float(columns.mean())


def test_figures_beside_the_charts_are_those_of_the_findings(flat, small_findings):
    flat.set_year(10)
    expected = [small_findings.coverage[0].fraction]
    # evergreen screens: leaf and bare are one course
    expected += [each.fraction_blocked for each in small_findings.screening[::2]]
    expected.append(small_findings.canopy.fraction)
    shown = flat.page.locator(".value b").all_inner_texts()
    assert shown == [f"{round(100 * each.expected[10])}\u00a0%" for each in expected]


def test_a_second_page_does_not_disturb_the_first(yard, flat):
    before = yard.rested()
    flat.set_year(30)
    flat.pick("Plan")
    flat.settle()
    assert flat.year == 30
    assert yard.year == 5
    assert yard.page.locator(".caption b").inner_text() == "Whole yard"
    assert differing(yard.rested(), before).mean() < 0.001


def test_a_phone_needs_no_sideways_scroll_and_big_fingers_hit(flat):
    flat.page.set_viewport_size({"width": 390, "height": 844})
    flat.page.wait_for_function("document.documentElement.scrollWidth === 390", timeout=10_000)
    for name in ("Play the years", "Next event", "Event before", "Year 15"):
        box = flat.page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box["height"] >= 44


def test_charts_and_page_follow_the_dark_scheme(flat):
    chart = flat.page.locator(".chart").first
    try:
        flat.page.emulate_media(color_scheme="dark")
        flat.page.wait_for_timeout(200)
        # tokens ground, leaf and now of the dark scheme
        for colour in ([0x0F, 0x16, 0x13], [0x86, 0xDC, 0xA8], [0xF2, 0x7A, 0xA2]):
            assert (np.abs(pixels(chart) - colour).max(axis=2) < 24).any(), colour
    finally:
        flat.page.emulate_media(color_scheme="light")
    flat.page.wait_for_timeout(200)
    assert (np.abs(pixels(chart) - NOW).max(axis=2) < 24).any()


def test_the_groove_of_the_demo_yard_stays_in_the_window(visit, serve_file):
    terrace = Path(__file__).parents[2] / "scenes" / "library" / "terrace.toml"
    flat = visit(serve_file(terrace), drawn=False, viewport={"width": 1400, "height": 900})
    groove = flat.page.locator(".groove").bounding_box()
    assert groove["y"] + groove["height"] <= 900
