"""Sums of the ground in the browser: heights, sight lines and cuts, all known by hand."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

JS = Path(__file__).parents[2] / "viz" / "js"

pytestmark = pytest.mark.browser

RAMP = """
  const layers = { x: [0, 1, 2, 2.5], y: [0, 1, 2],
    rise: new Int16Array(12).fill(100), riseStep: 0.01,
    earth: { deepest_m: 0, highest_m: 1, least_m: 0.003 }, boxes: [[1, 1, 0, 2, 2, 9]] };
  const points = layers.y.flatMap((y) => layers.x.flatMap((x) => [x, y, 3 * x + y]));
  const field = new GroundField(layers, points);
"""
"""Ground z = 3 x + y after a fill of one metre everywhere; the last column lies nearer."""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """An empty page with the ground's sums in it."""
    one = browser.new_page()
    names = ("lens.js", "groundfield.js", "groundpaint.js", "sectioncut.js")
    script = "\n".join((JS / name).read_text() for name in names)
    one.add_script_tag(content=f"{script}\nconst between = (a, b, t) => a + (b - a) * t;\n{RAMP}")
    yield one
    one.close()


@pytest.mark.parametrize(("x", "y"), [(0, 0), (0.25, 0.5), (1.5, 1.75), (2.3, 0.1), (2.5, 2)])
def test_heights_between_nodes(page: Page, x: float, y: float) -> None:
    after, before = page.evaluate(
        "([x, y]) => [field.proposed(x, y), field.existing(x, y)]", [x, y]
    )
    assert after == pytest.approx(3 * x + y, abs=1e-5)
    assert before == pytest.approx(3 * x + y - 1, abs=1e-5)


def test_a_sight_line_straight_down_meets_the_ground_below(page: Page) -> None:
    at = page.evaluate("field.hit([0.5, 0.5, 20], [0, 0, -1])")
    assert at == pytest.approx([0.5, 0.5, 2.0], abs=1e-3)


def test_a_sight_line_into_the_sky_meets_nothing(page: Page) -> None:
    assert page.evaluate("field.hit([0.5, 0.5, 20], [0, 0, 1])") is None


def test_a_box_hides_what_lies_behind_it(page: Page) -> None:
    behind, before = page.evaluate(
        "[field.hides([1.5, -9, 8], [1.5, 2.2, 6.7]), field.hides([0.5, -9, 9], [0.5, 0.2, 1.7])]"
    )
    assert behind
    assert not before


def test_a_lens_sends_every_pixel_back_to_itself(page: Page) -> None:
    """Down-looking camera 10 m up, 90 degrees from left to right at 16:9: half a width is 10 m."""
    middle, edge, back = page.evaluate(
        """() => {
          const camera = { position: [5, 5, 10], focal: [5, 5, 0], up: [0, 1, 0], angle: 90 };
          const lens = new Lens({ camera, box: { clientWidth: 1600, clientHeight: 900 } });
          const way = lens.way(300, 200);
          const far = lens.eye.map((v, k) => v + 7 * way[k]);
          return [lens.spot([5, 5, 0]), lens.spot([15, 5, 0]), lens.spot(far)];
        }"""
    )
    assert middle == pytest.approx([800, 450])
    assert edge == pytest.approx([1600, 450])
    assert back == pytest.approx([300, 200])


def test_a_triangle_is_cut_where_the_plane_passes(page: Page) -> None:
    """Corners [along, aside, height]: from (0, -1, 0) and (2, -1, 0) to (1, 1, 4)."""
    piece = page.evaluate("crossing([[0, -1, 0], [2, -1, 0], [1, 1, 4]])")
    assert sorted(np.reshape(piece, (2, 2)).tolist()) == pytest.approx(
        np.array([[0.5, 2.0], [1.5, 2.0]])
    )
    assert page.evaluate("crossing([[0, 1, 0], [2, 1, 0], [1, 3, 4]])") is None


