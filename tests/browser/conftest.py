"""A yard served by the command itself, and Debian's Chromium looking at it.

Software drawing, so windows are small; each module starts one server. Without Chromium the
tests are skipped with the reason, and fail where CI says they must run.
"""

import contextlib
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

import growth
import scenes

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"
SOFTWARE_GL = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-background-networking",
    "--no-first-run",
]


@contextlib.contextmanager
def served(yard: Path) -> Iterator[str]:
    """The address of a yard shown by the command, on a free port."""
    command = [sys.executable, "-m", "viz", "show", str(yard), "--port", "0", "--no-browser"]
    process = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    try:
        assert process.stdout is not None
        said = process.stdout.readline()
        found = re.search(r"http://localhost:\d+/", said)
        assert found, said + process.stdout.read()
        yield found.group()
    finally:
        process.terminate()
        process.wait(timeout=10)


def launched(playwright, *more: str) -> Browser:
    """Chromium with software drawing."""
    path = shutil.which("chromium")
    if path is None and os.environ.get("CI") != "true":
        pytest.skip("no Chromium on this machine (apt install chromium)")
    assert path is not None, "CI needs Chromium: apt install chromium"
    return playwright.chromium.launch(executable_path=path, args=[*SOFTWARE_GL, *more])


@pytest.fixture(scope="session")
def playwright_session():
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(playwright_session) -> Iterator[Browser]:
    chromium = launched(playwright_session)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def small_findings() -> growth.Findings:
    """The findings of the small yard, without any page."""
    yard = scenes.load(SMALL)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return growth.check(yard, terrain, layout, growth.grow(yard, layout))


@pytest.fixture(scope="session")
def small_yard() -> Iterator[str]:
    with served(SMALL) as address:
        yield address


class Visit:
    """One page with what it asked for and what it complained about."""

    def __init__(self, browser: Browser, address: str, **context):
        sizes = {"viewport": {"width": 800, "height": 600}, **context}
        self.context = browser.new_context(**sizes)
        self.page: Page = self.context.new_page()
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("websocket", lambda socket: self.requests.append(socket.url))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", self._listen)
        self.page.goto(address)
        self.page.locator(".view3d[data-ready=true]").wait_for(timeout=30_000)
        # software drawing takes its time by the pixel: a low picture at any width
        self.page.locator(".stage").evaluate(
            "e => { e.style.minHeight = 0; e.style.height = '160px'; }"
        )
        self.settle()

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

    def pick(self, view: str) -> None:
        """Picks a view or a season by its name."""
        self.page.get_by_role("radio", name=view, exact=True).check()

    def settle(self) -> None:
        """Waits until the frames asked for so far are drawn."""
        self.page.evaluate(
            "() => new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => "
            "requestAnimationFrame(r))))"
        )


@pytest.fixture(scope="module")
def shared(browser, small_yard) -> Iterator[Visit]:
    """One page of the small yard for tests that only turn its controls."""
    yard = Visit(browser, small_yard)
    yield yard
    yard.context.close()


@pytest.fixture(scope="module")
def phone(browser, small_yard) -> Iterator[Visit]:
    """The small yard on a telephone's window."""
    yard = Visit(browser, small_yard, viewport={"width": 390, "height": 844})
    yield yard
    yard.context.close()


@pytest.fixture
def visit(browser):
    """Opens pages and closes them again."""
    open_visits: list[Visit] = []

    def opened(address: str, **context) -> Visit:
        open_visits.append(Visit(browser, address, **context))
        return open_visits[-1]

    yield opened
    for each in open_visits:
        each.context.close()
