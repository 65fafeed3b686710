"""The worst window of pictures whose answer is counted on squared paper."""

import numpy as np
import pytest

from growth.checks.windows import WINDOW_M2, most_seen


def one(picture, **sizes):
    """The one season and row of sizes of `most_seen`."""
    return float(most_seen(np.array(picture, np.float32)[None, :, :, None], **sizes)[0, 0])


def hole(rows, columns):
    picture = np.zeros((4, 6))
    picture[rows, columns] = 1
    return picture


@pytest.mark.parametrize(
    ("picture", "area_m2", "seen"),
    [
        (hole(1, 2), 1, 1),  # tiles of 1 m: the window is the hole
        (hole(1, 2), 4, 1 / 4),
        (hole(slice(1, 3), slice(2, 4)), 4, 1),
        (hole(slice(1, 3), slice(2, 4)), 9, 4 / 9),
        (hole(slice(0, 4), 3), 2.25, 1 / 1.5),  # a slot 1 m wide, a window 1.5 m wide
        (hole([0, 3], [0, 5]), 1, 1),  # corners
        (np.full((4, 6), 0.3), 3, 0.3),
    ],
)
def test_a_hole_of_known_size(picture, area_m2, seen):
    assert one(picture, high_m=4, wide_m=6, area_m2=area_m2) == pytest.approx(seen)


def test_two_slits_that_no_window_of_whole_tiles_frames_best():
    # tiles half open at 0.5 m: open from 0.5 to 2.5 m, a window 1.5 m wide sees 1.5 of 1.5
    picture = np.array([[0, 1, 1, 1, 1, 0]] * 4)
    assert one(picture, high_m=2, wide_m=3, area_m2=2.25) == pytest.approx(1)


def test_a_low_panel_takes_a_longer_window_of_the_same_area():
    # 0.5 m high, so 2 m long for 1 square metre: 1 m of it lies over the hole
    assert one([[0, 0, 1, 0, 0, 0]], high_m=0.5, wide_m=6, area_m2=1) == pytest.approx(0.5)


def test_a_small_panel_is_the_window_itself():
    assert one([[0, 1], [0, 0]], high_m=1, wide_m=1) == pytest.approx(0.25)


def test_the_window_is_two_square_yards():
    assert pytest.approx(18 * 0.3048**2) == WINDOW_M2
