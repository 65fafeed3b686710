"""Slope tiers of slopes known in closed form, against limits given by hand."""

import numpy as np
import pytest

import scenes
from scenes.limits import FallLimit
from viz.slopelayer import (
    FLATTER,
    NONE,
    STEEPER,
    TOO_FLAT,
    TOO_STEEP,
    WITHIN,
    slope_tiers,
    tier_of,
)

DRAINS = FallLimit("drains", "lawn", "slope", True, 2.0, 1.0, "by hand")
MOWN = FallLimit("mown", "lawn", "slope", False, 25.0, 33.0, "by hand")


def test_tiers_on_both_sides() -> None:
    percent = np.array([0.5, 1.0, 1.5, 2.0, 10.0, 25.0, 30.0, 33.0, 40.0])
    expected = [
        TOO_FLAT, FLATTER, FLATTER, WITHIN, WITHIN, WITHIN, STEEPER, STEEPER, TOO_STEEP,
    ]  # fmt: skip
    assert tier_of(percent, [DRAINS, MOWN]).tolist() == expected
    assert tier_of(percent, [MOWN, DRAINS]).tolist() == expected


def test_no_limit_no_tier() -> None:
    assert tier_of(np.array([3.0, 90.0]), []).tolist() == [NONE, NONE]


YARD = """
points = [[-9, -9, 0], [29, -9, 0], [29, 29, {rise}], [-9, 29, {rise}]]
[[surface]]
name = "sitting place"
kind = "patio"
outline = [[5, 5], [10, 5], [10, 10], [5, 10]]
[[structure]]
name = "shed"
kind = "shed"
outline = [[14, 14], [17, 14], [17, 17], [14, 17]]
floor = 9
eave = 2
ridge = 3
"""


@pytest.mark.parametrize(
    ("rise", "ground", "patio"),
    [(38 * 0.04, WITHIN, TOO_STEEP), (38 * 0.40, TOO_STEEP, TOO_STEEP), (0, TOO_FLAT, TOO_FLAT)],
)
def test_a_plane_has_one_tier_a_kind(graded_lot, rise, ground, patio) -> None:
    """Presets: open ground 1-2 % at least and 25-33 % at most, a patio 2-3 % at most."""
    yard, terrain = graded_lot(YARD.format(rise=rise))
    tiers = slope_tiers(yard, terrain, scenes.lay_out(yard, terrain))
    x, y = np.moveaxis(terrain.lattice.nodes_m(), -1, 0)

    def at(px: float, py: float) -> int:
        return int(tiers[np.unravel_index(np.argmin((x - px) ** 2 + (y - py) ** 2), x.shape)])

    assert at(2, 2) == at(18, 5) == ground
    assert at(7.5, 7.5) == patio
    assert at(15.5, 15.5) == at(-2, 5) == NONE
