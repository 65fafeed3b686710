"""How much of the lot, or of its paving, stands under canopy, year by year, with its range.

Canopy is the union of the crowns of trees and palms at any height, and of shrubs and bamboo
in the years they stand 1.5 m or taller, clipped by the boundary: what overhangs from next
door counts for the part inside. A local rule may count plants above a height of its own, and
credit mature trees instead; what such rules find is told beside it. Paving is what sheds water
and is walked or driven on.

Source: plan-view crown area over lot area, union of overlaps, clipped at the property line,
as city canopy assessments measure it (common practice); the 1.5 m is common practice too.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from growth.checks.credits import credit, credited, ruled, same_each_year
from growth.checks.findings import Canopy, Ruled
from growth.checks.patches import Canvas, share_in_patches
from growth.memory import Memory, digest, tokens
from growth.ranges import Range, range_of_draws
from growth.stand import Draws, Stand
from scenes.canopyrules import CanopyCount
from scenes.surfaces import PAVING, SurfaceShape

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

CANOPY_HEIGHT_M = 1.5
"""Shrubs and bamboo count as canopy from this height on (common practice)."""

ALWAYS, WHEN_TALL = ("tree", "palm"), ("shrub", "bamboo")
"""Kinds of plant that count at any height, and from that height on."""


def canopy(
    boundary: Polygon,
    stand: Stand,
    draws: Draws,
    memory: Memory | None = None,
    *,
    surfaces: Sequence[SurfaceShape] = (),
    rules: Sequence[CanopyCount] = (),
    places: Sequence[str] = (),
) -> Canopy:
    """Canopy of the lot and over its paving, and by the document's rules.

    Places are the names of the tables that plants come from, for rules that credit by them.
    """
    memory = memory or Memory()
    areas = canopy_areas(boundary, surfaces)
    shares = {
        over: _share(area, stand, draws, memory, taller_than_m=None) for over, area in areas.items()
    }
    return Canopy(
        lot_m2=float(boundary.area),
        fraction=shares["lot"],
        credits=credited(areas, stand, places),
        paving_m2=float(areas["paving"].area) if "paving" in areas else 0.0,
        over_paving=shares.get("paving"),
        ruled=tuple(
            _by_rule(rule, areas[rule.over], stand, draws, memory, places)
            for rule in rules
            if rule.over in areas
        ),
    )


def canopy_areas(boundary: Polygon, surfaces: Sequence[SurfaceShape]) -> dict[str, BaseGeometry]:
    """What canopy may be counted over: the lot, and its paving where there is any."""
    paved = shapely.union_all([one.outline for one in surfaces if one.kind in PAVING])
    inside = shapely.intersection(paved, boundary)
    return {"lot": boundary} | ({"paving": inside} if inside.area > 0 else {})


def canopy_plants(
    stand: Stand, height_m: NDArray[np.floating], *, taller_than_m: float | None = None
) -> NDArray[np.bool_]:
    """Which plants count as canopy at heights (..., n): by kind, or all woody above a height."""
    kinds = np.array([plant.kind for plant in stand.plants])[stand.plant]
    if taller_than_m is not None:
        woody = np.isin(kinds, (*ALWAYS, *WHEN_TALL))
        return np.asarray(woody & (height_m > taller_than_m))
    return np.asarray(
        np.isin(kinds, ALWAYS) | (np.isin(kinds, WHEN_TALL) & (height_m >= CANOPY_HEIGHT_M))
    )


def _share(
    area: BaseGeometry, stand: Stand, draws: Draws, memory: Memory, *, taller_than_m: float | None
) -> Range:
    """Share of an area under canopy."""
    ever = np.flatnonzero(
        canopy_plants(stand, np.full(len(stand.plant), np.inf), taller_than_m=taller_than_m)
    )

    def radius_m(some: IntArray) -> NDArray[np.floating]:
        plants = ever[some]
        sizes, kinds = draws.of(plants), replace(stand, plant=stand.plant[plants])
        counts = canopy_plants(kinds, sizes.height_m, taller_than_m=taller_than_m)
        return np.where(counts, sizes.spread_m / 2, 0)

    marks = tokens(digest("canopy", taller_than_m), draws.marks[ever])
    largest_m = memory.rows(
        f"largest canopy {taller_than_m}",
        marks,
        lambda some: radius_m(some).max(axis=(0, 1), initial=0).astype(np.float32),
    )
    crowns = Canvas(stand.xyz_m[ever, :2], largest_m, marks, draws.shape[:2], radius_m)
    return range_of_draws(share_in_patches(area, crowns, memory))


def _by_rule(
    rule: CanopyCount,
    area: BaseGeometry,
    stand: Stand,
    draws: Draws,
    memory: Memory,
    places: Sequence[str],
) -> Ruled:
    if rule.counts == "grown":
        share = _share(area, stand, draws, memory, taller_than_m=rule.taller_than_m)
        return ruled(rule, area, share)
    fraction = credit(rule, area, stand, places).fraction
    return ruled(rule, area, same_each_year(fraction or 0.0, len(stand.years)))
