"""What can be read and reached on the plan: names inside it, things that lie over each other."""

import pytest
from playwright.sync_api import expect

import scenes

pytestmark = pytest.mark.browser

BEYOND = """
[[structure]]
name = "house next door"
kind = "house"
outline = [[2, 11.5], [9, 11.5], [9, 25], [2, 25]]
floor = 10.8
eave = 2.4
ridge = 3.6
"""
"""A house most of which lies north of all that the plan shows: it ends 3 m beyond the lot."""

SPARE = """(plan) => {
  const box = plan.getBoundingClientRect();
  const shown = [...plan.querySelectorAll('.labels text')].filter(({ style }) => !style.display);
  return shown.map((text) => {
    const { left, top, right, bottom } = text.getBoundingClientRect();
    const ends = [left - box.left, top - box.top, box.right - right, box.bottom - bottom];
    return [text.textContent, Math.min(...ends)];
  });
}"""
"""Every name that is shown, and how many pixels lie between it and the nearest end of the plan."""


def rewritten(path, *changes: tuple[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")


@pytest.mark.parametrize("width", [1400, 390])
def test_no_name_is_cut_off(plan_of, yard_file, width):
    rewritten(yard_file, ("[[kept]]", f"{BEYOND}\n[[kept]]"))
    plan = plan_of(yard_file, viewport={"width": width, "height": 900})
    sheet = plan.page.locator(".plan")
    spare = dict(sheet.evaluate(SPARE))
    assert "house next door" in spare
    assert min(spare.values()) >= 0
    plan.page.get_by_role("button", name="Nearer").click()
    sheet.press("ArrowUp")
    moved = dict(sheet.evaluate(SPARE))
    assert moved
    assert min(moved.values()) >= 0


HEAD = '\n[[head]]\nname = "spray"\nat = {at}\nriser = "30 cm"\nthrow = 3\n'
HYDRANGEA = 6
"""The number of the plant at (3, 1.5) among all plants of the small yard."""


def stand(path) -> tuple:
    """Where the second hydrangea and the spray head are in the document."""
    yard = scenes.load(path)
    return yard.planting[1].at[1], yard.head[0].at


def test_a_plant_is_taken_before_the_head_under_its_foot_and_both_can_be_reached(
    plan_of, yard_file
):
    rewritten(yard_file, ("[[view]]", f"{HEAD.format(at=[3, 1.5])}\n[[view]]"))
    plan = plan_of(yard_file)
    scale, title = plan.pixels_a_metre(), plan.page.locator(".hand h2")
    also = plan.page.get_by_text("Something else lies in the same place")
    plan.drag(HYDRANGEA, scale, 0)
    assert stand(yard_file) == (pytest.approx((4, 1.5), abs=0.01), (3, 1.5))
    plan.press("Undo")
    plan.page.locator(".plan").press("Escape")

    x, y = plan.feet()[HYDRANGEA]
    for words in ("hydrangea", "spray", "hydrangea", "spray"):
        plan.page.mouse.click(x, y)
        expect(title).to_contain_text(words)
        expect(also).to_be_visible()
    plan.drag(HYDRANGEA, scale, 0)  # what is chosen stays in the hand
    assert stand(yard_file) == ((3, 1.5), pytest.approx((4, 1.5), abs=0.01))
    plan.page.mouse.click(*plan.feet()[HYDRANGEA])
    expect(title).to_contain_text("hydrangea")
    expect(also).to_be_hidden()
    plan.choose("Spray head: spray")  # by keys, wherever it lies
    plan.key("Shift+ArrowUp")
    assert stand(yard_file) == ((3, 1.5), pytest.approx((4, 2.5), abs=0.01))
    assert plan.visited.complaints == []


def test_the_nearest_of_two_symbols_is_taken(plan_of, yard_file):
    """A head 15 cm east of a foot, about six pixels, within reach of either's place."""
    rewritten(yard_file, ("[[view]]", f"{HEAD.format(at=[3.15, 1.5])}\n[[view]]"))
    plan = plan_of(yard_file)
    x, y = plan.feet()[HYDRANGEA]
    off = 0.15 * plan.pixels_a_metre()
    assert 4 < off < 9
    for press, words in ((x, "hydrangea"), (x + off, "spray")):
        plan.page.locator(".plan").press("Escape")
        plan.page.mouse.click(press, y)
        expect(plan.page.locator(".hand h2")).to_contain_text(words)


def test_an_end_of_a_panel_is_dragged_and_nudged_and_nothing_else_is_written(plan_of, yard_file):
    before = yard_file.read_bytes()
    plan = plan_of(yard_file)
    scale = plan.pixels_a_metre()
    plan.choose("View: patio to the west", "First end")
    plan.drag_grip(scale, scale)
    panel = scenes.load(yard_file).view[1].target
    assert (panel.from_, panel.to) == (pytest.approx((1.5, 3), abs=0.01), (0.5, 7))
    assert (panel.low, panel.high) == (0.5, 3)
    old, new = before.decode().splitlines(), yard_file.read_text(encoding="utf-8").splitlines()
    differing = [one for one, other in zip(old, new, strict=True) if one != other]
    assert len(differing) == 1
    assert differing[0].startswith("target = { from = [0.5, 4]")
    expect(plan.page.locator(".hand h2 + p")).to_have_text("View; first end of its panel")

    plan.choose("View: patio to the west", "Second end")
    plan.key("Shift+ArrowDown")
    assert scenes.load(yard_file).view[1].target.to == (0.5, 6)
    assert plan.page.get_by_role("button", name="Remove").is_hidden()
    plan.page.locator(".plan").press("Delete")  # half a panel cannot be taken out
    for _ in range(2):
        plan.press("Undo")
    assert yard_file.read_bytes() == before
    assert plan.visited.complaints == []


def test_an_end_of_a_panel_is_moved_by_a_finger(plan_of, yard_file):
    """The view is chosen by its eye, at (8, 5); then the end at (0.5, 7) by half a metre."""
    plan = plan_of(yard_file, viewport={"width": 390, "height": 844}, has_touch=True)
    scale, (x, y) = plan.pixels_a_metre(), plan.feet()[5]  # the hydrangea at (2, 1.5)
    plan.page.touchscreen.tap(x + 6 * scale, y - 3.5 * scale)
    expect(plan.page.locator(".hand h2")).to_have_text("patio to the west")
    before = plan.told()
    plan.slide(x - 1.5 * scale, y - 5.5 * scale, 0, 0.5 * scale)
    plan.await_told(before)
    panel = scenes.load(yard_file).view[1].target
    assert (panel.from_, panel.to) == ((0.5, 4), pytest.approx((0.5, 6.5), abs=0.03))
    assert plan.visited.complaints == []
