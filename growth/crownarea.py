"""The area of all crowns together, year by year: how much plant the yard holds.

Each crown counts as the circle of its spread, overlaps counted twice; what covers ground
is `growth.checks.coverage`. The range is that of joint draws (ruling on ranges).
"""

import numpy as np
from numpy.typing import NDArray

from growth.memory import Memory
from growth.ranges import Range, range_of_draws
from growth.scores import layered_scores
from growth.stand import Stand, all_but_places, draw, draw_count

SEED = 30


def crown_area_m2(stand: Stand, memory: Memory | None = None) -> Range:
    """Summed circle area of all crowns present, in square metres, by year.

    It does not depend on where plants stand, so with a memory it is found anew for others alone.
    """
    memory = memory or Memory()
    return memory.of(("crown area", *all_but_places(stand)), lambda: _crown_area_m2(stand))


def _crown_area_m2(stand: Stand) -> Range:
    count = draw_count(len(stand.plant))
    draws = draw(stand, count=count, seed=SEED, scores=layered_scores)
    return range_of_draws(circle_area_m2(draws.spread_m).sum(axis=-1))


def circle_area_m2(spread_m: NDArray[np.floating]) -> NDArray[np.float64]:
    """Area in square metres of circles of the given spreads (diameters in metres)."""
    return np.pi / 4 * np.asarray(spread_m, dtype=float) ** 2
