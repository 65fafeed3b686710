"""Showing the client: what fills the window, what is left out, and the way back."""

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

LEFT_OUT = (".side", ".steps", ".beside", ".verdicts", ".caption", ".band")
"""What the page shows beside picture, year, sentence and groove."""

FOCUSED = """() => { let e = document.activeElement;
  while (e.shadowRoot) e = e.shadowRoot.activeElement; return e.id || e.textContent; }"""


@pytest.fixture
def flat(shared_flat):
    """The page without WebGL at year 5, in leaf; it is led back afterwards."""
    shared_flat.page.set_viewport_size({"width": 1400, "height": 900})
    shared_flat.pick("June, in leaf")
    shared_flat.set_year(5)
    shared_flat.settle()
    yield shared_flat
    shared_flat.page.keyboard.press("Escape")
    shared_flat.page.set_viewport_size({"width": 800, "height": 600})
    shared_flat.settle()


def show(visited):
    visited.page.get_by_role("button", name="Show the client").click()
    visited.settle()
    return visited.page


def marks(page) -> list[str]:
    """What the shapes on the track are called."""
    return page.locator(".mark").evaluate_all("all => all.map(e => e.ariaLabel)")


@pytest.mark.parametrize(("width", "height"), [(1400, 900), (390, 844)])
def test_picture_year_sentence_and_groove_fill_the_window(flat, width, height):
    flat.page.set_viewport_size({"width": width, "height": height})
    assert flat.page.locator(".verdicts").is_visible()
    page = show(flat)
    picture, years = (page.locator(each).bounding_box() for each in (".stage", ".years"))
    assert (picture["x"], picture["y"], picture["width"]) == (0, 0, width)
    assert picture["height"] + years["height"] == pytest.approx(height, abs=1)
    assert picture["height"] > height / 2
    assert page.evaluate("document.documentElement.scrollWidth") == width
    for shown in (".big", ".say", ".groove", ".stops", ".back"):
        box = page.locator(shown).bounding_box()
        assert box["x"] >= 0, shown
        assert box["x"] + box["width"] <= width, shown
        assert box["y"] + box["height"] <= height, shown
    behind = page.locator("nav a").first
    assert not behind.evaluate(
        "e => { const b = e.getBoundingClientRect();"
        " return e.contains(document.elementFromPoint(b.x + 5, b.y + 5)); }"
    )
    assert [each for each in LEFT_OUT if page.locator(each).first.is_visible()] == []
    assert page.locator("#figures").evaluate("e => e.inert")
    assert not page.locator(".mark .text").first.is_visible()
    assert page.locator(".mark svg").first.is_visible()


def test_the_sentence_is_a_forecast_of_a_month_in_leaf_or_bare(flat):
    page = show(flat)
    said = page.locator(".say")
    opening = "A forecast: after 5 growing seasons, autumn 2031; shown in June, in leaf. "
    assert said.inner_text().startswith(opening)
    page.keyboard.press("Home")
    assert said.inner_text().startswith(
        "A forecast: 15 March 2027; shown in June, in leaf. Newly planted"
    )
    page.keyboard.press("Escape")
    assert "A forecast" not in said.inner_text()
    flat.pick("January, bare")
    show(flat)
    assert said.inner_text().startswith("A forecast: 15 March 2027; shown in January, bare. ")


def test_conditions_are_left_out_and_come_back(flat):
    before = marks(flat.page)
    dates = [
        each for each in before if each.split(", ")[0].endswith((": met", ": likely", ": missed"))
    ]
    assert len(dates) == 3
    page = show(flat)
    assert marks(page) == [each for each in before if each not in dates]
    flat.set_year(8)  # the year in which the screen is due
    assert "Due in year" not in page.locator(".say").inner_text()
    page.keyboard.press("Escape")
    flat.settle()
    assert marks(page) == before
    assert "Due in year 8" in page.locator(".say").inner_text()


def test_irrigation_is_left_out(visit, serve_document, small_document):
    head = {"name": "lane spray", "at": [1.2, 0.6], "riser": "80 cm", "throw": 4, "arc": [0, 90]}
    visited = visit(serve_document({**small_document, "head": [head]}), drawn=False)
    assert any("spray" in each for each in marks(visited.page))
    page = show(visited)
    assert marks(page)
    assert not any("spray" in each for each in marks(page))


@pytest.mark.parametrize("way", ["Escape", "Back to the yard"])
def test_keys_alone_show_the_client_and_lead_back(flat, way):
    page = flat.page
    page.get_by_role("button", name="Show the client").focus()
    page.keyboard.press("Enter")
    assert page.evaluate(FOCUSED) == "year"
    page.keyboard.press("ArrowRight")
    assert flat.year == 6
    if way != "Escape":
        page.get_by_role("button", name=way).focus()
        page.keyboard.press("Enter")
    else:
        page.keyboard.press(way)
    assert page.evaluate(FOCUSED) == "Show the client"
    assert page.locator(".side").is_visible()
    assert not page.get_by_role("button", name="Back to the yard").is_visible()
    assert flat.year == 6


def test_tab_stays_with_what_is_shown(flat):
    page = show(flat)
    met = set()
    for _ in range(24):
        page.keyboard.press("Tab")
        met.add(page.evaluate(FOCUSED))
    assert "Back to the yard" in met
    assert met.isdisjoint({"Skip to the years", "Yard", "Conditions", "Growth race"})


@pytest.mark.parametrize("width", [1400, 390])
def test_axe_finds_nothing_in_what_the_client_sees(flat, width):
    flat.page.set_viewport_size({"width": width, "height": 844})
    page = show(flat)
    found = Axe().run(page).response["violations"]
    assert [(each["id"], each["nodes"][0]["html"][:120]) for each in found] == []


def test_the_picture_is_drawn_as_large_as_it_is_shown(visit, small_yard):
    visited = visit(small_yard)
    page = show(visited)
    visited.rested()
    canvas = page.locator(".view3d canvas").bounding_box()
    assert canvas["width"] == 800
    stage = page.locator(".stage").bounding_box()
    assert canvas["height"] == pytest.approx(stage["height"], abs=1)
    assert visited.complaints == []


def test_a_layer_on_the_ground_is_put_away_and_brought_back(visit, small_yard):
    visited = visit(small_yard)
    page = visited.page
    page.locator("summary", has_text="Ground").click()
    layer = page.locator("input[value=slope]")
    layer.check()
    page = show(visited)
    assert not layer.is_checked()
    page.keyboard.press("Escape")
    assert layer.is_checked()
    assert page.locator(".groundkey").is_visible()
