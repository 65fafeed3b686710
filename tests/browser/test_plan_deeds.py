"""More that is done on the plan: plants set, swapped, copied; beds, heads and eyes; its scale."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

import growth
import scenes

pytestmark = pytest.mark.browser

COMMENT = "# two by the lane"
HYDRANGEAS = (5, 6)
"""Numbers among all plants of the small yard: behind the maple and a row of four."""


def hydrangeas_m(path: Path) -> list[tuple[float, float]]:
    """Where the document has them."""
    return [tuple(point) for point in scenes.load(path).planting[1].at]


def test_a_plant_is_found_set_and_swapped(plan_of, yard_file):
    plan = plan_of(yard_file)
    page = plan.page
    page.get_by_role("button", name="Add a plant").click()
    page.locator("#find-add").fill("ilex crenata")
    item = page.locator("#hand-add .found li", has_text="Ilex crenata").first
    item.get_by_role("combobox").select_option("#5")
    item.get_by_role("button").click()
    scale = plan.pixels_a_metre()
    x, y = plan.feet()[HYDRANGEAS[0]]
    before = plan.told()
    page.mouse.click(x + 2 * scale, y - 2 * scale)
    plan.await_told(before)
    added = scenes.load(yard_file).planting[-1]
    assert (added.plant, added.size) == ("Ilex crenata", "#5")
    assert added.at[0] == pytest.approx((4, 3.5), abs=0.01)
    page.get_by_role("button", name="Stop").click()

    plan.choose("Hydrangea", "All 2")
    page.get_by_role("button", name="Swap plant or size").click()
    page.locator("#find-swap").fill("hydrangea arborescens")
    item = page.locator("#hand-swap .found li", has_text="Hydrangea arborescens")
    item.get_by_role("combobox").select_option("#5")
    before = plan.told()
    item.get_by_role("button").click()
    plan.await_told(before)
    yard = scenes.load(yard_file)
    assert (yard.planting[1].plant, yard.planting[1].size) == ("Hydrangea arborescens", "#5")
    page.locator("#find-swap").fill("viburnum dentatum")
    before = plan.told()
    page.get_by_role("button", name="Swap in Viburnum dentatum").click()
    plan.await_told(before)
    assert scenes.load(yard_file).planting[1].plant == "Viburnum dentatum"
    assert COMMENT in yard_file.read_text(encoding="utf-8")


def test_points_of_a_bed_are_moved_added_and_removed(plan_of, yard_file):
    """The lane bed is a rectangle of 3 by 2 m; metres are its sides."""
    plan = plan_of(yard_file)
    before, scale = yard_file.read_bytes(), plan.pixels_a_metre()
    plan.choose("Bed: lane bed", "Point 2")
    plan.drag_grip(scale, -scale)
    edge = scenes.load(yard_file).bed[0].edge
    assert edge[2] == pytest.approx((5, 3.5), abs=0.01)
    assert [edge[n] for n in (0, 1, 3)] == [(1, 0.5), (4, 0.5), (1, 2.5)]

    plan.choose("Bed: lane bed", "A new point after 3")  # in the middle of the west side
    plan.key("Shift+ArrowLeft")
    assert scenes.load(yard_file).bed[0].edge[4] == pytest.approx((0, 1.5))
    plan.key("Delete")
    assert len(scenes.load(yard_file).bed[0].edge) == 4
    for _ in range(3):
        plan.press("Undo")
    assert yard_file.read_bytes() == before
    assert plan.visited.complaints == []


def test_heads_and_eyes_are_moved_and_changed(plan_of, yard_file):
    head = '\n[[head]]\nname = "spray"\nat = [5, 8]\nriser = "30 cm"\nthrow = 3\narc = [0, 90]\n'
    yard_file.write_text(yard_file.read_text(encoding="utf-8") + head, encoding="utf-8")
    plan = plan_of(yard_file)
    plan.choose("Spray head: spray")
    plan.key("Shift+ArrowDown")
    plan.page.locator("#spray-throw_m").fill("4")
    plan.page.locator("#spray-to").fill("180")
    plan.press("Change the spray")
    (spray,) = scenes.load(yard_file).head
    assert (spray.at, spray.throw, spray.arc, spray.riser) == ((5, 7), 4, (0, 180), 0.3)
    plan.choose("View: from the lane")
    plan.key("Shift+ArrowLeft")
    plan.page.locator("#eye-eye_height_m").fill("1.2")
    plan.press("Change the height")
    view = scenes.load(yard_file).view[0]
    assert (view.eye, view.eye_height) == (pytest.approx((7.7, -4)), 1.2)


def test_plants_are_copied_in_rows_mirrored_clipped_and_fill_beds(plan_of, yard_file):
    plan = plan_of(yard_file)
    page = plan.page

    def write(form: str, **values: float) -> None:
        for name, value in values.items():
            page.locator(f"#{form}-{name}").fill(str(value))

    plan.choose("Hydrangea", "1: Hydrangea")
    page.get_by_role("button", name="Copy, mirror").click()
    write("line", x0=1, y0=5, x1=5, y1=5, spacing=2)
    plan.press("Copy in a row")
    row = scenes.load(yard_file).planting[-1]
    assert (row.plant, row.along, row.spacing) == ("Hydrangea arborescens", ((1, 5), (5, 5)), 2)

    write("line", x0=0, y0=2, x1=6, y1=2)
    plan.press("Mirror copies")
    assert scenes.load(yard_file).planting[-1].at == ((2, 2.5),)
    plan.press("Undo")
    plan.press("Mirror, moved")
    assert hydrangeas_m(yard_file) == [(2, 2.5), (3, 1.5)]

    page.get_by_role("button", name="Clip", exact=True).click()
    write("clip", height_m=0.9)
    plan.press("Keep clipped")
    tables = scenes.load(yard_file).planting
    clipped = [each.at for each in tables if each.kept_at and each.kept_at.height == 0.9]
    assert clipped == [((2, 2.5),)]

    page.get_by_role("button", name="Add a plant").click()
    page.locator("#find-add").fill("liriope muscari")
    page.get_by_role("button", name="Choose Liriope muscari").click()
    page.get_by_label("Fill a bed").check()
    write("fill", spacing_m=0.5)
    plan.press("Fill the bed")
    filled = scenes.load(yard_file).planting[-1]
    assert (filled.plant, filled.fill, filled.spacing) == ("Liriope muscari", "lane bed", 0.5)
    assert plan.visited.complaints == []


def test_one_kind_of_a_mix_is_swapped_and_a_fill_stays_a_fill(plan_of, yard_file):
    mix = '\n[[planting]]\nfill = "lane bed"\nspacing = 1.0\nsize = "#1"\n'
    mix += 'mix = { "Carex morrowii" = 0.5, "Liriope muscari" = 0.5 }\n'
    yard_file.write_text(yard_file.read_text(encoding="utf-8") + mix, encoding="utf-8")
    plan = plan_of(yard_file)
    plan.choose("planting 4", "All Carex morrowii")
    plan.page.get_by_role("button", name="Swap plant or size").click()
    plan.page.locator("#find-swap").fill("nepeta x faassenii")
    plan.press("Swap in Nepeta x faassenii")
    swapped = scenes.load(yard_file).planting[3]
    assert (swapped.fill, swapped.mix) == (
        "lane bed",
        {"Nepeta x faassenii": 0.5, "Liriope muscari": 0.5},
    )


def test_the_plan_is_to_scale_and_knows_north(plan_of, yard_file):
    """Where +y points east, north is to the left; the bar is as long as it says."""
    text = yard_file.read_text(encoding="utf-8")
    yard_file.write_text(text.replace("[site]", "[site]\nnorth_deg = 90", 1), encoding="utf-8")
    plan = plan_of(yard_file)
    page = plan.page
    for _ in range(2):
        label = page.locator(".scalebar text").text_content()
        found = re.fullmatch(r"([\d.]+) m", label or "")
        assert found, label
        long = page.locator(".rulebar").evaluate("(bar) => bar.getBBox().width")
        assert long == pytest.approx(float(found[1]) * plan.pixels_a_metre(), abs=0.5)
        page.get_by_role("button", name="Nearer").click()
    tip = page.locator(".north text").bounding_box()
    foot = page.locator(".needle").bounding_box()
    assert tip["x"] < foot["x"]
    page.get_by_role("button", name="Show the whole plan").click()
    crown = page.locator(f"[data-plant='{HYDRANGEAS[0]}'] .crown")
    page.locator("#plan-year").fill("10")
    yard = scenes.load(yard_file)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    wide_m = growth.grow(yard, layout).spread_m.expected[10, HYDRANGEAS[0]]
    assert float(crown.get_attribute("r")) == pytest.approx(wide_m / 2, abs=0.001)
    plan.choose("Hydrangea", "1: Hydrangea")
    told = page.get_by_text("from slow to fast growth")
    expect(told).to_contain_text(f"Year 10: {wide_m:.1f} m wide")
