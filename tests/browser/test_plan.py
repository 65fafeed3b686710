"""The plan under the hand: what is moved on it is written into the document, and nothing else.

Metres are read off the picture by two hydrangeas that stand one metre apart in the document.
"""

import re
import time
from pathlib import Path

import pytest
from playwright.sync_api import expect

import scenes

pytestmark = pytest.mark.browser

POINTS = "at = [[2, 1.5], [3, 1.5]]"
COMMENT = "# two by the lane"
HYDRANGEAS = (5, 6)
"""Their numbers among all plants: behind the maple and a row of four."""


def hydrangeas_m(path: Path) -> list[tuple[float, float]]:
    """Where the document has them."""
    return [tuple(point) for point in scenes.load(path).planting[1].at]


def test_a_drag_rewrites_one_line_and_undo_puts_the_bytes_back(plan_beside_yard, yard_file):
    before = yard_file.read_bytes()
    plan = plan_beside_yard(yard_file)
    scale = plan.pixels_a_metre()
    plan.drag(HYDRANGEAS[1], 2 * scale, -0.5 * scale)

    assert hydrangeas_m(yard_file) == [(2, 1.5), pytest.approx((5, 2), abs=0.01)]
    old, new = before.decode().splitlines(), yard_file.read_text(encoding="utf-8").splitlines()
    differing = [n for n, pair in enumerate(zip(old, new, strict=True)) if pair[0] != pair[1]]
    assert [old[n] for n in differing] == [f"{POINTS}  {COMMENT}"]
    assert new[differing[0]].endswith(COMMENT)
    expect(plan.page.locator(".said")).to_contain_text("Moved Hydrangea arborescens")
    expect(plan.page.locator(".said")).to_contain_text("2.06 m")  # the root of 2 x 2 + 0.5 x 0.5
    moved = plan.feet()[HYDRANGEAS[1]]
    assert plan.page.locator(".chosen").get_attribute("data-plant") == str(HYDRANGEAS[1])

    plan.press("Undo")
    assert yard_file.read_bytes() == before
    assert plan.pixels_a_metre() == pytest.approx(scale, abs=0.1)
    plan.key("Control+Shift+Z")
    assert hydrangeas_m(yard_file)[1] == pytest.approx((5, 2), abs=0.01)
    assert plan.feet()[HYDRANGEAS[1]] == pytest.approx(moved, abs=0.5)
    plan.key("Control+Z")
    assert yard_file.read_bytes() == before
    assert plan.visited.complaints == []


def test_the_picture_and_the_checks_follow(plan_beside_yard, yard_file, visit):
    plan = plan_beside_yard(yard_file)
    yard = visit(plan.page.url.removesuffix("plan"), drawn=False)
    hidden = yard.page.locator(".row", has_text="From the lane").locator(".value b")
    yard.set_year(8)
    first = hidden.first.inner_text()
    plan.choose("Smaragd", "All 4")
    plan.press("Remove")
    expect(hidden.first).not_to_have_text(first, timeout=60_000)
    assert yard.year == 8


def test_keys_nudge_and_remove_a_plant_from_the_lists(plan_of, yard_file):
    plan = plan_of(yard_file)
    before = yard_file.read_bytes()
    plan.choose("Hydrangea", "2: Hydrangea")
    plan.key("ArrowRight")
    assert hydrangeas_m(yard_file)[1] == pytest.approx((3.1, 1.5))
    plan.key("Shift+ArrowUp")
    assert hydrangeas_m(yard_file)[1] == pytest.approx((3.1, 2.5))
    plan.key("Delete")
    assert hydrangeas_m(yard_file) == [(2, 1.5)]
    expect(plan.page.locator(".hand h2")).to_have_text("Nothing chosen")
    for _ in range(3):
        plan.press("Undo")
    assert yard_file.read_bytes() == before
    assert plan.page.get_by_role("button", name="Undo").is_disabled()


