"""A yard served by the command itself, and Debian's Chromium looking at it.

Software drawing, so windows are small; each module starts one server.
"""

import contextlib
import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
import tomlkit
from PIL import Image
from playwright.sync_api import Browser, Page, WebSocket

import scenes
from growth.checks.findings import Findings
from viz.checker import planned

ROOT = Path(__file__).parents[2]
SHOW = ("-m", "viz", "show", "--port", "0", "--no-browser")
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"

LOW_PICTURE = """addEventListener('DOMContentLoaded', () =>
  document.documentElement.style.setProperty('--picture-height', '160px'));
"""
"""Software drawing takes its time by the pixel: a low picture at any width."""

PLAN_ALONE = """
import sys; from pathlib import Path; from threading import Thread
import scenes; from viz.handdesk import Plans; from viz.server import serve
plans = Plans(Path(sys.argv[1]), scenes.load(sys.argv[1]), wrote=lambda: None)
Thread(target=plans.follow, daemon=True).start()
serve({"plan": plans.visit}, titles={"plan": "Plan"}, port=0, open_browser=False)
"""


@contextlib.contextmanager
def served(yard: Path, *program: str) -> Iterator[str]:
    """The address of a yard shown by the command, or by a program of its own, on a free port."""
    command = [sys.executable, *(program or SHOW), str(yard)]
    cache = tempfile.TemporaryDirectory()  # so that every start is a first one
    process = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env={**os.environ, "XDG_CACHE_HOME": cache.name},
    )  # fmt: skip
    try:
        assert process.stdout is not None
        said = process.stdout.readline()
        found = re.search(r"http://localhost:\d+/", said)
        assert found, said + process.stdout.read()
        yield found.group()
    finally:
        process.terminate()
        process.wait(timeout=10)
        cache.cleanup()


@pytest.fixture(scope="session")
def flat_browser(launch: Callable[..., Browser]) -> Iterator[Browser]:
    """Chromium without WebGL."""
    chromium = launch("--disable-gpu", "--disable-3d-apis")
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def small_findings() -> Findings:
    """The findings of the small yard, without any page."""
    return planned(scenes.load(SMALL)).findings


@pytest.fixture(scope="session")
def small_yard() -> Iterator[str]:
    with served(SMALL) as address:
        yield address


class Visit:
    """One page with what it asked for and what it complained about."""

    def __init__(
        self, browser: Browser, address: str, *, drawn: bool, ready: str = "",
        stills: bool = False, answer: dict | None = None, **context,
    ):  # fmt: skip
        """`ready` names what to wait for instead of the picture. Stills take seconds of every
        processor, so the server is asked for none unless `stills` says so: `answer` comes instead.
        """
        sizes = {"viewport": {"width": 800, "height": 600}, **context}
        self.context = browser.new_context(**sizes)
        self.page: Page = self.context.new_page()
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.received: list[int] = []
        self.sockets: list[WebSocket] = []
        self.page.on("websocket", self._listen_to)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", self._listen)
        self.page.add_init_script(LOW_PICTURE)
        if not stills:
            told = answer or {"mistake": "none are asked for here"}
            self.page.route("**/stills/*", lambda route: route.fulfill(json=told))
        self.page.goto(address, timeout=90_000)
        shown = ".view3d[data-ready=true]" if drawn else ".notice:visible"
        self.page.locator(ready or shown).first.wait_for(timeout=90_000)
        if not ready:  # the figures come after the picture
            self.page.locator(".columns[data-told]").first.wait_for(timeout=120_000)
        self.settle()

    def _listen_to(self, socket) -> None:
        self.requests.append(socket.url)
        self.sockets.append(socket)
        socket.on("framereceived", lambda frame: self.received.append(len(frame)))

    def _listen(self, message) -> None:
        # SwiftShader tells of its own slow reads; the page has no hand in it
        own = "GPU stall due to ReadPixels" in message.text
        if message.type in ("error", "warning") and not own:
            self.complaints.append(message.text)

    @property
    def slider(self):
        return self.page.locator("#year[type=range]")

    @property
    def year(self) -> float:
        return float(self.slider.input_value())

    def set_year(self, year: float) -> None:
        """As a drag does: the value, then an input event."""
        self.slider.evaluate(
            "(e, y) => { e.value = y; e.dispatchEvent(new Event('input')); }", year
        )

    def set_hour(self, hour: float) -> None:
        """As a drag does: the value, then an input event."""
        self.page.locator("#hour").evaluate(
            "(e, h) => { e.value = h; e.dispatchEvent(new Event('input')); }", hour
        )

    def pick(self, view: str) -> None:
        """Picks a view or a month by its name."""
        self.page.get_by_role("radio", name=view, exact=True).check()

    def rested(self) -> np.ndarray:
        """The picture as (rows, columns, 3) numbers 0 to 255, with nothing over it, once it has
        been drawn finely and nothing in it changes any more."""
        last = None
        for _ in range(20):
            self.settle()
            shot = self.page.locator(".view3d").screenshot(
                style=".again, .caption, .mistake, .notice { display: none !important }"
            )
            now = np.asarray(Image.open(io.BytesIO(shot)).convert("RGB")).astype(int)
            if last is not None and np.array_equal(now, last):
                return now
            last = now
            self.page.wait_for_timeout(1000)
        raise AssertionError("the picture does not come to rest")

    def settle(self) -> None:
        """Waits until the frames asked for so far are drawn."""
        self.page.evaluate(
            "() => new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => "
            "requestAnimationFrame(r))))"
        )


