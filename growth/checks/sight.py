"""How much of a driver's sight triangle plants leave clear, year by year, and which close it.

A crown counts with its widest place between the band's levels, which are above the curb at
its nearest point. The share of the triangle left clear has the range of joint draws. Walls,
fences and buildings that rise into the band are taken out of it in every year, fences whole
whatever their gaps. Trunks are left out, as rules commonly exempt thin ones; those of kept
trees a foot thick or more are named.

Source: intersection sight distance 1.47 V t, Montana DOT Road Design Manual, Appendix K;
t = 7.5 s for a left turn of a car onto two lanes. Trunks under 1 ft: Orlando and Lake Mary.
"""

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from growth.checks.clearance import TOUCH_M, Near, clearance, near, overlap_m
from growth.checks.coverage import share_under
from growth.checks.findings import Sight
from growth.checks.keepclear import FOOT_M, Keep
from growth.ranges import range_of_draws
from growth.stand import Draws, Stand
from scenes.document import Kept
from scenes.layout import Layout
from scenes.sighttriangles import SightShape
from scenes.solids import HeightAt

LEFT_TURN_S = 7.5
"""A car that turns left onto two lanes: Montana DOT, Road Design Manual, Appendix K."""

THICK_TRUNK_M = FOOT_M
"""Trunks and posts thinner than this are exempt in Orlando and Lake Mary."""

TOUCHED = 0.999
"""A triangle that a crown reaches into is never wholly clear, however little it takes."""

_BODY_M = 0.05
"""Least half thickness of a fence or wall; assumed."""

_BUILT = ("wall", "fence")

GOVERNS = (
    "Sight triangles: the local code and a licensed engineer govern; the rules named here are "
    "examples of their places."
)


def sight_distance_m(speed_mph: float, *, gap_s: float = LEFT_TURN_S) -> float:
    """Length of street a driver has to see, rounded up to 5 ft, in metres."""
    return 5 * math.ceil(1.47 * speed_mph * gap_s / 5) * FOOT_M


def sights(
    shapes: Sequence[SightShape],
    things: Sequence[Keep],
    layout: Layout,
    stand: Stand,
    draws: Draws,
    ground_m: HeightAt,
) -> tuple[Sight, ...]:
    """Every sight triangle: its clear share by year, and what stands in it."""
    return tuple(_sight(shape, things, layout, stand, draws, ground_m) for shape in shapes)


def _sight(
    shape: SightShape, things: Sequence[Keep], layout: Layout, stand: Stand, draws: Draws,
    ground_m: HeightAt,
) -> Sight:  # fmt: skip
    low_m, high_m = shape.band_m
    band = Keep(shape.name, "sight", shape.area, low_m, high_m, levels_of=shape.curb)
    pairs = near((band,), stand, ground_m)
    built = [thing for thing in things if _rises_into(thing, shape, ground_m)]
    free = shapely.difference(
        shape.area, shapely.union_all([thing.shape.buffer(_body_m(thing)) for thing in built])
    )
    return Sight(
        name=shape.name,
        rule=shape.rule,
        source=shape.source,
        area_m2=shape.area.area,
        band_m=shape.band_m,
        clear=range_of_draws(_clear(free, pairs, stand, draws) * free.area / shape.area.area),
        plants=clearance((band,), pairs, layout, stand),
        built=tuple(thing.of for thing in built),
        thick_trunks=_thick_trunks(shape.area, layout),
        distance_m=None if shape.speed_mph is None else sight_distance_m(shape.speed_mph),
    )


def _clear(free: BaseGeometry, pairs: Near, stand: Stand, draws: Draws) -> np.ndarray:
    """Share of an area that no crown reaches into, (draws, years)."""
    if not len(pairs.plant) or free.is_empty:
        return np.ones(draws.height_m.shape[:2])
    over = overlap_m(
        pairs, stand,
        height_m=draws.height_m, spread_m=draws.spread_m, base_m=draws.crown_base_m,
    )  # fmt: skip
    radius_m = np.maximum(over + pairs.distance_m, 0)
    clear = 1 - share_under(free, stand.xyz_m[pairs.plant, :2], radius_m)
    return np.where((over > TOUCH_M).any(axis=-1), np.minimum(clear, TOUCHED), clear)


def _rises_into(thing: Keep, shape: SightShape, ground_m: HeightAt) -> bool:
    """Whether a built thing stands in the triangle and reaches above the band's low level."""
    if thing.what not in _BUILT or not thing.shape.intersects(shape.area):
        return False
    inside = shapely.get_coordinates(thing.shape.intersection(shape.area))
    curb = shapely.shortest_line(shape.curb, shapely.points(inside))
    curb_m = ground_m(shapely.get_coordinates(curb)[::2])
    foot_m = ground_m(inside) if thing.datum_m is None else thing.datum_m
    return bool((foot_m + thing.high_m > curb_m + shape.band_m[0]).any())


def _body_m(thing: Keep) -> float:
    return max(thing.round_m, _BODY_M)


def _thick_trunks(area: BaseGeometry, layout: Layout) -> tuple[str, ...]:
    """Kept trees with a trunk a foot thick or more within the triangle, by their place."""
    inside = shapely.contains_xy(area, layout.xyz_m[:, 0], layout.xyz_m[:, 1])
    numbers = np.unique(layout.source[inside])
    kept = ((layout.sources[n].place, layout.sources[n].kept) for n in numbers)
    return tuple(place for place, tree in kept if tree and _thickest_m(tree) >= THICK_TRUNK_M)


def _thickest_m(tree: Kept) -> float:
    """The thickest stem in metres; none where no trunk was measured."""
    return max(tree.trunk_diameters or (tree.trunk_diameter or 0.0,))
