"""The printed plan, measured through another PDF reader, and the counts that have to tie."""

import io
import re
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pytest
from shapely.geometry import Polygon

import growth
import scenes
from scenes.errors import SceneError
from viz.__main__ import main
from viz.plan import Asked, plan
from viz.plandraw import as_pdf, as_png, as_svg
from viz.plansheet import SHEETS, Scale, read_scale

LIBRARY = Path(scenes.__file__).parent / "library"
MM_PER_POINT, FOOT = 25.4 / 72, 0.3048
DAY = date(2027, 3, 1)

YARD = """
title = "A $5 yard & more"
lengths = "ft"
[site]
latitude_deg = 40.0
longitude_deg = -100.0
boundary = [[0, 0], [40, 0], [40, 30], [0, 30]]
[ground]
points = [[-9, -9, 0], [49, -9, 0], [49, 39, 3], [-9, 39, 3]]
[[bed]]
name = "b"
edge = [[2, 2], [WIDE, 2], [WIDE, HIGH], [2, HIGH]]
[[structure]]
name = "house"
kind = "house"
outline = [[25, 18], [38, 18], [38, 28], [25, 28]]
floor = 3
eave = 9
ridge = 14
[[planting]]
plant = "Carex morrowii"
fill = "b"
spacing = "SPACING in"
pattern = "PATTERN"
size = "#1"
[[planting]]
plant = "Ilex glabra"
size = "#5"
at = [[30, 5], [35, 5]]
"""


def yard_of(folder, *, across=10, up=10, spacing=12, pattern="square"):
    text = YARD.replace("WIDE", str(2 + across)).replace("HIGH", str(2 + up))
    path = folder / "yard.toml"
    path.write_text(text.replace("SPACING", str(spacing)).replace("PATTERN", pattern))
    return path


def made(path, *, sheet="letter", scale=None, year=15):
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    asked = Asked(sheet, scale, year, "A. Maker", DAY)
    return plan(yard, terrain, layout, growth.grow(yard, layout), asked)


@pytest.fixture(scope="module")
def pdf(tmp_path_factory):
    shown = made(yard_of(tmp_path_factory.mktemp("plan")), scale=read_scale("1/8 in = 1 ft"))
    return pdfplumber.open(io.BytesIO(as_pdf(shown.pages, title="t", day=DAY)))


def rings_of(page, *, width_mm):
    """Closed paths drawn with a pen of that width, in mm."""
    return [
        np.array(each["pts"]) * MM_PER_POINT
        for each in (*page.rects, *page.curves)
        if each["stroke"] and abs(each["linewidth"] * MM_PER_POINT - width_mm) < 0.01
    ]


def test_the_lot_on_paper_is_the_documents_at_the_stated_scale(pdf):
    """40 x 30 ft at 1/8 in to the foot are 5 x 3.75 in on paper: 127 x 95.25 mm."""
    (lot,) = rings_of(pdf.pages[0], width_mm=0.9)
    assert np.ptp(lot, axis=0) == pytest.approx([127.0, 95.25], abs=0.02)
    assert "Scale 1/8 in = 1 ft" in pdf.pages[0].extract_text()


def test_the_house_on_paper_has_its_area(pdf):
    """13 x 10 ft are 130 sf; an eighth of an inch squared is a sixty-fourth of a square inch."""
    (house,) = rings_of(pdf.pages[0], width_mm=0.6)
    assert Polygon(house).area == pytest.approx(130 / 64 * 25.4**2, rel=1e-3)


def test_the_scale_bar_on_paper_has_the_length_it_says(pdf):
    """On a letter sheet: four steps, the last figure with its unit, at 96 to 1."""
    feet = float(re.search(r"\b0 [\d.]+ ([\d.]+) ft", pdf.pages[0].extract_text())[1])
    boxes = rings_of(pdf.pages[0], width_mm=0.2)
    bars = [ring for ring in boxes if np.ptp(ring[:, 1]) == pytest.approx(1.5, abs=0.01)]
    assert len(bars) == 4
    length_mm = np.ptp(np.concatenate(bars)[:, 0])
    assert length_mm == pytest.approx(feet * FOOT * 1000 / 96, abs=0.02)