@pytest.fixture(scope="module")
def shared(browser, small_yard) -> Iterator[Visit]:
    """One page of the small yard with its picture."""
    yard = Visit(browser, small_yard, drawn=True)
    yield yard
    yard.context.close()


@pytest.fixture(scope="module")
def shared_flat(flat_browser, small_yard) -> Iterator[Visit]:
    """One page of the small yard without WebGL: all but the picture, and quick."""
    yard = Visit(flat_browser, small_yard, drawn=False)
    yield yard
    yard.context.close()


@pytest.fixture(scope="module")
def shared_race(flat_browser, small_yard) -> Iterator[Visit]:
    """One page of the growth race of the small yard's plants."""
    race = Visit(flat_browser, f"{small_yard}race", drawn=False, ready=".order li")
    yield race
    race.context.close()


@pytest.fixture
def serve_plan_alone():
    """Serves the plans of documents, with nobody who makes pictures or checks meanwhile."""
    with contextlib.ExitStack() as stack:
        yield lambda yard: stack.enter_context(served(yard, "-c", PLAN_ALONE))


@pytest.fixture
def serve_file():
    """Serves documents that lie on the disk."""
    with contextlib.ExitStack() as stack:
        yield lambda yard: stack.enter_context(served(yard))


@pytest.fixture
def serve_document(tmp_path):
    """Serves a document given as a mapping, with the small yard's survey beside it."""
    with contextlib.ExitStack() as stack:

        def address_of(document: dict) -> str:
            shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
            yard = tmp_path / "yard.toml"
            yard.write_text(tomlkit.dumps(document), encoding="utf-8")
            return stack.enter_context(served(yard))

        yield address_of


@pytest.fixture
def small_document() -> dict:
    """The small yard's document as it is written."""
    return tomllib.loads(SMALL.read_text(encoding="utf-8"))


@pytest.fixture
def visit(browser, flat_browser):
    """Opens pages, with the picture or flat, and closes them again."""
    open_visits: list[Visit] = []

    def opened(address: str, *, drawn: bool = True, **context) -> Visit:
        where = browser if drawn else flat_browser
        open_visits.append(Visit(where, address, drawn=drawn, **context))
        return open_visits[-1]

    yield opened
    for each in open_visits:
        each.context.close()


POINTS = "at = [[2, 1.5], [3, 1.5]]"
COMMENT = "# two by the lane"
HYDRANGEAS = (5, 6)
"""Numbers among all plants of the small yard: behind the maple and a row of four."""

FEET = """(marks) => marks.sort((a, b) => a.dataset.plant - b.dataset.plant).map((mark) => {
  const { x, y, width, height } = mark.querySelector('.foot').getBoundingClientRect();
  return [x + width / 2, y + height / 2];
})"""

