"""Height at which a screen just hides a target, by similar triangles.

h = e + (t - e) d / D, with the eye at e, the target's head at t and D away, the screen d
away. Worked by hand for a deck (eye 8.5 ft, seated head 4 ft, 40 ft apart) and an upstairs
window (eye 14.5 ft, head 4 ft, 50 ft apart). Source: closed form; no published number.
Tolerance: 0.05 ft on the target, the step of the sight lines and the depth of the hedge.
"""

import numpy as np
import pytest
import shapely

from growth.crowns import FORMS
from growth.obstacles import passing
from growth.rays import OPAQUE_PER_M, Crowns, blocked_share, fan
from scenes.solids import Solid, prism

FOOT_M = 0.3048
HEAD_FT, PANEL_FT = 4.0, 8.0
CASES = pytest.mark.parametrize(
    ("eye_ft", "target_ft", "screen_ft", "height_ft"),
    [(8.5, 40, 30, 5.125), (8.5, 40, 10, 7.375), (14.5, 50, 40, 6.1), (14.5, 50, 25, 9.25)],
)


def lines_to(target_ft, eye_ft):
    """Sight lines to a narrow panel from the ground to 8 ft, where the head is half way up."""
    x, y, z = 0.05, target_ft, PANEL_FT
    panel = np.array([[-x, y, 0], [x, y, 0], [x, y, z], [-x, y, z]]) * FOOT_M
    return fan(np.array([0, 0, eye_ft * FOOT_M]), panel, rows=800, columns=1)


def hidden_ft(share):
    return share * PANEL_FT


@CASES
def test_a_hedge_of_that_height_hides_up_to_the_head(eye_ft, target_ft, screen_ft, height_ft):
    lines = lines_to(target_ft, eye_ft)
    sizes = np.array([[[height_ft]], [[0.1]], [[0.0]]], np.float32) * np.float32(FOOT_M)
    hedge = Crowns(
        np.array([[0.0, screen_ft * FOOT_M, 0]]), *sizes, (FORMS["sheet"],), np.zeros(1, int),
        np.array([[OPAQUE_PER_M]]),
    )  # fmt: skip
    share = blocked_share(lines, hedge)[0, 0]
    assert hidden_ft(share) == pytest.approx(HEAD_FT, abs=0.05)


@CASES
def test_a_fence_of_that_height_hides_up_to_the_head(eye_ft, target_ft, screen_ft, height_ft):
    lines = lines_to(target_ft, eye_ft)
    y = screen_ft * FOOT_M
    board = prism("fence", shapely.box(-9, y - 0.01, 9, y), low_m=-1, high_m=height_ft * FOOT_M)
    fence = Solid("fence", "fence", 0.0, (board,))
    left = passing(lines, [fence], lambda xy: np.zeros(len(xy)), own=None)
    assert hidden_ft(1 - left.mean()) == pytest.approx(HEAD_FT, abs=0.05)
