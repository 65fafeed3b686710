"""Make README's picture anew: the demo yard at years 0, 1, 5 and 15, as the page draws it.

Run from the project's root, in an environment with the test extra and Chromium:
`python tests/images/years_picture.py`. It shows the yard by the command itself, sets the
year as a visitor does, and lays the four pictures on one sheet with their years.
"""

import io
import re
import shutil
import subprocess
import sys
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[2]
PICTURE = ROOT / "scenes" / "library" / "terrace-years.jpg"
YEARS = (0, 1, 5, 15)
VIEW = "Whole yard"
WIDTH, HEIGHT, GAP, CAPTION = 880, 500, 12, 44
INK, GROUND = "#14201B", "#EDF0EE"
SOFTWARE_GL = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]


def picture_of_year(page: Page, year: int) -> Image.Image:
    """The page's picture after the year was set and drawn."""
    page.locator("#year[type=range]").evaluate(
        "(e, y) => { e.value = y; e.dispatchEvent(new Event('input')); }", year
    )
    page.wait_for_timeout(4000)
    return Image.open(io.BytesIO(page.locator(".view3d").screenshot())).convert("RGB")


def pictures(address: str) -> list[Image.Image]:
    """One picture a year, without the caption that lies on it."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=SOFTWARE_GL
        )
        page = browser.new_page(viewport={"width": 1400, "height": 1100})
        page.goto(address)
        page.locator(".view3d[data-ready=true]").wait_for(timeout=60_000)
        page.locator(".stage").evaluate(
            f"e => {{ e.style.width = '{WIDTH}px'; e.style.minHeight = 0;"
            f" e.style.height = '{HEIGHT}px';"
            " e.parentNode.querySelectorAll('.caption').forEach(t => t.style.display = 'none'); }"
        )
        page.get_by_label(VIEW, exact=True).check(force=True)
        made = [picture_of_year(page, year) for year in YEARS]
        browser.close()
    return made


def sheet(made: list[Image.Image]) -> Image.Image:
    """The pictures two by two, each with its year below."""
    paper = Image.new("RGB", (2 * WIDTH + 3 * GAP, 2 * (HEIGHT + CAPTION) + GAP), GROUND)
    pen = ImageDraw.Draw(paper)
    for i, (year, picture) in enumerate(zip(YEARS, made, strict=True)):
        x = GAP + (i % 2) * (WIDTH + GAP)
        y = GAP + (i // 2) * (HEIGHT + CAPTION)
        paper.paste(picture.resize((WIDTH, HEIGHT)), (x, y))
        text = "Year 0, the day of planting" if year == 0 else f"Year {year}, expected growth"
        pen.text((x + 4, y + HEIGHT + 8), text, fill=INK, font=ImageFont.load_default(22))
    return paper


def main() -> None:
    """Serve the demo yard, take the pictures, write the sheet."""
    server = subprocess.Popen(
        [sys.executable, "-m", "viz", "show", "--no-browser"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert server.stdout is not None
        found = re.search(r"http://localhost:\d+/", server.stdout.readline())
        assert found, "the server did not say its address"
        sheet(pictures(found.group())).save(PICTURE, quality=86, optimize=True)
    finally:
        server.terminate()
    print(f"wrote {PICTURE.relative_to(ROOT)}, {PICTURE.stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
