"""Open pages follow the document: what changes, what stays, what is sent, and mistakes."""

import copy
import re
import time

import numpy as np
import pytest
import tomlkit
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

EVIL = "<img src=x onerror=window.harmed=1>"

TOLD = """() => {
  const find = (root) => [...root.querySelectorAll('*')].map((each) =>
    each.dataset?.told || (each.shadowRoot && find(each.shadowRoot))).find((told) => told);
  return find(document);
}"""


@pytest.fixture
def save(tmp_path):
    """Saves the document that is served, given as a mapping or as text."""

    def saved(document) -> None:
        text = document if isinstance(document, str) else tomlkit.dumps(document)
        (tmp_path / "yard.toml").write_text(text, encoding="utf-8")

    return saved


def told(yard) -> int:
    """How often the page was told of a save."""
    return int(yard.page.evaluate(TOLD) or 0)


def await_news(yard, before: int) -> None:
    """Waits until the page has heard of a save since, figures and all."""
    until = time.monotonic() + 60
    while told(yard) <= before:
        assert time.monotonic() < until, "the page does not follow"
        yard.page.wait_for_timeout(50)
    yard.settle()


def differing(one: np.ndarray, other: np.ndarray) -> int:
    """How many squares of 8 pixels differ clearly; not by how finely their edges are drawn, which
    changes while the machine has much to do."""
    rows, columns = one.shape[0] // 8, one.shape[1] // 8
    apart = (one - other)[: 8 * rows, : 8 * columns].reshape(rows, 8, columns, 8, 3)
    return int((np.abs(apart.mean(axis=(1, 3))).max(axis=2) > 14).sum())


def with_moved_shrub(document: dict) -> dict:
    moved = copy.deepcopy(document)
    moved["planting"][1]["at"] = [[4.5, 8.5], [3, 1.5]]
    return moved


def test_picture_follows_and_is_kept_while_the_document_is_wrong(
    visit, serve_document, small_document, save
):
    yard = visit(serve_document(small_document))
    yard.set_year(12.5)
    yard.pick("Plan")
    yard.page.locator(".view3d").press("ArrowLeft")
    first = yard.rested()
    figures = yard.page.locator(".values").all_inner_texts()

    save(with_moved_shrub(small_document))
    await_news(yard, 0)
    expect(yard.page.locator(".again")).to_have_text(re.compile("^Read again at "), timeout=60_000)
    moved = yard.rested()
    assert differing(moved, first) >= 3
    assert yard.year == 12.5
    assert yard.page.locator(".caption b").inner_text() == "Plan"

    before = told(yard)
    save(tomlkit.dumps(with_moved_shrub(small_document)).replace("spacing = 0.8", "spacin = 0.8"))
    await_news(yard, before)
    mistake = yard.page.locator(".mistake")
    line = mistake.locator(".line").inner_text()
    assert re.fullmatch(r"yard\.toml: planting\[1\]: unknown key .*spacin.*; .*spacing.*", line)
    assert mistake.get_attribute("role") == "alert"
    assert differing(yard.rested(), moved) == 0
    assert yard.year == 12.5

    before = told(yard)
    save(small_document)
    await_news(yard, before)
    assert not mistake.is_visible()
    assert differing(yard.rested(), first) == 0
    assert yard.page.locator(".values").all_inner_texts() == figures
    assert yard.complaints == []


def test_moving_a_plant_sends_its_place_and_no_mesh(visit, serve_document, small_document, save):
    yard = visit(serve_document(small_document), drawn=False)
    assert sum(yard.received) > 1_000_000
    yard.received.clear()
    save(with_moved_shrub(small_document))
    await_news(yard, 0)
    assert 400 < sum(yard.received) < 60_000  # the small yard has meshes of over a million


def test_all_that_is_told_follows_on_every_page(visit, serve_document, small_document, save):
    address = serve_document(small_document)
    pages = [visit(address, drawn=False) for _ in range(2)]
    pages[0].set_year(7)
    pages[0].pick("From the lane")
    other = copy.deepcopy(small_document)
    other["title"] = f"{EVIL} yard"
    other["bed"].append({"name": f"{EVIL} bed", "edge": [[0.5, 4], [3, 4], [3, 6], [0.5, 6]]})
    other["view"].insert(0, {**other["view"][1], "name": "patio to the street"})
    other["requirement"] = []
    save(other)
    for yard in pages:
        await_news(yard, 0)
        assert yard.page.title() == yard.page.locator("h1").inner_text() == f"{EVIL} yard"
        assert f"{EVIL} bed covered" in yard.page.locator(".row .name").all_inner_texts()[1]
        assert yard.page.locator(".chart svg").count() == yard.page.locator(".row").count() == 6
        assert "No conditions in this yard" in yard.page.locator(".verdicts").inner_text()
        assert yard.page.locator(".views label").first.inner_text() == "Patio to the street"
        assert yard.page.evaluate("window.harmed") is None
        assert yard.complaints == []
    assert [yard.year for yard in pages] == [7, 5]
    chosen = [yard.page.locator(".views label:has(:checked)").inner_text() for yard in pages]
    assert chosen == ["From the lane", "Whole yard"]
    assert pages[0].page.locator(".caption b").inner_text() == "From the lane"
    fresh = visit(address, drawn=False)
    for place in (".row", ".mark .title", ".happens .title", ".say", ".trackside", ".card li"):
        for yard in (pages[0], fresh):
            yard.set_year(30)
        texts = [yard.page.locator(place).all_text_contents() for yard in (pages[0], fresh)]
        assert texts[0] == texts[1], place


