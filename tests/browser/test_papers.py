"""Papers in the browser: a page each where they are printed, readable by everyone, at any width."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

import scenes
from viz.__main__ import main

pytestmark = pytest.mark.browser
SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def sheet(tmp_path_factory) -> str:
    """The address of the conditions sheet of the small yard."""
    out = tmp_path_factory.mktemp("papers") / "sheet.html"
    assert main(["sheet", str(SMALL), "--out", str(out), "--by", "R. Example"]) == 0
    return out.as_uri()


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_sheet_prints_on_one_page(flat_browser, sheet, size):
    page = flat_browser.new_page()
    page.goto(sheet)
    pdf = page.pdf(format=size)
    page.close()
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1400, 390])
def test_the_sheet_is_readable_by_everyone(flat_browser, sheet, width, scheme):
    context = flat_browser.new_context(
        viewport={"width": width, "height": 800}, color_scheme=scheme
    )
    page = context.new_page()
    page.goto(sheet)
    found = Axe().run(page)
    wide = page.evaluate("document.documentElement.scrollWidth")
    context.close()
    assert found.violations_count == 0, found.generate_report()
    assert wide <= width
