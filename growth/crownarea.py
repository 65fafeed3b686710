"""The area of all crowns together, year by year: how much plant the yard holds.

Each crown counts as the circle of its spread, overlaps counted twice; what covers ground
is `growth.checks.coverage`. The range is that of joint draws (ruling on ranges).
"""

import numpy as np
from numpy.typing import NDArray

from growth.ranges import Range, range_of_draws
from growth.stand import Stand, draw

DRAWS, SEED = 64, 30
"""Stratified joint draws: the sum over many plants needs few."""


def crown_area_m2(stand: Stand) -> Range:
    """Summed circle area of all crowns present, in square metres, by year."""
    draws = draw(stand, count=DRAWS, seed=SEED, stratified=True)
    return range_of_draws(circle_area_m2(draws.spread_m).sum(axis=-1))


def circle_area_m2(spread_m: NDArray[np.floating]) -> NDArray[np.float64]:
    """Area in square metres of circles of the given spreads (diameters in metres)."""
    return np.pi / 4 * np.asarray(spread_m, dtype=float) ** 2
