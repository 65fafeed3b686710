"""Papers in the browser: a page each where they are printed, readable by everyone, at any width."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pdfplumber
import pytest
from axe_playwright_python.sync_playwright import Axe

import scenes
from scenes.pricelist import Price, PriceList
from viz.checker import planned
from viz.costcommand import costs_of
from viz.paper import write_paper
from viz.sheet import sheet_words
from viz.yardreport import report_words

pytestmark = pytest.mark.browser
SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def papers(tmp_path_factory) -> dict[str, str]:
    """The addresses of the sheet and of a report of the small yard, without pictures but priced."""
    folder = tmp_path_factory.mktemp("papers")
    small = planned(scenes.load(SMALL), light=False)
    day = date(2026, 11, 26)
    price = Price("mulch", "", "m3", Decimal(80), Decimal(10), 2)
    listed = PriceList("p.csv", "USD", (price,))
    priced = costs_of(listed, small.yard, small.terrain, small.layout)
    words = report_words(small, by="R. Example", day=day, no_pictures="none asked", priced=priced)
    write_paper(folder / "report.html", "yardreport.html", words, lengths="m")
    told = sheet_words(small, by="R. Example", day=day)
    write_paper(folder / "sheet.html", "sheet.html", told, lengths="m")
    return {name: (folder / f"{name}.html").as_uri() for name in ("sheet", "report")}


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_sheet_prints_on_one_page(flat_browser, papers, size):
    page = flat_browser.new_page()
    page.goto(papers["sheet"])
    pdf = page.pdf(format=size)
    page.close()
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1


@pytest.mark.parametrize(("lengths", "inches"), [("ft", (8.5, 11)), ("m", (8.27, 11.69))])
def test_a_sheet_is_printed_as_pdf_on_the_paper_of_its_unit(tmp_path, lengths, inches):
    """Letter is 8.5 x 11 in, A4 (ISO 216) 210 x 297 mm; PDF counts 72 points to the inch."""
    small = planned(scenes.load(SMALL), light=False)
    words = sheet_words(small, by="R. Example", day=date(2026, 11, 26))
    out = tmp_path / "sheet.pdf"
    write_paper(out, "sheet.html", words, lengths=lengths)
    with pdfplumber.open(out) as pdf:
        (page,) = pdf.pages
        assert (page.width / 72, page.height / 72) == pytest.approx(inches, abs=0.02)
        text = page.extract_text()
    assert "R. Example" in text
    assert "Check your local code" in text
    assert sorted(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1400, 390])
@pytest.mark.parametrize("name", ["sheet", "report"])
def test_a_paper_is_readable_by_everyone(flat_browser, papers, name, width, scheme):
    context = flat_browser.new_context(
        viewport={"width": width, "height": 800}, color_scheme=scheme
    )
    page = context.new_page()
    page.goto(papers[name])
    found = Axe().run(page)
    wide = page.evaluate("document.documentElement.scrollWidth")
    context.close()
    assert found.violations_count == 0, found.generate_report()
    assert wide <= width
