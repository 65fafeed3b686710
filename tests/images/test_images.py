"""Eight pictures of the small yard as they were when somebody last looked at them.

They catch what no figure does: plants without leaves, a house inside out, shade on the wrong
side. Renew them after a change that is meant to be seen, and look at each one:

    RENEW_IMAGES=1 python -m pytest tests/images
"""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

import growth
import scenes
from scenes.document import Yard
from viz.stillprocess import drawing
from viz.stills import tableaux, view_asked
from viz.stillwords import Asked

HERE = Path(__file__).parent
SMALL = HERE.parent / "scenes" / "yards" / "small.toml"
VIEWS = ("from the lane", "patio to the west", "Whole yard", "Plan")
YEARS = (5, 20)
NAMES = [f"{view.replace(' ', '-').lower()}-{year}" for view in VIEWS for year in YEARS]
JUNE, AFTERNOON, WIDTH = 6, 15.0, 400

MOST_MEAN, MOST_SHARE, CLEARLY = 1.5, 0.001, 40
"""Mean difference of all pixels, and share of those that differ clearly, of 255. Kept pictures
have 256 colours, which alone makes a mean of 0.9 to 1.1 and no pixel that differs clearly; the
picture before that is the same to the last bit from run to run. One shrub of 0.3 % of the picture
left out is a share of 0.003 (see below)."""

Pixels = NDArray[np.int16]


def pictures(yard: Yard, views: Sequence[str] = VIEWS) -> Iterator[Pixels]:
    """The yard from these views, each in both years."""
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    with drawing() as draw:
        for name in views:
            asked = Asked(YEARS, name, JUNE, AFTERNOON, WIDTH)
            view = view_asked(yard, terrain, layout, stand, name)
            for shown in tableaux(yard, terrain, layout, stand, view, asked):
                yield np.asarray(Image.fromarray(draw(shown)).convert("RGB"), dtype=np.int16)


def kept(name: str) -> Pixels:
    """The picture as it was."""
    return np.asarray(Image.open(HERE / f"{name}.png").convert("RGB"), dtype=np.int16)


def away(one: Pixels, other: Pixels) -> tuple[float, float]:
    """Mean difference, and share of the pixels that differ clearly."""
    apart = np.abs(one - other)
    return float(apart.mean()), float((apart.max(axis=2) > CLEARLY).mean())


@pytest.fixture(scope="module")
def drawn() -> dict[str, Pixels]:
    made = dict(zip(NAMES, pictures(scenes.load(SMALL)), strict=True))
    if os.environ.get("RENEW_IMAGES"):
        for name, picture in made.items():
            small = Image.fromarray(picture.astype(np.uint8)).quantize(
                256, dither=Image.Dither.NONE
            )
            small.save(HERE / f"{name}.png", optimize=True)
    return made


@pytest.mark.parametrize("name", NAMES)
def test_it_looks_as_it_did(drawn: dict[str, Pixels], name: str) -> None:
    now, was = drawn[name], kept(name)
    assert now.shape == was.shape
    mean, share = away(now, was)
    print(f"{name}: {mean:.2f}, {share:.2%}")
    assert mean < MOST_MEAN
    assert share < MOST_SHARE


def test_a_missing_shrub_is_seen() -> None:
    yard = scenes.load(SMALL)
    one = yard.planting[1]
    assert one.plant == "Hydrangea arborescens"
    assert one.at is not None
    without = one.model_copy(update={"at": one.at[1:]})
    planting = (yard.planting[0], without, *yard.planting[2:])
    faulty = yard.model_copy(update={"planting": planting})
    _, picture = pictures(faulty, ["Whole yard"])
    assert away(picture, kept("whole-yard-20"))[1] > 2 * MOST_SHARE
