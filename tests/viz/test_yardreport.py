"""The report: everything in one file without script, with pictures or the reason why none."""

import csv
import re
from base64 import b64decode
from datetime import date
from decimal import Decimal
from io import BytesIO, StringIO
from pathlib import Path

import numpy as np
from PIL import Image
from rich.console import Console

import scenes
from growth.checks.care import Care
from scenes.costs import LEFT_OUT
from scenes.pricelist import Price, PriceList
from viz import stillprocess, yearsheets
from viz.__main__ import main
from viz.costcommand import costs_of
from viz.paper import paper
from viz.report import print_findings
from viz.yardreport import care_by_year, report_words
from viz.yearsheets import jpeg, shown_views, year_sheets

SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"
DAY = date(2026, 11, 26)


def test_it_holds_conditions_care_quantities_and_cautions(small):
    text = paper("yardreport.html", report_words(small, by="A <b>", day=DAY))
    for words in ("Kitchen screened", "Care, year by year", "Lane bed covered", "Carex morrowii",
                  "Call before you dig", "Not modelled", "A &lt;b&gt;"):  # fmt: skip
        assert words in text
    assert "Costs" not in text
    assert not re.search(r"<script|<link[^>]+http|src=.http|\son\w+=|@import|url\(", text)


def test_no_reader_is_sent_to_tables_of_the_file(small):
    """The report and all that `check` prints name plants by where they stand."""
    out = StringIO()
    print_findings(Console(file=out, width=400), small.findings, lengths="m", site=small.yard.site)
    texts = out.getvalue(), paper("yardreport.html", report_words(small, by=None, day=DAY))
    assert not [text for text in texts if re.search(r"(planting|kept|view|grading)\[\d", text)]
    assert "Acer rubrum at (2.5, 7.5): about 15 years" in texts[0]
    assert "1 Acer rubrum at (2.5, 7.5)" in texts[0]


def test_costs_stand_in_it_where_prices_are_given(small):
    listed = PriceList("p.csv", "USD", (Price("Hydrangea arborescens", "", "each", Decimal(20),
                                              Decimal(10), 2),))  # fmt: skip
    priced = costs_of(listed, small.yard, small.terrain, small.layout)
    text = paper("yardreport.html", report_words(small, by=None, day=DAY, priced=priced))
    assert "Total 44.00 USD (40.00 and 4.00 of allowances), by p.csv" in text
    assert "No price given" in text
    assert LEFT_OUT in text


def test_its_plants_tie_to_the_plans(small, tmp_path, capsys):
    """By hand: 3.2 m at 0.8 m: 4 of a hedge; 3 x 2 m at 1 m: 6 sedges; 2 and 1 stand alone."""
    out = tmp_path / "plan.csv"
    assert main(["plan", str(SMALL), "--out", str(out)]) == 0
    printed = capsys.readouterr().out
    with out.open(encoding="utf-8", newline="") as file:
        planned_rows = [(row["key"], row["quantity"]) for row in csv.DictReader(file)]
    words = report_words(small, by=None, day=DAY)
    told = words["plants"]
    assert [row[:2] for row in told["rows"]] == planned_rows
    assert {row[2]: row[1] for row in told["rows"]} == {
        "Thuja occidentalis 'Smaragd'": "4", "Carex morrowii": "6",
        "Hydrangea arborescens": "2", "Acer rubrum": "1",
    }  # fmt: skip
    assert told["total"] == "12 to be planted, 1 existing to stay"
    assert told["total"] in printed
    section = paper("yardreport.html", words).partition('<h2 id="plants">')[2]
    section = section.partition("</section>")[0]
    assert told["total"] in section
    assert section.count("<tr>") == 1 + len(planned_rows)


def test_care_is_headed_by_the_year_it_begins_in():
    notes = [Care(0, 2, "water", "s"), Care(0, 0, "look", ""), Care(5, 30, "clip", "")]
    told = care_by_year(notes)
    assert [(year["year"], len(year["notes"])) for year in told] == [(0, 2), (5, 1)]
    assert [note["until"] for note in told[0]["notes"]] == ["to year 2", ""]


def test_every_view_with_an_eye_is_shown(small):
    assert shown_views(small) == ("from the lane", "patio to the west")


def test_without_a_graphics_library_it_says_so(small, monkeypatch):
    ending = (stillprocess.sys.executable, "-c", "raise SystemExit(1)")
    monkeypatch.setattr(stillprocess, "DRAWING", ending)
    sheets, why = year_sheets(small, ["from the lane"], telling=str)
    assert sheets == []
    assert "no graphics library can be used" in why
    words = report_words(small, by=None, day=DAY, sheets=sheets, no_pictures=why)
    assert "This report was made without pictures" in paper("yardreport.html", words)


def test_a_view_that_is_not_there_is_refused(small, tmp_path, capsys):
    asked = ["report", str(SMALL), "--out", str(tmp_path / "r.html"), "--view", "the moon"]
    assert main(asked) == 2
    assert "is no view of this yard" in capsys.readouterr().err


def test_pictures_are_inside_the_file():
    half = np.zeros((40, 60, 3), np.uint8)
    half[:, 30:] = 255
    head, _, data = jpeg(half).partition(",")
    assert head == "data:image/jpeg;base64"
    seen = np.asarray(Image.open(BytesIO(b64decode(data))).convert("L")).astype(int)
    assert seen.shape == (40, 60)
    assert seen[:, :20].max() < 20
    assert seen[:, 40:].min() > 235


def test_a_sheet_has_its_four_years(small, monkeypatch):
    monkeypatch.setattr(yearsheets, "PICTURE_PX", 160)
    (sheet,), why = year_sheets(small, ["from the lane"], telling=str)
    assert why == ""
    assert [one["caption"].split(":")[0].split(",")[0] for one in sheet["pictures"]] == [
        "Year 0", "Year 1", "Year 5", "Year 15",
    ]  # fmt: skip
    assert not sheet["heading"].startswith("from the lane")