def test_words_can_be_taken_out_and_call_before_you_dig_comes_first(pdf):
    text = pdf.pages[0].extract_text()
    assert "A $5 yard & more" in text
    assert text.index("1 Call before you dig") < text.index("2 Dig by hand")
    every = "".join(page.extract_text() for page in pdf.pages)
    assert "102 to be planted, 0 existing to stay" in every
    assert "Carex morrowii" in every


@pytest.mark.parametrize(
    ("pattern", "across", "up", "spacing", "count"),
    [
        ("square", 10, 5, 12, 50),
        ("square", 10, 10, 6, 400),
        ("square", 10, 10, 24, 25),
        ("square", 20, 15, 18, 133),
        ("triangular", 10, 10, 12, 115),
    ],
)
def test_counts_of_the_trades_tables(tmp_path, pattern, across, up, spacing, count):
    """T10, T11 (erthturf.com; bloomindesigns.com; gloverperennials.com), on plan and schedule.

    A table knows no edge: perimeter x spacing / 2 over the area of one plant may go either way.
    """
    path = yard_of(tmp_path, across=across, up=up, spacing=spacing, pattern=pattern)
    shown = made(path, sheet="tabloid")
    row = next(row for row in shown.rows if "Carex" in row.cells[0])
    edge = (across + up) * spacing / 12 / (across * up / count)
    assert row.quantity == pytest.approx(count, abs=0 if spacing % 12 == 0 else edge) or (
        pattern == "triangular" and row.quantity == pytest.approx(count, abs=edge)
    )
    assert standing(shown) == row.quantity + 2


def test_materials_of_the_trades_tables(tmp_path):
    """T12: 1,000 sq ft of mulch at 3 in are 9.26 cu yd (ecoturfco.com); T13: 500 sq ft 4.63
    (countrygardencenterofbelair.com); T14: 40 x 25 ft of sod with 5 % of waste are 1,050 sq ft,
    105 rolls and 3 pallets (utilhq.pages.dev)."""
    path = tmp_path / "yard.toml"
    beds = [("large", 2, 40, 25, "3 in"), ("small", 50, 25, 20, "3 in")]
    text = YARD.partition("[[bed]]")[0].replace("[40, 0], [40, 30]", "[90, 0], [90, 60]")
    text = text.replace("[49, 39, 3], [-9, 39, 3]", "[99, 69, 0], [-9, 69, 0]")
    text = text.replace("[0, 30]", "[0, 60]").replace("[49, -9, 0]", "[99, -9, 0]")
    for name, x, wide, deep, mulch in beds:
        corners = [[x, 2], [x + wide, 2], [x + wide, 2 + deep], [x, 2 + deep]]
        text += f'[[bed]]\nname = "{name}"\nmulch = "{mulch}"\nedge = {corners}\n'
    corners = [[2, 32], [42, 32], [42, 57], [2, 57]]
    text += f'[[surface]]\nname = "play"\nkind = "lawn"\noutline = {corners}\n'
    text += "[quantities]\nsod_waste_percent = 5\n"
    path.write_text(text)
    shown = made(path, sheet="A3")
    read = pdfplumber.open(io.BytesIO(as_pdf(shown.pages, title="t", day=DAY)))
    words = " ".join(page.extract_text() for page in read.pages)
    for wanted in ("9.26 CY", "4.63 CY", "1,050 sf", "105 rolls", "3 pallets"):
        assert wanted in words


def standing(shown):
    """Plants drawn on the plan: every one has one mark where it stands."""
    return sum(mark.role == "stands" for mark in shown.pages[0].plan)


@pytest.mark.parametrize("name", ["terrace", "clinic", "school"])
@pytest.mark.parametrize("sheet", ["letter", "A3"])
def test_totals_of_the_schedule_tie_to_the_plan(name, sheet):
    shown = made(LIBRARY / f"{name}.toml", sheet=sheet)
    assert sum(row.quantity for row in shown.rows) == standing(shown)
    labels = [mark.text for mark in shown.pages[0].plan if mark.role == "label"]
    for row in shown.rows:
        mine = [text.split() for text in labels if text.split()[1] == row.key]
        assert sum(int(words[0]) for words in mine) == row.quantity
    assert (shown.pages[0].width, shown.pages[0].height) in (SHEETS[sheet], SHEETS[sheet][::-1])