def test_keys_held_down_end_where_they_should(plan_of, yard_file):
    """Nudges while one is being written are added up; the plant ends at the sum of them."""
    plan = plan_of(yard_file)
    plan.choose("Hydrangea", "2: Hydrangea")
    for _ in range(12):
        plan.page.locator(".plan").press("ArrowRight")
    until = time.monotonic() + 20
    while hydrangeas_m(yard_file)[1][0] < 4.19 and time.monotonic() < until:
        plan.page.wait_for_timeout(50)
    assert hydrangeas_m(yard_file)[1] == pytest.approx((4.2, 1.5))


def test_what_is_refused_goes_back_and_says_why(plan_of, yard_file):
    before = yard_file.read_bytes()
    plan = plan_of(yard_file)
    scale, feet = plan.pixels_a_metre(), plan.feet()
    plan.drag(HYDRANGEAS[0], 0, 2 * scale)  # half a metre south of the lot
    alert = plan.page.locator(".refused[role=alert]:visible")
    expect(alert).to_contain_text("outside the boundary")
    assert plan.feet()[HYDRANGEAS[0]] == pytest.approx(feet[HYDRANGEAS[0]], abs=0.5)
    assert yard_file.read_bytes() == before
    plan.drag(HYDRANGEAS[0], 0.5 * scale, 0)
    assert alert.count() == 0
    assert hydrangeas_m(yard_file)[0] == pytest.approx((2.5, 1.5), abs=0.01)


@pytest.mark.parametrize("locked", ["document", "folder"])
def test_what_is_read_only_says_so_and_cannot_be_dragged(plan_of, yard_file, locked):
    path = yard_file if locked == "document" else yard_file.parent
    rights = path.stat().st_mode
    path.chmod(0o444 if locked == "document" else 0o555)
    try:
        before = yard_file.read_bytes()
        plan = plan_of(yard_file)
        expect(plan.page.locator(".readonly")).to_contain_text("read-only")
        feet = plan.feet()
        x, y = feet[HYDRANGEAS[0]]
        plan.page.mouse.move(x, y)
        plan.page.mouse.down()
        plan.page.mouse.move(x + 40, y, steps=4)
        now = plan.feet()
        plan.page.mouse.up()
        apart = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(feet, now, strict=True)]
        assert max(apart) == pytest.approx(min(apart), abs=0.5)  # the ground was panned, all alike
        plan.choose("Hydrangea", "1: Hydrangea")
        assert not plan.page.get_by_role("button", name="Remove").is_visible()
        assert yard_file.read_bytes() == before
    finally:
        path.chmod(rights)


def test_pages_see_each_other_and_what_an_editor_saves(plan_of, yard_file):
    one, other = plan_of(yard_file), plan_of(yard_file)
    scale = one.pixels_a_metre()
    before = other.told()
    one.drag(HYDRANGEAS[1], scale, 0)
    other.await_told(before)
    assert other.pixels_a_metre() == pytest.approx(2 * scale, abs=0.5)
    expect(other.page.get_by_role("button", name="Undo: Moved Hydrangea")).to_be_enabled()
    assert other.page.locator(".said").inner_text() == ""

    before = one.told(), other.told()
    text = yard_file.read_text(encoding="utf-8")
    yard_file.write_text(text.replace("[[2, 1.5]", "[[1.25, 1.5]"), encoding="utf-8")
    for plan, told in zip((one, other), before, strict=True):
        plan.await_told(told)
        assert plan.pixels_a_metre() == pytest.approx(2.75 * scale, abs=1)


def test_undo_asks_where_the_document_was_changed_since(plan_of, yard_file):
    plan = plan_of(yard_file)
    scale = plan.pixels_a_metre()
    plan.drag(HYDRANGEAS[1], scale, 0)
    text = yard_file.read_text(encoding="utf-8")
    x = hydrangeas_m(yard_file)[1][0]
    before = plan.told()
    elsewhere = re.sub(rf"\[{x:g}\d*, ", "[3.75, ", text)
    assert elsewhere != text
    yard_file.write_text(elsewhere, encoding="utf-8")
    plan.await_told(before)

    plan.press("Undo")
    question = plan.page.locator(".refused:visible")
    expect(question).to_contain_text("changed meanwhile")
    question.get_by_role("button", name="Keep").click()
    assert yard_file.read_text(encoding="utf-8") == elsewhere

    plan.press("Undo")
    before = plan.told()
    question.get_by_role("button", name="Write mine").click()
    plan.await_told(before)
    assert hydrangeas_m(yard_file)[1] == (3, 1.5)


