"""The growth race in a real browser: readings, picker, sizes, covering, guessing."""

import re
from pathlib import Path

import pytest

import growth
import scenes
from growth.starts import climate_of

pytestmark = pytest.mark.browser

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"

READY = ".order li"


@pytest.fixture
def race(shared_race):
    """The race as it opens, at year 5."""
    shared_race.page.set_viewport_size({"width": 1200, "height": 700})
    shared_race.page.reload()
    shared_race.page.locator(READY).first.wait_for()
    shared_race.settle()
    return shared_race


def names(race) -> list[str]:
    """Names of the table's rows, in the order of choosing."""
    return race.page.locator(".figures th .who > span").evaluate_all(
        "(all) => all.map((e) => e.firstChild.textContent)"
    )


def press(race, name: str) -> None:
    race.page.get_by_role("button", name=name, exact=True).click()


def figures(race, row: int, year: int) -> list[str]:
    """Expected height and spread of a row of the table."""
    column = {1: 0, 5: 1, 15: 2}[year]
    cell = race.page.locator(".figures tbody tr").nth(row).locator("td").nth(column)
    return cell.locator("b").all_inner_texts()


def told(size_m: float) -> str:
    """Metres as the page writes them."""
    return f"{size_m:.{2 if size_m < 1 else 1}f}\u00a0m"


def tellings(size_m: float) -> set[str]:
    """What the page may write: courses reach it in whole counts, off by under a millimetre."""
    return {told(size_m - 0.001), told(size_m + 0.001)}


def course(name: str, size: str) -> dict:
    """The course that the grow command prints for a plant on the small yard's site."""
    climate = climate_of(scenes.load(SMALL))
    return growth.plant_course(name, size=size, until=30, own={}, climate=climate)


def test_both_readings_lead_to_each_other(visit, small_yard):
    page = visit(small_yard, drawn=False).page
    page.get_by_role("link", name="Growth race").click()
    page.locator(READY).first.wait_for()
    assert page.url == f"{small_yard}race"
    assert page.title() == "Growth race: Small yard"
    here = page.locator("nav [aria-current=page]")
    assert here.inner_text() == "Growth race"
    page.get_by_role("link", name="Yard").click()
    page.locator(".yardroot .stage").wait_for()
    assert page.url == small_yard


def test_the_yards_kinds_race_and_their_figures_are_the_grow_commands(race):
    kinds = [
        ("Carex morrowii", "#1"),
        ("Hydrangea arborescens", "#3"),
        ("Thuja occidentalis 'Smaragd'", "1.2 m ht"),
        ("Acer rubrum", "2 in cal"),
    ]
    common = [growth.catalogue()[name].common for name, _ in kinds]
    assert [name.lower() for name in names(race)] == [name.lower() for name in common]
    for row, (name, size) in enumerate(kinds):
        grown = course(name, size)
        for year in (1, 5, 15):
            sizes_m = [grown[of]["expected"][year] for of in ("height_m", "spread_m")]
            for shown, size_m in zip(figures(race, row, year), sizes_m, strict=True):
                assert shown in tellings(size_m)


def test_the_order_is_by_height_in_the_year_shown(race):
    race.set_year(15)
    shown = race.page.locator(".order b").all_inner_texts()
    metres = [float(text.split("\u00a0")[0]) for text in shown]
    assert metres == sorted(metres, reverse=True)
    assert metres[0] == pytest.approx(
        course("Acer rubrum", "2 in cal")["height_m"]["expected"][15], abs=0.06
    )


def test_any_plant_is_found_added_sized_and_removed_by_keyboard(race):
    press(race, "Choose plants")
    press_remove = race.page.get_by_role("button", name=re.compile("^Remove")).first
    gone = names(race)[0]
    press_remove.focus()
    race.page.keyboard.press("Enter")
    assert gone not in names(race)
    race.page.keyboard.type("sago palm")  # the search has the focus now
    race.page.keyboard.press("Tab")
    race.page.keyboard.press("Enter")
    assert names(race)[-1] == "Sago palm"
    assert figures(race, 3, 15)[0] == told(
        course("Cycas revoluta", "#7")["height_m"]["expected"][15]
    )
    size = race.page.get_by_label("Size of sago palm at planting")
    size.select_option("#15")
    assert figures(race, 3, 1)[0] == told(
        course("Cycas revoluta", "#15")["height_m"]["expected"][1]
    )


