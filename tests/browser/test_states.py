"""The page in every state it may be in: being made, picture lost, nothing planted or asked."""

import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"
WIDTHS = [1400, 390]
LOSE = """box => {
  const gl = box.querySelector('canvas').getContext('webgl2');
  window.taker = gl.getExtension('WEBGL_lose_context');
  window.taker.loseContext();
}"""

SAMPLES = """box => {
  const gl = box.querySelector('canvas').getContext('webgl2');
  return gl.getParameter(gl.SAMPLES);
}"""


def away(one: np.ndarray, other: np.ndarray) -> float:
    """Mean difference of the two pictures, 0 to 255, in spots of ten pixels: how finely leaves
    are drawn depends on how quick the machine is at that moment."""
    spots = [
        Image.fromarray(each.astype(np.uint8)).reduce(10).convert("RGB") for each in (one, other)
    ]
    first, second = (np.asarray(each).astype(int) for each in spots)
    return float(np.abs(first - second).mean())


def test_the_picture_is_drawn_with_one_sample_a_pixel(visit, small_yard):
    """Finer pixels at rest smooth its edges; the browser would draw each edge four times."""
    box = visit(small_yard).page.locator(".view3d")
    assert box.evaluate(SAMPLES) == 0


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


MAKING = """
import sys
from multiprocessing import Pipe
from pathlib import Path
from threading import Thread
from viz.following import Following
from viz.maker import Maker
from viz.server import serve

ours, theirs = Pipe()
told = []
Maker(lambda what, value: told.append((what, value))).make(Path(sys.argv[1]))

def tell():  # one thing a line of input
    for what in sys.stdin:
        while told:
            theirs.send(told[0])
            if told.pop(0)[0] == what.strip():
                break

theirs.send(told[0])
Thread(target=tell, daemon=True).start()
Thread(target=lambda: print(theirs.recv(), flush=True), daemon=True).start()
following = Following(ours)
serve({"": following.visit, "race": following.visit_race}, titles={"": "a", "race": "b"}, port=0,
      open_browser=False, meanwhile=following.attend)
"""
"""The pages of a yard whose making goes on when it is told to."""


@pytest.fixture
def slow_yard():
    """Address of the pages, what lets the making go on until it has told something, and what
    waits for the next line that the process says."""
    process = subprocess.Popen(
        [sys.executable, "-c", MAKING, str(SMALL)], cwd=ROOT, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )  # fmt: skip
    address = re.search(r"http://\S+", process.stdout.readline()).group()

    def until(what: str) -> None:
        process.stdin.write(what + "\n")
        process.stdin.flush()

    yield address, until, process.stdout.readline
    process.kill()
    process.communicate()


def test_while_a_yard_is_made_the_steps_are_told_then_the_picture_then_the_figures(
    visit, slow_yard
):
    address, until, said_next = slow_yard
    phone = {"width": 390, "height": 844}
    yards = [
        visit(address, ready=".loading", viewport=size, drawn=drawn)
        for size, drawn in (({"width": 1400, "height": 900}, True), (phone, False))
    ]
    race = visit(f"{address}race", ready=".loading", drawn=False)
    until("step")
    until("step")
    for yard in (*yards, race):
        page = yard.page
        expect(page.locator(".loading .now")).to_have_text(re.compile(r"Plants placed\s*now"))
        said = page.locator(".loading li").all_inner_texts()
        assert [" ".join(text.split()) for text in said] == [
            "Ground done", "Plants placed now", "Growth to come", "Picture to come",
            "Checks to come",
        ]  # fmt: skip
        bar = page.locator(".loading progress")
        assert bar.evaluate("e => [e.value, e.max]") == [1, 5]
        assert page.locator("input[type=range]").count() == 0
        assert Axe().run(page).response["violations"] == []
    assert yards[0].page.locator("h1").inner_text() == "Small yard"
    until("picture")
    yards[0].page.locator(".view3d[data-ready=true]").wait_for()
    assert said_next() == "seen\n"
    for yard in yards:
        page = yard.page
        expect(page.locator(".again")).to_have_text("The checks are being done; the figures follow")
        yard.set_year(20)  # not kept waiting
        values = page.locator(".row .values").all_inner_texts()
        assert len(values) == 4
        assert set(values) == {"not computed yet"}
        assert page.locator(".verdict .outcome").first.inner_text().strip() == "not computed yet"
        assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
    until("race")
    for yard in yards:
        page = yard.page
        page.locator(".columns[data-told]").wait_for()
        assert not page.locator(".again").is_visible()
        assert yard.year == 20
        assert "not computed yet" not in page.locator("body").inner_text()
        assert yard.complaints == []
    race.page.locator(".order li").first.wait_for()
    assert race.complaints == []