def test_a_finger_moves_what_it_chose_and_pans_elsewhere(plan_of, yard_file):
    plan = plan_of(yard_file, viewport={"width": 390, "height": 844}, has_touch=True)
    scale = plan.pixels_a_metre()
    x, y = plan.feet()[HYDRANGEAS[1]]
    plan.slide(x, y, scale, 0)  # not chosen yet: the ground comes along
    assert plan.feet()[HYDRANGEAS[1]][0] == pytest.approx(x + scale, abs=1)
    assert plan.pixels_a_metre() == pytest.approx(scale, abs=0.1)

    x, y = plan.feet()[HYDRANGEAS[1]]
    plan.page.touchscreen.tap(x, y)
    expect(plan.page.locator(".chosen")).to_have_attribute("data-plant", str(HYDRANGEAS[1]))
    before = plan.told()
    plan.slide(x, y, scale, 0)
    plan.await_told(before)
    assert hydrangeas_m(yard_file) == [(2, 1.5), pytest.approx((4, 1.5), abs=0.02)]
    assert plan.page.evaluate("document.documentElement.scrollWidth") == 390
    assert plan.visited.complaints == []


WATCH = """(root) => {
  window.touched = [];
  new MutationObserver((seen) => seen.forEach(({ target }) => window.touched.push(
    target.closest?.('.plant')?.dataset.plant ?? target.nodeName)))
    .observe(root.getRootNode(), { subtree: true, childList: true, attributes: true });
}"""


def test_a_drag_among_two_thousand_plants_touches_one_mark_and_no_server(plan_of, yard_file):
    """Forty by fifty sedges, 14 by 18 cm apart, west of the walk; the first of them is dragged."""
    points = ", ".join(f"[{0.3 + 0.13 * i:.2f}, {0.3 + 0.18 * j:.2f}]" for i in range(40)
                       for j in range(50))  # fmt: skip
    text = yard_file.read_text(encoding="utf-8")
    more = f'\n[[planting]]\nplant = "Carex morrowii"\nsize = "#1"\nat = [{points}]\n'
    yard_file.write_text(text + more, encoding="utf-8")
    plan = plan_of(yard_file)
    assert plan.page.locator(".plant").count() > 2000
    feet = plan.feet()
    count = len(feet)
    first = count - 2000
    sent: list[str] = []
    plan.visited.sockets[0].on("framesent", lambda frame: sent.append(frame))
    plan.choose("planting 4", "1: Carex")
    plan.page.locator(".plan").evaluate(WATCH)
    x, y = plan.feet()[first]
    plan.page.mouse.move(x, y)
    plan.page.mouse.down()
    plan.page.mouse.move(x + 60, y - 60, steps=40)
    touched = plan.page.evaluate("window.touched")
    assert sent == []
    assert len(touched) >= 30
    assert set(touched) == {str(first)}
    ground = plan.page.locator(".flat path").first
    ground.evaluate("path => { path.stays = true; }")
    before = plan.told()
    plan.page.mouse.up()
    plan.await_told(before)
    assert ground.evaluate("path => path.stays")  # the ground is not drawn again
    assert sum("MessageSent" in frame for frame in sent) == 1
    way_m = 60 / plan.pixels_a_metre()
    assert scenes.load(yard_file).planting[3].at[0] == pytest.approx(
        (0.3 + way_m, 0.3 + way_m), abs=0.01
    )
    assert scenes.load(yard_file).planting[3].at[1] == pytest.approx((0.3, 0.48))
