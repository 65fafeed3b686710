"""Falls: the slopes of a yard's surfaces, banks and ground held against the usual limits.

What is measured: `slope`, the ground's own slope at nodes inside an outline, a cell off its
edge; `along` and `across`, rise over run along a centreline and square to it; `ring` and
`paved ring`, the fall away from a building over the first ten feet (`scenes.housering`). The
worst is the value that a fiftieth of the places go beyond, for single triangles of a survey
are noise; where fewer places are, it is the worst of them.

Left out: falls of roofs and floors, and whether water really runs off (`scenes.drainage`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Yard
from scenes.edges import beside, lengths_along_m
from scenes.housering import ring_falls
from scenes.lattice import Array, BoolArray
from scenes.layout import Layout
from scenes.limits import FallLimit, limits_of
from scenes.masks import nodes_inside, points_m
from scenes.points import Point
from scenes.slopes import slopes
from scenes.surfaces import building_outlines
from scenes.terrain import Terrain

BEYOND_SHARE = 0.02
"""Of the places measured, how many go beyond the worst that is told; no outside source."""

MOVED_M = 0.02
BANK = 0.1
"""Ground moved by two centimetres or more and steeper than this is a bank; no outside source."""

STATION_M = 0.5
"""How far apart a line is looked at; no outside source."""

Measure = tuple[Array, Array]
"""Falls (n,) as rise over run, and where (n, 2)."""


@dataclass(frozen=True)
class Fall:
    """The worst fall of one place against one rule; `met` is None where nothing was measured."""

    rule: str
    place: str
    worst_percent: float | None
    limit_percent: float
    met: bool | None
    source: str
    at: Point | None
    desirable_percent: float
    at_least: bool
    standing: str
    share_beyond: float


def falls(yard: Yard, terrain: Terrain, layout: Layout) -> tuple[Fall, ...]:
    """Every surface, bank, bed, lawn and house ring against the rules for its kind."""
    limits = limits_of(yard)
    slope = slopes(terrain.lattice, terrain.after_m)
    found = []
    for place, kind, measured in _measured(yard, terrain, layout, slope):
        for limit in limits:
            if limit.of == kind and limit.measure in measured:
                found.append(_fall(limit, place, *measured[limit.measure]))
    return tuple(found)


def _fall(limit: FallLimit, place: str, values: Array, xy_m: Array) -> Fall:
    """The worst of some falls against a rule."""
    percent = 100 * values
    worst, at, beyond = None, None, 0.0
    if len(values):
        order = np.argsort(percent if limit.at_least else -percent)
        number = order[int(BEYOND_SHARE * len(values))]
        worst = float(percent[number])
        at = (float(xy_m[number, 0]), float(xy_m[number, 1]))
        over = limit.limit_percent - percent if limit.at_least else percent - limit.limit_percent
        beyond = float((over > 0).mean())
    standing = "not measured" if worst is None else limit.standing(worst)
    return Fall(
        rule=limit.rule,
        place=place,
        worst_percent=worst,
        limit_percent=limit.limit_percent,
        met=None if worst is None else standing != "beyond",
        source=limit.source,
        at=at,
        desirable_percent=limit.desirable_percent,
        at_least=limit.at_least,
        standing=standing,
        share_beyond=beyond,
    )


def _measured(
    yard: Yard, terrain: Terrain, layout: Layout, slope: Array
) -> Iterator[tuple[str, str, Mapping[str, Measure]]]:
    """Each place with its kind and what is measured of it."""
    buildings = building_outlines(yard)
    for name, outline in buildings.items():
        if terrain.boundary.intersects(outline):
            ring = ring_falls(terrain, layout.surfaces, outline, list(buildings.values()))
            yield name, "house", ring
    for surface, shape in zip(yard.surface, layout.surfaces, strict=True):
        measured = {"slope": _inner(terrain, slope, shape.outline)}
        if surface.centreline is not None:
            measured |= _profile(terrain, surface.centreline, width_m=surface.width or 0.0)
        else:
            measured["along"] = measured["slope"]
        yield surface.name, surface.kind, measured
    for bed in layout.beds:
        yield bed.name, "bed", {"slope": _inner(terrain, slope, bed.outline)}
    for operation in yard.grading:
        if operation.do == "swale" and operation.centreline is not None:
            profile = _profile(terrain, operation.centreline, width_m=operation.width or 0.0)
            yield operation.name, "swale", profile
    yield from _open_ground(terrain, layout, slope)


def _inner(terrain: Terrain, slope: Array, outline: Polygon) -> Measure:
    """Slopes at nodes of the lot inside an outline, a cell off its edge where it is that wide."""
    lot = outline.intersection(terrain.boundary)
    core = lot.buffer(-terrain.lattice.cell_m)
    return _at_nodes(terrain, slope, nodes_inside(terrain.lattice, lot if core.is_empty else core))


def _at_nodes(terrain: Terrain, slope: Array, mask: BoolArray) -> Measure:
    flat = np.flatnonzero(mask)
    return slope.ravel()[flat], points_m(terrain.lattice, flat)


def _profile(
    terrain: Terrain, centreline: tuple[Point, ...], *, width_m: float
) -> dict[str, Measure]:
    """Rise over run along a line, and across it over half its width, as sizes."""
    line = LineString(centreline)
    step_m = max(STATION_M, terrain.lattice.cell_m)
    points = beside(line, lengths_along_m(line, step_m=step_m))
    middle = (points[1:] + points[:-1]) / 2
    run = points[1:] - points[:-1]
    length_m = np.hypot(*run.T)
    rise_m = np.diff(terrain.height_m(points))
    aside = np.column_stack([-run[:, 1], run[:, 0]]) / length_m[:, None] * width_m / 4
    across_m = terrain.height_m(middle + aside) - terrain.height_m(middle - aside)
    return {
        "along": (np.abs(rise_m) / length_m, middle),
        "across": (np.abs(across_m) / (width_m / 2), middle),
    }


def _open_ground(
    terrain: Terrain, layout: Layout, slope: Array
) -> Iterator[tuple[str, str, Mapping[str, Measure]]]:
    """What is neither built on nor planted: ground as it was, and banks that grading made."""
    lattice = terrain.lattice
    built: list[BaseGeometry] = [bed.outline for bed in layout.beds]
    built += [surface.outline for surface in layout.surfaces]
    built += [wall.line.buffer(lattice.cell_m) for wall in terrain.walls]
    built += [
        shapely.MultiPoint(part.points_m[:, :2]).convex_hull
        for solid in layout.solids
        for part in solid.parts
    ]
    free = nodes_inside(lattice, terrain.boundary.buffer(-lattice.cell_m))
    for outline in built:
        free &= ~nodes_inside(lattice, outline.buffer(lattice.cell_m))
    moved = np.abs(terrain.after_m - terrain.before_m) > MOVED_M
    yield "open ground", "open ground", {"slope": _at_nodes(terrain, slope, free & ~moved)}
    bank = free & moved & (slope > BANK)
    if bank.any():
        yield "graded banks", "bank", {"slope": _at_nodes(terrain, slope, bank)}
