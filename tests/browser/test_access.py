"""Every reading against axe-core's rules: names, contrast, landmarks, keys; light and dark."""

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

READY = {"": ".stops button", "conditions": ".every", "race": ".order li", "plan": ".plan .plant"}


def findings_of(page) -> list[str]:
    """What axe-core finds, each with the first place of it."""
    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {each['help']}, {each['nodes'][0]['html'][:120]}" for each in found]


def settled(visited):
    """The page with everything open that can be, ready to be looked at."""
    visited.page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    visited.settle()
    return visited.page


@pytest.mark.parametrize("reading", READY)
def test_nothing_is_found_on_a_reading_wide_or_narrow_in_light_or_dark(visit, small_yard, reading):
    size, address = {"width": 1400, "height": 900}, f"{small_yard}{reading}"
    visited = visit(address, drawn=False, ready=READY[reading], viewport=size, color_scheme="light")
    for width in (1400, 390):
        visited.page.set_viewport_size({**size, "width": width})
        page = settled(visited)
        light = page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert findings_of(page) == []
        page.emulate_media(color_scheme="dark")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") != light
        assert findings_of(page) == []
        page.emulate_media(color_scheme="light")


def test_nothing_is_found_with_the_picture_drawn(visit, small_yard):
    assert findings_of(settled(visit(small_yard))) == []


def test_axe_would_find_what_is_wrong(visit, small_yard):
    """A picture without a text, put on the page by hand, is found."""
    page = settled(visit(f"{small_yard}conditions", drawn=False, ready=READY["conditions"]))
    page.evaluate("document.querySelector('main').append(new Image())")
    assert any(each.startswith("image-alt") for each in findings_of(page))
