"""Stills for a page that can draw nothing: which view, which years, and why there are none."""

import io
import pickle
import time
from base64 import b64decode
from contextlib import closing
from pathlib import Path

import pytest
from PIL import Image

import scenes
import viz.stillprocess
from viz.stillpage import AskedStills
from viz.viewstills import view_stills

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


def test_the_stills_of_a_view_by_its_number():
    """The document has two views; after them come the whole yard and the plan."""
    made = view_stills(scenes.load(SMALL), 2)
    assert made["view"] == "Whole yard"
    assert made["heading"].startswith("June, in leaf, 1")
    assert [each["year"] for each in made["pictures"]] == [0, 1, 5, 15]
    assert made["pictures"][2]["caption"].startswith("Year 5: expected sizes; heights of 8 in 10")
    for each in made["pictures"]:
        data = b64decode(each["image"].removeprefix("data:image/jpeg;base64,"))
        width, height = Image.open(io.BytesIO(data)).size
        assert 900 <= width <= 960
        assert width / height == pytest.approx(16 / 9, rel=2e-3)
        assert len(data) < 200_000


def test_a_view_there_is_none_of_is_told():
    told = view_stills(scenes.load(SMALL), 4)
    assert told == {"mistake": "view 4 is none of this yard; it has 4"}


def test_without_a_graphics_library_the_reason_is_told_with_the_package(monkeypatch):
    """The drawing process ends as it does where its library is missing: the caller lives on."""
    crash = ("python3", "-c", "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    monkeypatch.setattr(viz.stillprocess, "DRAWING", crash)
    monkeypatch.setattr(viz.stillprocess, "LIBRARIES", (("libNoSuchThing.so.1", "libegl1"),))
    assert view_stills(scenes.load(SMALL), 2) == {
        "mistake": "no graphics library can be used to draw (drawing ended with -11); "
        "apt install libegl1"
    }


def test_they_are_drawn_once_a_view_until_the_yard_is_another():
    yards = [pickle.dumps(scenes.load(SMALL))]
    with closing(AskedStills(lambda: yards[-1])) as asked:
        assert asked.of(1) is None  # begun, and nobody waits
        first = awaited(asked, 1)
        assert asked.of(1) is first
        assert "mistake" in awaited(asked, 900)
        assert asked.of(1) is first
        document = scenes.load(SMALL)
        yards.append(pickle.dumps(document.model_copy(update={"planting": ()})))
        assert asked.of(1) is None
        again = awaited(asked, 1)
        assert again["pictures"][3]["caption"] == "Year 15: no new plants stand"


def awaited(asked, view):
    until = time.monotonic() + 90
    while (told := asked.of(view)) is None:
        assert time.monotonic() < until
        time.sleep(0.1)
    return told