TOLD = """() => {
  const find = (root) => [...root.querySelectorAll('*')].map((each) =>
    each.dataset?.told || (each.shadowRoot && find(each.shadowRoot))).find((told) => told);
  return Number(find(document) ?? 0);
}"""


class Plan:
    """A page of the plan, and hands on it."""

    def __init__(self, visited) -> None:
        self.visited, self.page = visited, visited.page
        self.page.locator(".plant").first.wait_for(state="attached")

    def feet(self) -> list[list[float]]:
        """Where the foot of every plant is in the window, in pixels."""
        return self.page.locator(".plant").evaluate_all(FEET)

    def pixels_a_metre(self) -> float:
        feet = self.feet()
        return feet[HYDRANGEAS[1]][0] - feet[HYDRANGEAS[0]][0]

    def told(self) -> int:
        return self.page.evaluate(TOLD)

    def await_told(self, before: int) -> None:
        """Waits until the page was told more."""
        until = time.monotonic() + 20
        while self.told() <= before:
            assert time.monotonic() < until, "the page is told nothing"
            self.page.wait_for_timeout(30)

    def drag(self, plant: int, dx: float, dy: float, *, steps: int = 8) -> None:
        """By the mouse, and waits for what becomes of it."""
        self._draw(*self.feet()[plant], dx, dy, steps)

    def drag_grip(self, dx: float, dy: float) -> None:
        """The grip that is taken, by so many pixels."""
        box = self.page.locator(".grip.taken").bounding_box()
        self._draw(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, dx, dy, 5)

    def _draw(self, x: float, y: float, dx: float, dy: float, steps: int) -> None:
        before = self.told()
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(x + dx, y + dy, steps=steps)
        self.page.mouse.up()
        self.await_told(before)

    def slide(self, x: float, y: float, dx: float, dy: float) -> None:
        """By one finger."""
        touch = self.visited.context.new_cdp_session(self.page)
        ways = [("touchStart", 0.0), *(("touchMove", n / 5) for n in range(1, 6))]
        for kind, share in ways:
            point = {"x": x + dx * share, "y": y + dy * share}
            touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [point]})
        touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    def choose(self, table: str, single: str = "") -> None:
        """By the two lists."""
        lists = [("#hand-table", table), ("#hand-single", single)]
        for of, words in lists:
            if words:
                self.page.locator(of).select_option(label=self.label(of, words))

    def label(self, of: str, words: str) -> str:
        options = self.page.locator(f"{of} option").all_text_contents()
        return next(each for each in options if words in each)

    def press(self, button: str) -> None:
        before = self.told()
        self.page.get_by_role("button", name=re.compile(f"^{button}")).first.click()
        self.await_told(before)

    def key(self, keys: str) -> None:
        before = self.told()
        self.page.locator(".plan").press(keys)
        self.await_told(before)


@pytest.fixture
def yard_file(tmp_path) -> Path:
    """The small yard with a comment at its hydrangeas, in a folder of its own."""
    shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
    path = tmp_path / "yard.toml"
    text = SMALL.read_text(encoding="utf-8")
    assert POINTS in text
    path.write_text(text.replace(POINTS, f"{POINTS}  {COMMENT}"), encoding="utf-8")
    return path


def _plans(visit, serve):
    """Opens the plan of a document; served once, however many pages look at it."""
    addresses: dict[Path, str] = {}

    def opened(path: Path, **context) -> Plan:
        if path not in addresses:
            addresses[path] = serve(path)
        sizes = {"viewport": {"width": 1400, "height": 1000}, **context}
        address = f"{addresses[path]}plan"
        return Plan(visit(address, drawn=False, ready=".hand #hand-table", **sizes))

    return opened


@pytest.fixture
def plan_of(visit, serve_plan_alone):
    """Opens the plan of a document, with nobody who makes pictures or checks meanwhile."""
    return _plans(visit, serve_plan_alone)


@pytest.fixture
def plan_beside_yard(visit, serve_file):
    """Opens the plan of a document as the command serves it, beside its other readings."""
    return _plans(visit, serve_file)
