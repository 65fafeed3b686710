"""Sums of choosing a plant in the browser: sight lines on crowns and faces, all known by hand."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from growth.crowns import FORMS, relative_radius

JS = Path(__file__).parents[2] / "viz" / "js"

pytestmark = pytest.mark.browser

BALL = [[0, 1, 0, 4, -4]]
"""r^2 = 4 h - 4 h^2: with as much spread as height, a ball."""

POST = [[0, 1, 1, 0, 0]]


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """An empty page with the sums in it."""
    one = browser.new_page()
    names = ("dom.js", "lens.js", "groundlabels.js", "envelopes.js", "rings.js")
    one.add_script_tag(content="\n".join((JS / name).read_text() for name in names))
    yield one
    one.close()


def met(page: Page, pieces, size, eye, way, foot=(0, 0, 0)) -> float:
    """How far along the way a plant of [height, spread, base] is met."""
    found = page.evaluate(
        """([pieces, [height, spread, base], foot, eye, way]) => {
          const t = meets(pieces, { height, spread, base }, foot, eye, way);
          return t === Infinity ? -1 : t; }""",
        [pieces, list(size), list(foot), list(eye), list(way)],
    )
    return float(found)


@pytest.mark.parametrize(
    ("eye", "far"),
    [
        ((-5, 0, 1), 4.0),  # through the middle of a ball of radius 1
        ((-5, 0.6, 1), 4.2),  # 0.6 beside it: 1, 0.6 and 0.8 are sides of a right triangle
        ((-5, 0, 1.6), 4.2),
        ((-5, 1.1, 1), -1),
        ((-5, 0, 2.1), -1),
        ((0, 0, 1), 0.0),  # from inside
        ((5, 0, 1), -1),  # behind the eye
    ],
)
def test_a_ball_is_met_where_a_circle_says(page: Page, eye, far: float) -> None:
    assert met(page, BALL, (2, 2, 0), eye, (1, 0, 0)) == pytest.approx(far, abs=1e-9)


def test_a_crown_on_a_stem(page: Page) -> None:
    """A post of radius 1 from 1 m to 4 m up, on a stem of 15 cm to either side."""
    size = (4, 2, 1)
    assert met(page, POST, size, (-5, 0, 2), (1, 0, 0)) == pytest.approx(4.0)
    assert met(page, POST, size, (0.5, 0, 10), (0, 0, -1)) == pytest.approx(6.0)
    assert met(page, POST, size, (-5, 0, 0.5), (1, 0, 0)) == pytest.approx(4.85)
    assert met(page, POST, size, (-5, 0.5, 0.5), (1, 0, 0)) == -1
    assert met(page, POST, size, (0.5, 0, 0), (0, 0, 1)) == pytest.approx(1.0)


def test_a_plant_stands_on_its_foot(page: Page) -> None:
    assert met(page, BALL, (2, 2, 0), (5, 20, 8), (0, -1, 0), (5, 10, 7)) == pytest.approx(9.0)


def test_what_is_not_there_is_not_met(page: Page) -> None:
    assert met(page, BALL, (0, 0, 0), (-5, 0, 0), (1, 0, 0)) == -1


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_met_at_its_own_radius(page: Page, form: str) -> None:
    """Level lines towards the axis reach 10 m less the radius that the checks have there."""
    pieces = [[p.lo, p.hi, p.a, p.b, p.c] for p in FORMS[form].pieces]
    for share in (0.13, 0.4, 0.66, 0.9):
        radius = float(relative_radius(FORMS[form], np.array([share]))[0]) * 1.5
        far = met(page, pieces, (5, 3, 1), (-10, 0, 1 + 4 * share), (1, 0, 0))
        assert far == pytest.approx(10 - radius, abs=1e-6)


def test_a_face_is_met_before_what_is_behind_it(page: Page) -> None:
    """A wall at x = 3, two metres wide and high."""
    wall = """({ points: [3, -1, 0, 3, 1, 0, 3, 1, 2, 3, -1, 2], triangles: [0, 1, 2, 0, 2, 3] })"""
    through, over = page.evaluate(
        f"[meetsFaces({wall}, [0, 0.5, 1], [1, 0, 0]), meetsFaces({wall}, [0, 0, 2.1], [1, 0, 0])]"
    )
    assert through == pytest.approx(3.0)
    assert over == float("inf")


def test_the_nearest_plant_before_the_stop_is_chosen(page: Page) -> None:
    """Balls of radius 1, their middles 6, 9 and 12 m before the eye; the first is gone."""
    found = page.evaluate(
        """() => {
          const camera = { position: [0, 0, 1], focal: [9, 0, 1], up: [0, 0, 1], angle: 60 };
          const lens = new Lens({ camera, box: { clientWidth: 1600, clientHeight: 900 } });
          const yard = (stop, gone) => ({ count: 3, foot: [6, 0, 0, 9, 0, 0, 12, 0, 0],
            kind: [0, 0, 0], envelopes: [[[0, 1, 0, 4, -4]]], stop: () => stop,
            sizes: (i) => i === gone ? { height: 0, spread: 0, base: 0 }
              : { height: 2, spread: 2, base: 0 } });
          return [plantAt(lens, 800, 450, yard(99)), plantAt(lens, 800, 450, yard(99, 0)),
            plantAt(lens, 800, 450, yard(4)), plantAt(lens, 20, 20, yard(99))];
        }"""
    )
    assert found == [0, 1, -1, -1]


def test_a_press_just_beside_a_small_plant_means_it(page: Page) -> None:
    """10 m off at 16 px to the degree near the middle, a ball of 5 cm is 8 px to either side."""
    found = page.evaluate(
        """() => {
          const camera = { position: [0, 0, 0.05], focal: [9, 0, 0.05], up: [0, 0, 1], angle: 90 };
          const lens = new Lens({ camera, box: { clientWidth: 1600, clientHeight: 900 } });
          const yard = { count: 1, foot: [10, 0, 0], kind: [0], envelopes: [[[0, 1, 1, 0, 0]]],
            stop: () => 99, sizes: () => ({ height: 0.1, spread: 0.1, base: 0 }) };
          return [0, 3, 9, 30].map((px) => plantAt(lens, 800 + px, 450, yard));
        }"""
    )
    assert found == [0, 0, 0, -1]


def test_a_hull_leaves_out_what_lies_inside(page: Page) -> None:
    ring = page.evaluate("hull([[0, 0], [4, 0], [4, 3], [0, 3], [2, 1], [2, 0]])")
    assert sorted(map(tuple, ring)) == [(0, 0), (0, 3), (4, 0), (4, 3)]


def test_points_of_a_crown_lie_on_it(page: Page) -> None:
    points = np.array(
        page.evaluate(
            "crownPoints([[0, 1, 0, 4, -4]], { height: 2, spread: 2, base: 0 }, [7, 8, 9])"
        )
    )
    assert np.linalg.norm(points - [7, 8, 10], axis=1) == pytest.approx(1.0)
    assert points[:, 2].min() == pytest.approx(9)
    assert points[:, 2].max() == pytest.approx(11)
