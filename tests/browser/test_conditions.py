"""The Conditions reading in the browser: reached from the yard, read at any width, in one file."""

import pytest

pytestmark = pytest.mark.browser

READY = ".every"


@pytest.mark.parametrize("width", [1400, 390])
def test_it_says_how_every_condition_stands(visit, small_yard, small_findings, width):
    shown = visit(
        f"{small_yard}conditions", drawn=False, ready=READY,
        viewport={"width": width, "height": 800},
    )  # fmt: skip
    page = shown.page
    assert page.locator("nav [aria-current=page]").inner_text() == "Conditions"
    names = page.locator(".conditions tbody th").all_inner_texts()
    assert [name.split("\n")[0] for name in names] == [v.name for v in small_findings.requirements]
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert shown.complaints == []
    assert all(url.startswith((small_yard, "data:")) for url in shown.requests)


def test_a_gap_is_outlined_inside_its_panel(visit, small_yard):
    page = visit(f"{small_yard}conditions", drawn=False, ready=READY).page
    for panel in page.locator(".shown").all():
        frame = panel.bounding_box()
        for gap in panel.locator(".gap").all():
            box = gap.bounding_box()
            assert box["x"] >= frame["x"] - 2
            assert box["x"] + box["width"] <= frame["x"] + frame["width"] + 2
            assert box["y"] + box["height"] <= frame["y"] + frame["height"] + 2


def test_the_yard_links_to_it_and_back(visit, small_yard):
    page = visit(small_yard, drawn=False).page
    page.get_by_role("link", name="Conditions").click()
    page.locator(READY).wait_for(timeout=30_000)
    page.get_by_role("link", name="Yard").click()
    page.locator("#year[type=range]").wait_for()


def test_printing_opens_every_figure(visit, small_yard):
    page = visit(f"{small_yard}conditions", drawn=False, ready=READY).page
    page.evaluate("window.print = () => { window.printed = true; }")
    page.get_by_role("button", name="Print this reading").click()
    assert page.evaluate("window.printed")
    assert page.locator(".figures caption").first.is_visible()
    page.emulate_media(media="print")
    assert not page.get_by_role("button", name="Print this reading").is_visible()
