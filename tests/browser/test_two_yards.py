"""Two yards side by side in one file: one camera, one year, figures in two columns."""

import subprocess
import sys
import tomllib
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest
import tomlkit
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def both(tmp_path_factory) -> Path:
    """The small yard beside one whose bed stays empty."""
    folder = tmp_path_factory.mktemp("two")
    document = tomllib.loads(SMALL.read_text(encoding="utf-8"))
    document["title"] = "Scheme B"
    document["planting"] = document["planting"][:1]
    (folder / "b.toml").write_text(tomlkit.dumps(document), encoding="utf-8")
    (folder / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    command = [sys.executable, "-m", "viz", "pack", str(SMALL), str(folder / "b.toml")]
    command += ["--out", str(folder / "both.html")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder / "both.html"


@pytest.fixture
def two():
    """What the test of comparing reads pictures with."""
    path = Path(__file__).with_name("test_compare.py")
    spec = spec_from_file_location("comparing", path)
    assert spec is not None
    module = module_from_spec(spec)
    assert spec.loader is not None
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("width", [1400, 390])
def test_figures_of_both_yards_stand_in_two_columns(visit, both, width, small_findings):
    alone = visit(
        both.as_uri(), drawn=False, offline=True, viewport={"width": width, "height": 844}
    )
    page = alone.page
    assert page.locator(".pairtitle").all_inner_texts() == [
        "Small yard, year 5",
        "Scheme B, year 5",
    ]
    for _ in range(3):  # from year 5
        page.locator("#yard #year").press("PageUp")
    assert page.locator(".pairtitle").all_inner_texts() == [
        "Small yard, year 20", "Scheme B, year 20",
    ]  # fmt: skip
    bed = page.locator(".series .value").first.locator("b").all_inner_texts()
    covered = small_findings.coverage[0].fraction.expected[20]
    assert bed == [f"{round(100 * covered)}\u00a0%", "0\u00a0%"]  # nothing grows in the other bed
    assert (
        page.locator(".series .chart .course.other").count()
        == page.locator(".series .chart .course").count() / 2
    )
    assert page.locator("#otheryear").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert [each["id"] for each in Axe().run(page).response["violations"]] == []


def test_each_picture_shows_its_own_yard_and_both_turn(visit, both, two):
    alone = visit(both.as_uri(), offline=True)
    page = alone.page
    one, other = two.sheets(alone)
    assert 0.002 < two.apart(one, other) < 0.2  # the bed alone differs
    page.locator(".view3d").nth(1).press("ArrowRight")
    turned, also = two.sheets(alone)
    assert two.apart(turned, one) > two.UNLIKE
    assert two.apart(turned, also) < 0.2
    page.get_by_role("radio", name="A year").check()
    two.set_other(alone, 5)
    one, other = two.sheets(alone)
    assert two.apart(one, other) < two.ALIKE  # the first yard twice
    two.leave(alone)
    assert page.locator(".view3d").count() == 1
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)
