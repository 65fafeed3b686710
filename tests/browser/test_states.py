"""The page in every state it may be in: picture lost, nothing planted, nothing asked."""

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

WIDTHS = [1400, 390]
LOSE = """box => {
  const gl = box.querySelector('canvas').getContext('webgl2');
  window.taker = gl.getExtension('WEBGL_lose_context');
  window.taker.loseContext();
}"""


def away(one: np.ndarray, other: np.ndarray) -> float:
    """Mean difference of the two pictures, 0 to 255, in spots of ten pixels: how finely leaves
    are drawn depends on how quick the machine is at that moment."""
    spots = [
        Image.fromarray(each.astype(np.uint8)).reduce(10).convert("RGB") for each in (one, other)
    ]
    first, second = (np.asarray(each).astype(int) for each in spots)
    return float(np.abs(first - second).mean())


@pytest.mark.parametrize("width", WIDTHS)
def test_a_lost_picture_is_told_and_drawn_again(visit, small_yard, width):
    yard = visit(small_yard, viewport={"width": width, "height": 900})
    strip, box = yard.page.locator(".notice"), yard.page.locator(".view3d")
    yard.set_year(20)
    yard.pick("From the lane")
    turned = yard.rested()
    box.press("ArrowLeft")
    before = yard.rested()
    assert not strip.is_visible()

    box.evaluate(LOSE)
    expect(strip).to_have_text("The picture was lost; drawing it again")
    assert strip.get_attribute("role") == "status"
    yard.set_year(7)  # everything else goes on
    assert yard.page.locator(".big .number").inner_text() == "7"
    yard.set_year(20)
    assert yard.page.evaluate("document.documentElement.scrollWidth") == width

    yard.page.evaluate("window.taker.restoreContext()")
    expect(strip).to_be_hidden(timeout=30_000)
    assert yard.year == 20
    assert yard.page.locator(".caption b").inner_text() == "From the lane"
    after = yard.rested()
    assert away(after, before) < 3 < away(turned, before)
    assert [said for said in yard.complaints if "CONTEXT_LOST" not in said] == []


@pytest.fixture
def bare_document(small_document) -> dict:
    """The small yard's lot with a bed: nothing planted, built, looked at or asked."""
    return {name: small_document[name] for name in ("title", "lengths", "site", "ground", "bed")}


def test_a_yard_with_nothing_in_it_says_so(visit, serve_document, bare_document):
    address = serve_document(bare_document)
    for width in WIDTHS:
        yard = visit(address, viewport={"width": width, "height": 900})
        page = yard.page
        assert page.locator(".views label").all_inner_texts() == ["Whole yard", "Plan"]
        asked = page.locator(".verdicts").inner_text()
        assert asked == "No conditions in this yard. Add [[requirement]]."
        yard.set_year(12)
        assert page.locator(".say").inner_text() == "Nothing planted yet."
        assert page.evaluate("document.documentElement.scrollWidth") == width
        groove = page.locator(".groove svg path").evaluate_all(
            "all => Math.max(...all.map(e => e.getBBox().height))"
        )
        assert groove == pytest.approx(2.5, abs=0.1)
        assert yard.complaints == []
