"""Root zones of kept trees: the circle a rule draws, and the share of it that a plan harms.

Harmed is the union of ground cut or filled deeper than roots bear, new paving, trenches and
the footings of new walls; paving and buildings that are there already are not counted. The
zone is a whole circle, whatever stands in it; ground beyond the lattice counts as untouched.
A vertical side is drawn over one cell, so harm by cut or fill reaches up to a cell too far.
Decks stand on posts and fences on holes: neither is counted. Where roots truly are, nobody
knows from above: the shares are a warning, not a diagnosis.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from contourpy import FillType, contour_generator
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Kept, Yard
from scenes.fences import STONE_M
from scenes.lattice import Array, part
from scenes.masks import window_over
from scenes.points import Point, points_of
from scenes.ribbons import band
from scenes.rootrules import (
    CUT_M,
    FILL_M,
    FILL_ON_CLAY_M,
    advice,
    circle,
    level_of,
    radius_m,
    trunk_m,
)
from scenes.surfaces import ROOTLESS, surface_shapes
from scenes.terrain import Terrain

STANDING = frozenset({"house", "garage"})
"""Kinds that are there already unless the document says otherwise."""

BESIDE_FOOTING_M = 0.3
"""Ground dug beside a wall's footing, from memory."""


@dataclass(frozen=True)
class RootZone:
    """One kept tree's root zone, what of it is harmed (and by what), and what to do."""

    tree: str
    plant: str
    place: str
    at: Point
    radius_m: float
    rule: str
    zone: Polygon
    lost: BaseGeometry
    lost_fraction: float
    shares: Mapping[str, float]
    deepest_cut_m: float
    highest_fill_m: float
    nearest_m: float | None
    level: str
    advice: tuple[str, ...]


def root_zones(yard: Yard, terrain: Terrain) -> tuple[RootZone, ...]:
    """The root zone of every kept tree whose trunk is given, in the document's order."""
    built = _built(yard)
    return tuple(
        _root_zone(yard, terrain, kept, f"kept[{number}]", at, built)
        for number, kept in enumerate(yard.kept, start=1)
        if trunk_m(kept) is not None
        for at in points_of(kept.at)
    )


def _root_zone(
    yard: Yard,
    terrain: Terrain,
    kept: Kept,
    place: str,
    at: Point,
    built: Mapping[str, BaseGeometry],
) -> RootZone:
    trunk = trunk_m(kept) or 0.0
    radius = radius_m(trunk, yard.roots.rule)
    zone = circle(at, radius)
    moved, deepest_cut_m, highest_fill_m = _moved(yard, terrain, zone)
    lost_to = {cause: zone.intersection(area) for cause, area in {**moved, **built}.items()}
    lost = shapely.union_all(list(lost_to.values()))
    fraction = float(lost.area / zone.area)
    dug = shapely.union_all([lost_to[cause] for cause in ("cut", "trench", "footing")])
    nearest_m = None if dug.is_empty else float(dug.distance(shapely.Point(at)))
    return RootZone(
        tree=kept.name or kept.plant,
        plant=kept.plant,
        place=place,
        at=at,
        radius_m=radius,
        rule=yard.roots.rule,
        zone=zone,
        lost=lost,
        lost_fraction=fraction,
        shares={cause: float(area.area / zone.area) for cause, area in lost_to.items()},
        deepest_cut_m=deepest_cut_m,
        highest_fill_m=highest_fill_m,
        nearest_m=nearest_m,
        level=level_of(fraction),
        advice=tuple(advice(fraction, nearest_m, trunk)),
    )


def _moved(
    yard: Yard, terrain: Terrain, zone: Polygon
) -> tuple[dict[str, BaseGeometry], float, float]:
    """Where the ground is cut and filled too deep in a zone, the deepest cut, the highest fill."""
    window = window_over(terrain.lattice, zone, margin_m=2 * terrain.lattice.cell_m)
    x, y = np.moveaxis(part(terrain.lattice, window).nodes_m(), -1, 0)
    fill_m = (terrain.after_m - terrain.before_m)[window]
    clay = "clay" in (yard.site.soil or "").lower()
    most_fill_m = yard.roots.fill or (FILL_ON_CLAY_M if clay else FILL_M)
    inside = shapely.intersects_xy(zone, x, y)
    areas = {
        "cut": _deeper(x, y, -fill_m, yard.roots.cut or CUT_M),
        "fill": _deeper(x, y, fill_m, most_fill_m),
    }
    return (
        areas,
        max(0.0, -float(fill_m[inside].min(initial=0.0))),
        float(fill_m[inside].max(initial=0.0)),
    )


def _deeper(x: Array, y: Array, depth_m: Array, limit_m: float) -> BaseGeometry:
    """The area where a depth exceeds a limit, its edge straight between nodes."""
    if depth_m.max() <= limit_m:
        return Polygon()
    contours = contour_generator(x, y, depth_m, fill_type=FillType.OuterOffset)
    outlines: Any = contours.filled(limit_m, np.inf)
    pieces = []
    for points, starts in zip(*outlines, strict=True):
        outer, *holes = (points[a:b] for a, b in pairwise(starts))
        pieces.append(Polygon(outer, holes))
    return shapely.union_all(shapely.make_valid(pieces))


def _built(yard: Yard) -> dict[str, BaseGeometry]:
    """Areas lost to what is built anew: paving, trenches deeper than a harmful cut, footings."""
    least_m = yard.roots.cut or CUT_M
    paving = [s.outline for s in surface_shapes(yard) if s.kind in ROOTLESS and not s.existing]
    trenches = [
        band(trench.line, width_m=trench.width) for trench in yard.trench if trench.depth > least_m
    ]
    return {
        "paving": shapely.union_all(paving),
        "trench": shapely.union_all(trenches),
        "footing": shapely.union_all(list(_footings(yard))),
    }


def _footings(yard: Yard) -> Iterator[BaseGeometry]:
    """Ground dug for new walls and buildings; houses and garages are there unless said."""
    for structure in yard.structure:
        existing = structure.existing
        if existing is None:
            existing = structure.kind in STANDING
        if existing:
            continue
        if structure.kind == "wall" and structure.line is not None:
            yield _dug_for_wall(structure.line, structure.thickness)
        elif structure.outline is not None:
            yield Polygon(structure.outline)
    for operation in yard.grading:
        if operation.do == "wall" and operation.line is not None:
            yield _dug_for_wall(operation.line, None)


def _dug_for_wall(line: tuple[Point, ...], thickness_m: float | None) -> BaseGeometry:
    half_m = (thickness_m or STONE_M) / 2 + BESIDE_FOOTING_M
    return LineString(line).buffer(half_m, cap_style="flat", join_style="mitre")