def test_a_crown_is_cut_as_the_body_it_is(page: Page) -> None:
    """A cylinder of radius 5 cut 3 m off its axis is 4 m to each side."""
    outline = page.evaluate(
        """() => {
          const sizes = new PlantSizes({ sizes: new Uint16Array(18), course: [0],
            outlines: [[255, 255, 255]], names: ["column"] }, [0], 2);
          return sizes.outline(0, { height: 8, spread: 10, base: 2 }, 3);
        }"""
    )
    across, up = np.array(outline).T
    assert np.abs(across) == pytest.approx(4.0)
    assert sorted(set(up)) == [2, 5, 8]


def test_a_size_between_years_lies_between(page: Page) -> None:
    """Two years, one course: heights 1 and 3 m, so 2.5 m at three quarters."""
    height = page.evaluate(
        """() => {
          const sizes = new Uint16Array(18);
          [sizes[2], sizes[3]] = [100, 300]; // height, expected, years 0 and 1
          const plants = new PlantSizes({ sizes, course: [0], outlines: [], names: [] }, [0], 2);
          return plants.at(0, 1, 0.75).height;
        }"""
    )
    assert height == pytest.approx(2.5)


AREA = """
  const canvas = new OffscreenCanvas(250, 200); // 2.5 by 2 m
  const pen = canvas.getContext("2d");
  const overlay = { field, canvas, pen, scale: 100,
    pixel: (x, y) => [100 * x, 200 - 100 * y] };
  const area = { corner: [-0.5, 0], cell: 1, columns: 2, cells: [0, 1, 255, 2],
    edge: [[-0.5, 0, 1.3, 0, 1.3, 2, -0.5, 2]] };
"""
"""Cells of a metre, south row first: from x = -0.5 tones 0 and 1, above them none and 2; the
edge leaves out the last 0.2 m of the second column."""


@pytest.mark.parametrize(
    ("x", "y", "tone"), [(0.2, 0.5, 1), (1.0, 0.5, 2), (0.2, 1.5, 0), (1.0, 1.5, 3), (2.0, 0.5, 0)]
)
def test_a_pixel_has_the_tone_of_its_cell(page: Page, x: float, y: float, tone: int) -> None:
    """Also where the cells begin before the picture does."""
    picked = page.evaluate(
        f"""([x, y]) => {{ {AREA}
          const picked = new Uint8Array(250 * 200);
          pickCells(overlay, area, 3, picked);
          return picked[(200 - Math.floor(100 * y)) * 250 + Math.floor(100 * x)];
        }}""",
        [x, y],
    )
    assert picked == tone


def test_areas_are_painted_within_their_edge_alone(page: Page) -> None:
    """Red, green and blue cells, 86 % opaque; nothing where there is no tone or no area."""
    seen = page.evaluate(
        f"""() => {{ {AREA}
          const tones = ["#FF0000", "#00FF00", "#0000FF"].map((colour) => ({{ colour }}));
          paintAreas(overlay, [area], tones);
          return [[0.2, 0.5], [1.0, 0.5], [0.2, 1.5], [1.0, 1.5], [1.4, 0.5], [2.0, 1.0]].map(
            ([x, y]) => [...pen.getImageData(...overlay.pixel(x, y), 1, 1).data]);
        }}"""
    )
    red, green, none, blue, beyond, far = seen
    for rgba, tone in ((red, (255, 0, 0)), (green, (0, 255, 0)), (blue, (0, 0, 255))):
        assert rgba == pytest.approx([*tone, 0.86 * 255], abs=2)
    assert none[3] == beyond[3] == far[3] == 0


def test_a_building_does_not_hide_from_its_own_window_nor_its_own_window(page: Page) -> None:
    """An eye 10 cm before the box, and a place within it: neither is behind the building."""
    out, onto = page.evaluate(
        "[field.hides([0.9, 1.5, 8.5], [3, 1.5, 11]), field.hides([1.5, -9, 8], [1.5, 1.2, 8])]"
    )
    assert not out
    assert not onto
