"""The browser's picture by itself: it places and scales plants as Python says.

The page is written here: vtk.js as Panel ships it, the picture's scripts, the small yard's
arrays. What is on the graphics card is read back from vtk.js's own objects; what is seen, from
the canvas. Needs Debian's Chromium.
"""

import base64
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import panel
import pytest
from playwright.sync_api import Browser, Page

from viz.stage import PARAMS, Stage

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
SCRIPTS = (
    "light.js", "drawings.js", "daylight.js", "shaders.js", "overlaps.js", "shade.js", "lens.js",
    "orbit.js", "loss.js", "canvas.js", "picture.js",
)  # fmt: skip
DECODE = """
const KINDS = { float32: Float32Array, uint32: Uint32Array, uint16: Uint16Array, uint8: Uint8Array,
  int16: Int16Array, int8: Int8Array };
const raw = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
const decode = (o) => o === null || typeof o !== 'object' ? o : Array.isArray(o) ? o.map(decode)
  : o.dtype ? new KINDS[o.dtype](raw(o.data)) : o.bytes ? raw(o.bytes)
  : Object.fromEntries(Object.entries(o).map(([k, v]) => [k, decode(v)]));
"""

pytestmark = pytest.mark.browser


def encoded(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return {"dtype": value.dtype.name, "data": base64.b64encode(value.tobytes()).decode()}
    if isinstance(value, bytes):
        return {"bytes": base64.b64encode(value).decode()}
    if isinstance(value, dict):
        return {key: encoded(part) for key, part in value.items()}
    return [encoded(part) for part in value] if isinstance(value, list) else value


def vtk_script() -> Path:
    return next(Path(panel.__file__).parent.glob("dist/bundled/abstractvtkplot/vtk.js*/vtk.js"))


@pytest.fixture(scope="module")
def stage(small_stage: Stage) -> Stage:
    return small_stage


@pytest.fixture(scope="module")
def page(
    stage: Stage, browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    one = opened_picture(stage, browser, tmp_path_factory.mktemp("picture"))
    yield one
    one.close()


def opened_picture(stage: Stage, browser: Browser, folder: Path) -> Page:
    """A page that shows the picture of a stage and nothing else, once it is drawn."""
    js = Path(__file__).parents[2] / "viz" / "js"
    scripts = "\n".join((js / name).read_text() for name in SCRIPTS)
    data = json.dumps(encoded({name: part(stage) for name, part in PARAMS.items()}))
    (folder / "page.html").write_text(
        f"<!doctype html><body style='margin:0'><div id=box style='width:500px;height:300px'></div>"
        f"<script src='{vtk_script().as_uri()}'></script><script>{scripts}\n{DECODE}\n"
        f"window.picture = new Picture(document.getElementById('box'));"
        f"picture.load(decode({data}));</script>"
    )
    one = browser.new_page(viewport={"width": 500, "height": 300})
    one.troubles = []  # type: ignore[attr-defined]
    one.on("console", lambda said: one.troubles.append(said.text))  # type: ignore[attr-defined]
    one.on("pageerror", lambda error: one.troubles.append(str(error)))  # type: ignore[attr-defined]
    one.goto((folder / "page.html").as_uri())
    one.wait_for_function("window.picture.ready", timeout=30_000)
    return one


def placed(page: Page, year: float) -> np.ndarray:
    """Foot, spread and height (n, 5) of all plants as they are drawn at a year."""
    rows = page.evaluate(
        """(year) => { picture.setYear(year);
        const rows = [];
        for (const g of picture.groups.flat()) for (let i = 0; i < g.count; i++) {
          const [wide, , high] = g.size.slice(3 * i, 3 * i + 3);
          const foot = g.place.slice(3 * i, 3 * i + 3);
          rows.push([...foot, wide * g.stage.spread, high * g.stage.height]);
        }
        return rows; }""",
        year,
    )
    return np.array(rows)


def sorted_rows(rows: np.ndarray) -> np.ndarray:
    return rows[np.lexsort(rows[:, :2].T)]


def greens(page: Page) -> int:
    """Pixels of the canvas that are clearly green."""
    page.wait_for_timeout(150)
    return page.evaluate(
        """() => { picture.draw(); const c = document.createElement('canvas');
        [c.width, c.height] = [250, 150]; const pen = c.getContext('2d');
        copyDrawn(picture, picture.size, pen, [250, 150]);
        const d = pen.getImageData(0, 0, 250, 150).data; let n = 0;
        for (let i = 0; i < d.length; i += 4)
          n += d[i + 1] > d[i] * 1.15 && d[i + 1] > d[i + 2] * 1.25;
        return n; }"""
    )


@pytest.mark.parametrize("year", [0, 1, 5, 15, 30])
def test_plants_are_drawn_as_large_as_python_says(page: Page, stage: Stage, year: int) -> None:
    there = stage.height_m[year] > 0
    sizes = np.stack([stage.spread_m[year], stage.height_m[year]], axis=1)
    wanted = np.concatenate([stage.foot_m, sizes], axis=1)[there]
    assert sorted_rows(placed(page, year)) == pytest.approx(sorted_rows(wanted), rel=1e-4, abs=1e-4)


def test_between_years_sizes_lie_between(page: Page) -> None:
    early, mid, late = (sorted_rows(placed(page, year))[:, 4] for year in (4, 4.5, 5))
    assert mid == pytest.approx((early + late) / 2, rel=1e-4)


def test_a_grown_yard_fills_more_of_the_view_than_a_young_one(page: Page) -> None:
    page.evaluate("picture.look(0)")
    page.evaluate("picture.setYear(0)")
    young = greens(page)
    page.evaluate("picture.setYear(15)")
    assert greens(page) > 1.3 * young


def test_a_year_is_drawn_once_and_with_its_own_shade(page: Page) -> None:
    drawn = page.evaluate(
        """async () => {
          const seen = () => {
            const sheet = document.createElement('canvas');
            [sheet.width, sheet.height] = [250, 150];
            const pen = sheet.getContext('2d');
            copyDrawn(picture, picture.size, pen, [250, 150]);
            return pen.getImageData(0, 0, 250, 150).data;
          };
          const pause = async () => {
            for (let n = 0; n < 5; n++) await new Promise((next) => requestAnimationFrame(next));
          };
          const grown = [];
          picture.setYear(1);
          await pause();
          picture.onpaint = () => grown.push(seen());
          picture.setYear(25);
          await pause();
          picture.onpaint = () => {};
          picture.setYear(1);
          picture.draw();
          const young = seen();
          picture.setYear(25);
          picture.draw();
          picture.draw();
          const [first, again] = [grown[0], seen()];
          const unlike = (other) => again.filter((value, i) => Math.abs(value - other[i]) > 3);
          return [grown.length, unlike(first).length, unlike(young).length];
        }"""
    )
    assert drawn[:2] == [1, 0]
    assert drawn[2] > 1000


def test_a_coarse_picture_is_the_same_on_a_canvas_that_keeps_its_size(page: Page) -> None:
    """Another size of the canvas would have the page wait until the graphics card is done."""
    page.evaluate("picture.look(2); picture.setYear(15)")
    page.wait_for_function("!picture.waiting && picture.shaded && !picture.shade.fresh")
    drawn = page.evaluate(
        """() => ['draw', 'refine'].map((how) => {
          picture[how]();
          clearTimeout(picture.resting);
          const sheet = document.createElement('canvas');
          [sheet.width, sheet.height] = [50, 30];
          const pen = sheet.getContext('2d');
          copyDrawn(picture, picture.size, pen, [50, 30]);
          const canvas = picture.gl.getCanvas();
          const { left, bottom, width, height } = canvas.getBoundingClientRect();
          return { canvas: [canvas.width, canvas.height], size: [...picture.size],
            left, bottom, pixels: [canvas.width / width, canvas.height / height],
            colours: [...pen.getImageData(0, 0, 50, 30).data] };
        })"""
    )
    coarse, fine = drawn
    assert coarse["canvas"] == fine["canvas"] == fine["size"] == [1000, 600]
    assert coarse["size"] == [500, 300]
    assert coarse["pixels"] == pytest.approx([1, 1])
    assert fine["pixels"] == pytest.approx([2, 2])
    assert [each[side] for each in drawn for side in ("left", "bottom")] == [0, 300, 0, 300]
    apart = np.abs(np.subtract(coarse["colours"], fine["colours"]))
    assert np.mean(apart) < 8
    assert np.ptp(fine["colours"]) > 100


def test_ground_that_was_drawn_before_its_shade_takes_it_later(page: Page) -> None:
    had_place = page.evaluate(
        """() => {
          const { gl } = picture;
          while (gl.getContext().getError()) {}
          picture.loadGround(picture.data.ground);
          drawPicture(picture);
          picture.setYear(25);
          return Boolean(gl.getViewNodeFor(picture.shade.texture)?.getHandle());
        }"""
    )
    assert had_place
    page.wait_for_function("!picture.waiting && picture.shaded && !picture.shade.fresh")
    page.evaluate("picture.draw()")
    assert page.evaluate("picture.gl.getContext().getError()") == 0


def test_bare_season_shows_less_green(page: Page) -> None:
    page.evaluate("picture.look(2); picture.setYear(15); picture.setMoment(5, 12)")
    leaf = greens(page)
    page.evaluate("picture.setMoment(0, 12)")
    bare = greens(page)
    page.evaluate("picture.setMoment(5, 12)")
    assert bare < 0.9 * leaf


def test_a_view_moves_the_camera_to_its_eye(page: Page, stage: Stage) -> None:
    page.evaluate("picture.look(1)")
    camera = page.evaluate("picture.camera")
    assert camera["position"] == pytest.approx(list(stage.views[1].eye_m))
    assert camera["focal"] == pytest.approx(list(stage.views[1].focal_m))


def test_keys_turn_the_camera_about_what_it_looks_at(page: Page) -> None:
    page.evaluate("picture.look(2); picture.box.focus()")
    before = page.evaluate("picture.camera")
    page.keyboard.press("ArrowLeft")
    after = page.evaluate("picture.camera")
    assert after["focal"] == pytest.approx(before["focal"])
    ways = [np.subtract(c["position"], c["focal"]) for c in (before, after)]
    assert np.linalg.norm(ways[1]) == pytest.approx(np.linalg.norm(ways[0]))
    assert ways[1] != pytest.approx(ways[0])


def test_moved_plants_keep_the_camera(page: Page) -> None:
    page.evaluate("picture.look(0)")
    before = page.evaluate("picture.camera")
    page.evaluate("picture.load({ plants: picture.data.plants, sizes: picture.data.sizes })")
    assert page.evaluate("picture.camera") == before


def test_a_thumbnail_is_a_small_jpeg_of_its_own_view(page: Page) -> None:
    first = page.evaluate("picture.thumbnail(0, 96, 54)")
    second = page.evaluate("picture.thumbnail(3, 96, 54)")
    assert first.startswith("data:image/jpeg;base64,")
    assert first != second
    assert len(first) < 30_000


def test_a_lost_context_is_drawn_again(page: Page) -> None:
    page.evaluate("picture.look(1); picture.setYear(15)")
    page.wait_for_timeout(600)
    before, camera = greens(page), page.evaluate("picture.camera")
    page.evaluate("window.lose = picture.gl.getContext().getExtension('WEBGL_lose_context')")
    page.evaluate("lose.loseContext()")
    page.wait_for_function("picture.lost")
    page.evaluate("lose.restoreContext()")
    page.wait_for_function("!picture.lost && picture.ready", timeout=20_000)
    assert page.evaluate("[picture.year, picture.camera]") == [15, camera]
    assert greens(page) == pytest.approx(before, rel=0.05)


def test_a_lost_context_that_does_not_come_back_is_drawn_on_a_new_canvas(page: Page) -> None:
    page.evaluate("picture.setYear(15)")
    page.wait_for_timeout(600)
    before = greens(page)
    page.evaluate("picture.gl.getContext().getExtension('WEBGL_lose_context').loseContext()")
    page.wait_for_function("picture.lost")
    page.wait_for_function("!picture.lost && picture.ready", timeout=20_000)
    assert page.locator("canvas").count() == 1
    assert greens(page) == pytest.approx(before, rel=0.05)


def test_nothing_was_complained_of(page: Page) -> None:
    said = page.troubles  # type: ignore[attr-defined]
    assert [line for line in said if "GPU stall" not in line] == []