def test_one_plant_races_itself_from_two_sizes_and_six_are_too_many(race):
    press(race, "Choose plants")
    race.page.get_by_label(re.compile("Find among")).fill("acer rubrum")
    add = race.page.get_by_role("button", name=re.compile("^Add Acer rubrum"))
    add.click()
    assert names(race)[-2:] == ["Red maple, 2 in cal", "Red maple, 2 in cal"]
    race.page.get_by_label(re.compile("Size of red maple")).last.select_option("4 in cal")
    assert names(race)[-1] == "Red maple, 4 in cal"
    assert len(names(race)) == 5
    assert add.is_disabled()
    assert "remove one" in race.page.locator("#pickpanel").inner_text()


def test_words_that_fit_nothing_find_nothing(race):
    press(race, "Choose plants")
    race.page.get_by_label(re.compile("Find among")).fill("oak zzz")
    assert race.page.locator(".found li").count() == 0
    assert "No plant fits" in race.page.locator("#pickpanel").inner_text()


def test_who_passes_whom_is_told_and_stepped_to(race):
    press(race, "Choose plants")
    race.page.get_by_label(re.compile("Find among")).fill("betula nigra")
    race.page.get_by_role("button", name=re.compile("^Add Betula nigra")).click()
    race.page.get_by_label("Size of river birch at planting").select_option("#5")
    birch, maple = (
        course(name, size)["height_m"]["expected"]
        for name, size in (("Betula nigra", "#5"), ("Acer rubrum", "2 in cal"))
    )
    passed = next(year for year in range(31) if birch[year] > maple[year])
    race.set_year(0)
    for _ in range(9):
        press(race, "Next event")
        if race.year == passed:
            break
    assert "River birch passes red maple." in race.page.locator(".say").inner_text()
    mark = race.page.get_by_role("button", name=re.compile("River birch passes red maple"))
    assert f"year {passed}" in mark.first.get_attribute("aria-label")


def test_covering_hides_what_lies_ahead_until_the_year_is_there(race):
    clip = race.page.locator("#told rect")
    everything = float(clip.get_attribute("width"))
    press(race, "Cover the years ahead")
    assert float(clip.get_attribute("width")) < everything / 2
    assert figures(race, 0, 15) == ["?", "?"]
    assert "Dotted" not in race.page.locator(".caption").inner_text()
    assert not race.page.locator(".ends").get_by_text("Red maple").is_visible()
    later = race.page.locator(".mark:visible").evaluate_all(
        "(all) => all.map((e) => Number(/year (\\d+)/.exec(e.ariaLabel)[1]))"
    )
    assert all(year <= 5 for year in later)
    race.set_year(15)
    assert "?" not in figures(race, 0, 15)
    press(race, "Cover the years ahead")
    assert float(clip.get_attribute("width")) == everything


def test_a_guess_by_keyboard_comes_before_the_forecast(race):
    press(race, "Guess first")
    race.page.get_by_label("Plant to guess").select_option(label="Red maple, 2 in cal")
    assert figures(race, 3, 5) == ["?", "?"]
    assert "?" in race.page.locator(".order b").all_inner_texts()
    assert "Red maple" not in (race.page.locator(".racechart").get_attribute("aria-label") or "")
    assert not race.page.locator(".ends").get_by_text("Red maple").is_visible()
    race.page.get_by_label("Guess for year 5, m").fill("50")
    press(race, "Show the forecast")
    expected_m = course("Acer rubrum", "2 in cal")["height_m"]["expected"][5]
    said = race.page.locator("#guesspanel [role=status]").inner_text()
    assert any(
        f"Year 5: guessed 50\u00a0m, forecast {telling}" in said for telling in tellings(expected_m)
    )
    assert "above the range" in said
    assert figures(race, 3, 5)[0] in tellings(expected_m)
    press(race, "Guess again")
    assert figures(race, 3, 5) == ["?", "?"]


