"""Panels in characters: a hand-made picture, right side up and in the right proportion."""

import numpy as np
import pytest

from growth.checks.findings import PanelPicture
from viz.panelpicture import SHADES, picture_lines


def picture(passing, *, wide_m=4.0, high_m=2.0):
    return PanelPicture(wide_m, high_m, np.array(passing, np.uint8)[..., None])


def test_the_bottom_of_the_panel_is_the_last_line_and_left_stays_left():
    lines = picture_lines(picture([[0, 255], [255, 255]]), 0)  # hidden at the lower left alone
    inside = [line[1:-1] for line in lines[1:-1]]
    half = len(inside[0]) // 2
    assert set(inside[0]) == {" "}
    assert inside[-1] == SHADES[-1] * half + " " * (len(inside[-1]) - half)


def test_half_hidden_is_the_middle_shade():
    lines = picture_lines(picture([[128]]), 0)
    assert set("".join(line[1:-1] for line in lines[1:-1])) == {"▒"}


@pytest.mark.parametrize(("wide_m", "high_m"), [(4, 2), (10, 1), (1, 3)])
def test_characters_twice_as_high_as_wide_keep_the_shape(wide_m, high_m):
    lines = picture_lines(picture([[0]], wide_m=wide_m, high_m=high_m), 0)
    wide, high = len(lines[0]) - 2, len(lines) - 2
    assert wide / (2 * high) == pytest.approx(wide_m / high_m, rel=0.3)
