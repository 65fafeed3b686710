"""How much of the lot stands under canopy, year by year, with its range over joint draws.

Canopy is the union of the crowns of trees and palms at any height, and of shrubs and bamboo
in the years they stand 1.5 m or taller, clipped by the boundary: what overhangs from next
door counts for the part inside. What local rules credit trees with is told beside it.

Source: plan-view crown area over lot area, union of overlaps, clipped at the property line,
as city canopy assessments measure it (common practice); the 1.5 m is common practice too.
"""

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from growth.checks.coverage import may_cover, share_under
from growth.checks.credits import credited
from growth.checks.findings import Canopy
from growth.memory import Memory
from growth.ranges import range_of_draws
from growth.stand import Draws, Stand

Array = NDArray[np.float64]

CANOPY_HEIGHT_M = 1.5
"""Shrubs and bamboo count as canopy from this height on (common practice)."""

ALWAYS, WHEN_TALL = ("tree", "palm"), ("shrub", "bamboo")
"""Kinds of plant that count at any height, and from that height on."""


def canopy(boundary: Polygon, stand: Stand, draws: Draws, memory: Memory | None = None) -> Canopy:
    """Share of the lot under canopy."""
    memory = memory or Memory()
    over = may_cover(boundary, stand, draws, memory)
    near = np.flatnonzero(canopy_plants(stand, np.full(len(stand.plant), np.inf)) & over)
    xy_m = stand.xyz_m[near, :2]

    def under_canopy() -> Array:
        counts = canopy_plants(stand, draws.height_m)[:, :, near]
        return share_under(boundary, xy_m, np.where(counts, draws.spread_m[:, :, near] / 2, 0))

    share = memory.of(("canopy", draws.origin, boundary, near, xy_m), under_canopy)
    return Canopy(float(boundary.area), range_of_draws(share), credited(boundary, stand))


def canopy_plants(stand: Stand, height_m: NDArray[np.floating]) -> NDArray[np.bool_]:
    """Which plants count as canopy at heights (..., n)."""
    kinds = np.array([plant.kind for plant in stand.plants])[stand.plant]
    return np.asarray(
        np.isin(kinds, ALWAYS) | (np.isin(kinds, WHEN_TALL) & (height_m >= CANOPY_HEIGHT_M))
    )
