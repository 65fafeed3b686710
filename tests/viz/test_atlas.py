"""The leaf atlas: every cell drawn, cut out, and as dense as the crown sums take it to be."""

import io

import numpy as np
import pytest
from PIL import Image

from growth.plants import CARDS
from viz.atlas import ACROSS, CELL_PIXELS, CELLS, CUT, OPACITY, cell_uv, kept, picture

SHEET = np.asarray(picture())


def cell(name: str) -> np.ndarray:
    place = list(CELLS).index(name)
    row, column = place // ACROSS * CELL_PIXELS, place % ACROSS * CELL_PIXELS
    return SHEET[row : row + CELL_PIXELS, column : column + CELL_PIXELS]


def test_the_kept_atlas_is_the_one_that_is_drawn() -> None:
    np.testing.assert_array_equal(np.asarray(Image.open(io.BytesIO(kept()))), SHEET)


@pytest.mark.parametrize("name", CARDS)
def test_every_leaf_card_of_the_catalogue_is_drawn(name: str) -> None:
    assert name in CELLS
    assert name in OPACITY


@pytest.mark.parametrize("name", OPACITY)
def test_stated_opacity_is_the_drawn_one(name: str) -> None:
    drawn = np.mean(cell(name)[..., 3] > CUT * 255)
    assert drawn == pytest.approx(OPACITY[name], abs=0.03)


@pytest.mark.parametrize("name", [name for name in CELLS if name != "solid"])
def test_cells_do_not_touch_their_neighbours(name: str) -> None:
    alpha = cell(name)[..., 3]
    assert alpha[:, :2].max() == 0
    assert alpha[:, -2:].max() == 0
    assert alpha[:2].max() == 0


def test_clear_parts_carry_leaf_colour_not_black() -> None:
    shown = cell("ovate")
    near = (shown[..., 3] < 100) & (shown[..., 3] > 5)
    assert shown[near, :3].min() > 80


def test_uv_of_a_cell_lies_inside_its_square() -> None:
    corners = cell_uv("needle")  # fourth cell of the first row: the top right quarter of a quarter
    assert corners[:, 0].min() > 0.75
    assert corners[:, 0].max() < 1.0
    assert corners[:, 1].min() > 0.75


def test_the_same_atlas_every_time() -> None:
    assert np.array_equal(np.asarray(picture()), SHEET)
