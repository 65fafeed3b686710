"""The scan under the plan: a spot of it lies at the place in the yard that its points say.

Pixels of the window are read off two hydrangeas that stand one metre apart in the document.
"""

import cmath
import io
import math

import numpy as np
import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

HYDRANGEAS = (5, 6)
"""At (2, 1.5) and (3, 1.5), behind the maple and a row of four."""

TURNED, SHIFTED = cmath.rect(0.02, math.radians(30)), complex(-6, 4)
"""Two centimetres a pixel, turned by 30 degrees; the picture's corner lies at (-6, 4)."""

SPOT = (-1.5, 5.0)
"""Outside the lot, where nothing else is drawn; the spot is 0.8 m wide."""


def pixel_of(x: float, y: float) -> tuple[float, float]:
    at = (complex(x, y) - SHIFTED) / TURNED
    return at.real, -at.imag


@pytest.fixture
def with_picture(yard_file):
    picture = Image.new("RGB", (1300, 900), "white")
    u, v = pixel_of(*SPOT)
    ImageDraw.Draw(picture).ellipse([u - 20, v - 20, u + 20, v + 20], fill=(200, 0, 0))
    picture.save(yard_file.with_name("plat.png"))
    places = [(0, 0), (12, 0), (6, 9)]
    points = [[*pixel_of(*place), *place] for place in places]
    more = f'\n[base_plan]\npicture = "plat.png"\npoints = {points}\n'
    yard_file.write_text(yard_file.read_text(encoding="utf-8") + more, encoding="utf-8")
    return yard_file


def redness(plan, x: float, y: float) -> int:
    """How much redder than green the window is at a place of the yard."""
    foot, scale = plan.feet()[HYDRANGEAS[0]], plan.pixels_a_metre()
    left, top = foot[0] + (x - 2) * scale, foot[1] - (y - 1.5) * scale
    shot = np.asarray(Image.open(io.BytesIO(plan.page.screenshot())).convert("RGB")).astype(int)
    red, green, _ = shot[round(top), round(left)]
    return int(red - green)


def test_a_spot_of_the_picture_lies_at_its_place(plan_of, with_picture):
    plan = plan_of(with_picture)
    expect(plan.page.locator(".planunder")).to_contain_text("plat.png: 20.00 m to 1,000 pixels")
    expect(plan.page.locator(".planunder")).to_contain_text("turned by 30.0° to the left")
    expect(plan.page.locator(".planunder")).to_contain_text("misses by 0.00 m")
    for zoomed in (False, True):
        if zoomed:
            plan.page.locator(".plan").press("+")
        assert redness(plan, *SPOT) > 60
        for east, north in ((0.33, 0), (-0.33, 0), (0, 0.33), (0, -0.33)):
            assert redness(plan, SPOT[0] + east, SPOT[1] + north) > 60
            assert abs(redness(plan, SPOT[0] + 1.5 * east, SPOT[1] + 1.5 * north)) < 30
    plan.page.get_by_label("Base plan").uncheck()
    assert abs(redness(plan, *SPOT)) < 30
    assert plan.visited.complaints == []


def test_an_edit_does_not_send_the_picture_again(plan_of, with_picture):
    plan = plan_of(with_picture)
    at = plan.page.locator(".under image").get_attribute("href")
    heard: list[str] = []
    plan.visited.sockets[0].on("framereceived", lambda frame: heard.append(str(frame)))
    plan.drag(HYDRANGEAS[1], 30, 0)
    assert plan.page.locator(".under image").get_attribute("href") == at
    assert [sum(f'"{part}"' in frame for frame in heard) for part in ("sheet", "under")] == [1, 0]


def test_without_a_base_plan_nothing_is_said_of_it(plan_of, yard_file):
    plan = plan_of(yard_file)
    assert plan.page.locator(".under image").count() == 0
    assert not plan.page.locator(".planunder").is_visible()
