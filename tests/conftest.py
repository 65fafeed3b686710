"""One Chromium for all tests that look at a page: two Playwright sessions would not get along.

Software drawing, so that it works without a graphics card. Without Chromium the tests that
need it are skipped with the reason, and fail where CI says they must run.
"""

import os
import shutil
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

SWITCHES = ["--no-sandbox", "--disable-background-networking", "--no-first-run"]
SOFTWARE_GL = [
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-gpu-rasterization",  # what is no picture is painted without GL, in half the time
]


@pytest.fixture(scope="session")
def launch() -> Iterator[Callable[..., Browser]]:
    """Starts Chromium with software drawing, or with other switches if given."""
    path = shutil.which("chromium")
    if path is None and os.environ.get("CI") != "true":
        pytest.skip("no Chromium on this machine (apt install chromium)")
    assert path is not None, "CI needs Chromium: apt install chromium"
    with sync_playwright() as playwright:
        yield lambda *switches: playwright.chromium.launch(
            executable_path=path, args=[*SWITCHES, *(switches or SOFTWARE_GL)]
        )


@pytest.fixture(scope="session")
def browser(launch: Callable[..., Browser]) -> Iterator[Browser]:
    """The Chromium that most tests share."""
    chromium = launch()
    yield chromium
    chromium.close()
