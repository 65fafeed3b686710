"""The packed file in a real browser without a network: all readings work and ask for nothing."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"


def run_pack(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "viz", "pack", *words]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def packed_file(tmp_path_factory) -> Path:
    file = tmp_path_factory.mktemp("packed") / "yard.html"
    done = run_pack(str(SMALL), "--out", str(file))
    assert done.returncode == 0, done.stderr
    assert str(file) in done.stdout
    assert [each.name for each in file.parent.iterdir()] == ["yard.html"]  # nothing left beside it
    return file


def test_the_yard_grows_without_a_server(visit, packed_file):
    alone = visit(packed_file.as_uri(), offline=True)
    alone.pick("Plan")
    assert alone.page.locator(".caption b").inner_text() == "Plan"
    figures = alone.page.locator(".value b").all_inner_texts()
    alone.page.locator("#yard #year[type=range]").press("End")
    assert alone.page.locator("#yard .number").inner_text() == "30"
    assert alone.page.locator(".value b").all_inner_texts() != figures
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)


def test_the_file_of_the_demo_yard_can_be_sent_by_mail(tmp_path):
    """Many mail servers end at 10 MB (common practice)."""
    file = tmp_path / "terrace.html"
    done = run_pack(str(ROOT / "scenes" / "library" / "terrace.toml"), "--out", str(file))
    assert done.returncode == 0, done.stderr
    assert file.stat().st_size < 10_000_000


def test_two_years_are_compared_in_the_file(visit, packed_file):
    alone = visit(packed_file.as_uri(), offline=True)
    page = alone.page
    page.get_by_role("button", name="Compare").click()
    assert page.locator(".pairtitle").all_inner_texts() == ["Year 5", "Year 15"]
    first, second = (page.locator(".value b").nth(i).inner_text() for i in (0, 1))
    assert first != second
    page.get_by_role("radio", name="Before the work").check()
    alone.settle()
    assert page.locator(".view3d .sheet").count() == 2
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)


def test_without_webgl_the_file_says_so_and_the_rest_works(visit, packed_file):
    alone = visit(packed_file.as_uri(), drawn=False, offline=True)
    page = alone.page
    told = "This browser shows no 3D picture (WebGL is off). Everything else works."
    assert page.locator(".notice").inner_text() == told
    page.locator("#yard #year[type=range]").press("End")
    assert page.locator("#yard .number").inner_text() == "30"
    alone.pick("Plan")
    assert page.locator(".caption b").inner_text() == "Plan"
    page.get_by_role("button", name="Compare").click()
    assert page.locator(".view3d.other").inner_text() == "There is no still of this."
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)


def test_the_sun_on_the_ground_is_in_the_file(visit, packed_file):
    alone = visit(packed_file.as_uri(), offline=True)
    alone.page.locator("details.ground summary").click()
    alone.page.get_by_role("radio", name="Sun").check()
    assert "Year 5" in alone.page.locator(".groundkey").inner_text()
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)


def test_the_race_runs_in_the_same_file(visit, packed_file):
    alone = visit(f"{packed_file.as_uri()}#race", drawn=False, ready=".order li", offline=True)
    page = alone.page
    assert page.locator("nav [aria-current]").inner_text() == "Growth race"
    assert not page.locator(".view3d").is_visible()
    page.get_by_role("button", name=re.compile("Choose plants")).first.click()
    page.get_by_label(re.compile("Find among")).fill("cycas revoluta")
    page.get_by_role("button", name=re.compile("^Add")).first.click()
    assert "Sago palm" in page.locator(".order").inner_text()
    page.get_by_role("link", name="Yard").click()
    page.locator("nav [aria-current]", has_text="Yard").wait_for()
    assert not page.locator(".order").is_visible()
    assert page.locator(".caption b").inner_text() == "Whole yard"
    assert alone.complaints == []
    assert all(url.startswith(("file:", "blob:", "data:")) for url in alone.requests)


def test_the_conditions_stand_in_the_same_file(visit, packed_file, small_findings):
    alone = visit(f"{packed_file.as_uri()}#conditions", drawn=False, ready=".every", offline=True)
    page = alone.page
    assert page.locator("nav [aria-current]").inner_text() == "Conditions"
    told = page.locator("#conditions .conditions tbody tr")
    assert told.count() == len(small_findings.requirements)
    assert not page.locator("#race").is_visible()
    assert alone.complaints == []


def test_axe_finds_nothing_in_the_file(visit, packed_file):
    ready = {"yard": ".stops button", "conditions": ".every", "race": ".order li"}
    page = visit(packed_file.as_uri(), drawn=False, ready="#yard .stops button", offline=True).page
    for reading, part in ready.items():
        page.evaluate(f"location.hash = '#{reading}'")
        page.locator(f"#{reading} {part}").first.wait_for()
        assert [each["id"] for each in Axe().run(page).response["violations"]] == [], reading


def test_the_browser_refuses_what_the_file_might_ask_for(visit, packed_file):
    alone = visit(packed_file.as_uri(), drawn=False)
    asked = alone.page.evaluate("fetch('http://localhost:9/').then(() => 'sent', () => 'refused')")
    assert asked == "refused"
    assert any("Content Security Policy" in said for said in alone.complaints)


@pytest.mark.parametrize("out", ["nowhere/yard.html", "folder.html"])
def test_what_cannot_be_written_is_one_line(tmp_path, out):
    (tmp_path / "folder.html").mkdir()
    done = run_pack(str(SMALL), "--out", str(tmp_path / out))
    assert done.returncode == 3
    assert done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert line.startswith(str(tmp_path / out))
    assert "; name a file in a folder that can be written" in line
    assert sorted(each.name for each in tmp_path.iterdir()) == ["folder.html"]


def test_a_name_that_is_no_page_is_refused(tmp_path):
    done = run_pack(str(SMALL), "--out", str(tmp_path / "yard.toml"))
    assert done.returncode == 2
    assert "name it like yard.html" in done.stderr


def test_the_client_is_shown_the_file_and_another_reading_leads_out(visit, packed_file):
    alone = visit(packed_file.as_uri(), offline=True)
    page = alone.page
    page.get_by_role("button", name="Show the client").press("Enter")
    assert page.locator("#yard .say").inner_text().startswith("A forecast: ")
    assert page.locator("#yard .stage").bounding_box()["width"] == 800
    page.evaluate("location.hash = 'race'")
    page.locator(".order li").first.wait_for()
    assert not page.locator("#yard").is_visible()
    page.get_by_role("link", name="Yard").click()
    page.locator("nav [aria-current]", has_text="Yard").wait_for()
    assert page.locator("#yard .side").is_visible()
    assert alone.complaints == []