def test_a_survey_is_followed_too_and_a_new_page_is_told_of_the_mistake(
    visit, serve_document, small_document, tmp_path
):
    address = serve_document(small_document)
    yard = visit(address, drawn=False)
    survey = tmp_path / "small-survey.csv"
    text = survey.read_text(encoding="utf-8")
    survey.write_text(text + f'0,0,"{EVIL}"\n', encoding="utf-8")
    await_news(yard, 0)
    for page in (yard, visit(address, drawn=False)):
        line = page.page.locator(".mistake .line")
        line.wait_for()
        assert "small-survey.csv" in line.inner_text()
        assert EVIL in line.inner_text()
        assert page.page.evaluate("window.harmed") is None
    before = told(yard)
    survey.write_text(text, encoding="utf-8")
    await_news(yard, before)
    assert not yard.page.locator(".mistake").is_visible()


def test_several_mistakes_are_told_the_first_one_open(visit, serve_document, small_document, save):
    yard = visit(serve_document(small_document), drawn=False)
    wrong = copy.deepcopy(small_document)
    wrong["planting"][0]["size"] = 3
    wrong["site"]["latitude_deg"] = 100
    wrong["bed"][0]["mulch"] = 3
    save(wrong)
    await_news(yard, 0)
    mistake = yard.page.locator(".mistake")
    assert not mistake.locator("li").first.is_visible()
    mistake.locator("summary").click()
    lines = [mistake.locator(".line").inner_text(), *mistake.locator("li").all_inner_texts()]
    assert len(lines) == 3
    assert all(line.startswith("yard.toml: ") for line in lines)
    assert Axe().run(yard.page).response["violations"] == []


def test_the_ground_goes_on_being_looked_at(visit, serve_document, small_document, save):
    yard = visit(serve_document(small_document))
    yard.page.locator("details.ground summary").click()
    yard.page.get_by_role("radio", name="Cut and fill").check()
    yard.page.get_by_label("Contours").select_option(index=1)
    yard.page.get_by_role("button", name="Section", exact=True).click()
    yard.page.get_by_label("From A", exact=True).select_option("house")
    yard.settle()
    key, levels = yard.page.locator(".groundkey"), yard.page.locator(".section tr")
    told_first, level = key.inner_text(), levels.nth(11).text_content()
    lower = copy.deepcopy(small_document)
    lower["grading"][0]["level"] = 9.5
    save(lower)
    await_news(yard, 0)
    assert yard.page.locator("details.ground").get_attribute("open") is not None
    assert yard.page.get_by_role("radio", name="Cut and fill").is_checked()
    assert yard.page.get_by_label("Contours").input_value() != "0"
    assert yard.page.get_by_label("From A", exact=True).input_value() == "house"
    assert key.count() == yard.page.locator(".section").count() == 1
    assert key.inner_text() != told_first
    assert levels.nth(11).text_content() == level  # the line's end lies off the pad
    assert yard.complaints == []


def test_the_sun_is_reckoned_again_for_another_document(
    visit, serve_document, small_document, save
):
    """With nothing planted, kept or built on it, the lot has no spot in shade."""
    yard = visit(serve_document(small_document))
    yard.page.locator("details.ground summary").click()
    yard.page.get_by_role("radio", name="Sun").check()
    key = yard.page.locator(".groundkey")
    key.get_by_text("under 2 h").wait_for(timeout=60_000)
    bare = {name: small_document[name] for name in ("title", "lengths", "site", "ground", "bed")}
    save(bare)
    await_news(yard, 0)
    key.get_by_text("under 2 h").wait_for(state="detached", timeout=60_000)
    key.get_by_text("8 h and more").wait_for(timeout=60_000)
    assert "under 2 h" not in key.inner_text()
    assert yard.complaints == []


def test_the_growth_race_follows_too(visit, serve_document, small_document, save):
    address = serve_document(small_document)
    race = visit(f"{address}race", drawn=False, ready=".order li")
    race.set_year(9)
    race.page.get_by_role("button", name="Choose plants").click()
    race.page.get_by_role("button", name="Remove").first.click()
    order = race.page.locator(".order li").all_inner_texts()
    other = copy.deepcopy(small_document)
    size = {"height": [5, 6], "spread": [2, 3], "rate": "fast"}
    own = {"name": f"{EVIL} own", "kind": "tree", "form": "oval", "leaf": "evergreen", **size}
    other["plant"] = [own]
    other["title"] = "Other yard"
    save(other)
    await_news(race, 0)
    assert race.page.title() == race.page.locator("h1").inner_text() == "Growth race: Other yard"
    assert race.year == 9
    assert race.page.locator(".order li").all_inner_texts() == order
    race.page.get_by_role("button", name="Choose plants").click()
    race.page.get_by_role("searchbox").fill("own")
    race.page.get_by_text(f"{EVIL} own").first.wait_for()
    before = told(race)
    save({**other, "titel": "x"})
    await_news(race, before)
    assert "titel" in race.page.locator(".mistake .line").inner_text()
    before = told(race)
    save(other)
    await_news(race, before)
    assert not race.page.locator(".mistake").is_visible()
    assert race.page.evaluate("window.harmed") is None
    assert race.complaints == []