def test_a_guess_is_drawn_where_the_pointer_goes(race):
    press(race, "Guess first")
    race.settle()
    chart = race.page.locator(".racechart")
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()

    def at(year: float) -> float:
        return box["x"] + 11 + year / 30 * (box["width"] - 22)

    race.page.mouse.move(at(5), box["y"] + 150)
    race.page.mouse.down()
    race.page.mouse.move(at(15), box["y"] + 150)
    race.page.mouse.up()
    # the middle of the chart is half of its scale, from the note "0–N m"
    top = float(re.search(r"0–([\d.]+)", race.page.locator(".racename small").inner_text())[1])
    for year in (5, 10, 15):
        race.set_year(year)
        guessed = race.page.get_by_label(f"Guess for year {year}, m").input_value()
        assert float(guessed) == pytest.approx(top / 2, abs=0.06)


def test_the_chart_shows_spread_as_well(race):
    race.pick("Spread")
    assert race.page.locator(".racename > span").inner_text() == "Spread"
    spread_m = course("Acer rubrum", "2 in cal")["spread_m"]["expected"][30]
    assert f"Red maple {told(spread_m)}" in race.page.locator(".ends").inner_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_phone_needs_no_sideways_scroll_with_all_panels_open(race, scheme):
    race.page.set_viewport_size({"width": 390, "height": 844})
    race.page.emulate_media(color_scheme=scheme)
    try:
        press(race, "Choose plants")
        press(race, "Guess first")
        race.page.wait_for_timeout(200)
        assert race.page.evaluate("document.documentElement.scrollWidth") == 390
        for name in ("Choose plants", "Guess first", "Cover the years ahead", "Show the forecast"):
            box = race.page.get_by_role("button", name=name, exact=True).bounding_box()
            assert box["height"] >= 44, name
    finally:
        race.page.emulate_media(color_scheme="light")


def test_before_anyone_is_chosen_and_where_nobody_passes_it_says_so(race):
    say = race.page.locator(".say")
    assert say.inner_text() == "None of these plants is expected to pass another within 30 years."
    press(race, "Choose plants")
    for _ in range(4):
        race.page.get_by_role("button", name=re.compile("^Remove")).first.click()
    assert say.inner_text() == "No plants chosen yet."
    assert race.page.locator(".figures tbody tr").count() == 0


def test_names_of_a_documents_own_plants_stay_text(visit, serve_document, small_document):
    evil = "<img src=x onerror=window.harmed=1>"
    size = {"height": [0.3, 0.4], "spread": [0.4, 0.6], "rate": "fast"}
    kind = {"kind": "grass", "form": "fountain", "leaf": "evergreen", "common": evil}
    small_document["plant"] = [{"name": f"{evil} sedge", **kind, **size, "seen": [[2, 0.2, 0.3]]}]
    small_document["planting"] = [{"plant": f"{evil} sedge", "size": "#1", "at": [[5, 5]]}]
    small_document["kept"] = []
    address = serve_document(small_document)
    race = visit(f"{address}race", drawn=False, ready=READY)
    press(race, "Choose plants")
    race.page.get_by_label(re.compile("Find among")).fill("onerror")
    assert evil in race.page.locator(".found li").inner_text()
    assert names(race) == [evil]
    assert "Dots: sizes seen locally." in race.page.locator(".figures").inner_text()
    assert race.page.locator("#told ~ g circle.seen").count() == 1
    assert race.page.evaluate("window.harmed") is None
    assert race.complaints == []


def test_nothing_leaves_the_machine_and_nothing_complains(race, small_yard):
    port = small_yard.split(":")[2].strip("/")
    local = (f"http://localhost:{port}/", f"ws://localhost:{port}/", "data:", "blob:")
    assert [url for url in race.requests if not url.startswith(local)] == []
    assert race.complaints == []
