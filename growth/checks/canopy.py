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

from growth.checks.coverage import share_under
from growth.checks.credits import credited
from growth.checks.findings import Canopy
from growth.ranges import range_of_draws
from growth.stand import Draws, Stand

CANOPY_HEIGHT_M = 1.5
"""Shrubs and bamboo count as canopy from this height on (common practice)."""

ALWAYS, WHEN_TALL = ("tree", "palm"), ("shrub", "bamboo")
"""Kinds of plant that count at any height, and from that height on."""


def canopy(boundary: Polygon, stand: Stand, draws: Draws) -> Canopy:
    """Share of the lot under canopy."""
    radius_m = np.where(_counts(stand, draws), draws.spread_m / 2, 0)
    share = share_under(boundary, stand.xyz_m[:, :2], radius_m)
    return Canopy(float(boundary.area), range_of_draws(share), credited(boundary, stand))


def _counts(stand: Stand, draws: Draws) -> NDArray[np.bool_]:
    """Whether each plant counts as canopy in each draw and year, (D, Y, n)."""
    kinds = np.array([plant.kind for plant in stand.plants])[stand.plant]
    tall = np.isin(kinds, WHEN_TALL) & (draws.height_m >= CANOPY_HEIGHT_M)
    return np.isin(kinds, ALWAYS) | tall