def test_plants_are_drawn_at_their_spread(tmp_path):
    """A kept shrub of 8 ft and one of 6 ft spread, 7 ft apart (T16), just touch on paper."""
    path = yard_of(tmp_path)
    path.write_text(
        path.read_text()
        + '[[kept]]\nplant = "Ilex glabra"\nat = [20, 20]\nheight = 6\nspread = 8\n'
        + '[[kept]]\nplant = "Ilex glabra"\nat = [27, 20]\nheight = 5\nspread = 6\n'
    )
    shown = made(path, scale=Scale("1:100", 100.0), year=0)
    spreads = [m.rings[0] for m in shown.pages[0].plan if m.role == "spread"]
    widths = sorted((float(np.ptp(ring[:, 0])) for ring in spreads), reverse=True)[:2]
    assert widths == pytest.approx([8 * FOOT * 10, 6 * FOOT * 10], rel=0.03)


def test_the_same_plan_gives_the_same_bytes(tmp_path):
    page = made(yard_of(tmp_path)).pages
    for write in (
        lambda: as_pdf(page, title="t", day=DAY),
        lambda: as_svg(page[0], title="t", day=DAY),
        lambda: as_png(page[0]),
    ):
        assert write() == write()


def test_svg_is_xml_with_words_at_the_sheets_size(tmp_path):
    root = ElementTree.fromstring(as_svg(made(yard_of(tmp_path)).pages[0], title="t", day=DAY))
    assert root.tag.endswith("svg")
    points = sorted(float(root.get(side).removesuffix("pt")) for side in ("width", "height"))
    assert points == pytest.approx([612.0, 792.0], abs=0.1)
    assert any("A $5 yard" in (text or "") for text in root.itertext())


def test_too_large_for_the_sheet_says_what_fits(tmp_path):
    """40 ft and the rim round it are 14 m: 280 mm at 1:50, more than letter has room for."""
    with pytest.raises(SceneError, match=r"too large for letter; use --scale .* or --sheet"):
        made(yard_of(tmp_path), scale=Scale("1:50", 50.0))


@pytest.mark.parametrize(
    ("text", "over"),
    [("1:100", 100), ("1/8 in = 1 ft", 96), ("1/4 in = 1 ft", 48), ("1 in = 10 ft", 120)],
)
def test_scales_as_they_are_typed(text, over):
    assert read_scale(text).over == pytest.approx(over)


@pytest.mark.parametrize("text", ["", "1:0", "100", "0 in = 1 ft", "1/0 in = 1 ft", "1:99999"])
def test_what_is_no_scale_is_refused(text):
    with pytest.raises(ValueError, match="is not a scale; write it like 1:100"):
        read_scale(text)


@pytest.mark.parametrize(
    "wrong",
    [
        ["--out", "plan.doc"],
        ["--out", "plan.pdf", "--sheet", "A9"],
        ["--out", "plan.pdf", "--scale", "big"],
        ["--out", "plan.pdf", "--sheet", "letter", "--scale", "1:20"],
    ],
)
def test_mistakes_are_one_line_and_exit_2(tmp_path, monkeypatch, capsys, wrong):
    path = yard_of(tmp_path)
    monkeypatch.chdir(tmp_path)
    try:
        code = main(["plan", str(path), *wrong])
    except SystemExit as left:
        code = left.code
    assert code == 2
    assert capsys.readouterr().err.strip().count("\n") == 0
    assert not list(tmp_path.glob("plan*"))


def test_a_second_sheet_is_a_second_svg(tmp_path, capsys):
    """The terrace's schedule does not fit under its plan on a letter sheet."""
    out = tmp_path / "p.svg"
    assert (
        main(["plan", str(LIBRARY / "terrace.toml"), "--sheet", "letter", "--out", str(out)]) == 0
    )
    assert sorted(each.name for each in tmp_path.iterdir()) == ["p-2.svg", "p.svg"]
    assert "298 to be planted, 1 existing to stay" in capsys.readouterr().out
