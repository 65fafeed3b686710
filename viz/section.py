"""What a section through the yard needs: named places, plants' sizes and outlines of crowns.

The page cuts along any line: the ground from the lattice, built things from their mesh, and
plants as bodies of revolution, whose outline at a distance from the line is exact. Sizes are
those of the forecast, low, expected and high, one course for all plants that share it. The
line shown first runs the way the lot falls, through the place where most is cut or filled.
Metres; sizes are sent in whole centimetres, crown outlines in 255ths of a half spread.
"""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.crowns import FORMS, relative_radius
from growth.plants import Plant
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import BedShape, Layout, SurfaceShape
from scenes.points import points_of
from scenes.terrain import Terrain

Array = NDArray[np.float64]
Point = tuple[float, float]

HEIGHTS = (1 - np.cos(np.linspace(0, np.pi, 33))) / 2
"""Relative heights at which a crown's radius is given, closer at base and top, where it turns."""

NEARLY = 0.9
"""A line that moves this share of the most counts as much."""


def section(yard: Yard, terrain: Terrain, layout: Layout, stand: Stand) -> Mapping[str, Any]:
    """Everything the page needs for sections, as plain data."""
    return {
        "places": [{"name": name, "at": list(at)} for name, at in places(yard, terrain, layout)],
        "line": [list(end) for end in first_line(terrain)],
        "names": [plant.common or plant.name for plant in stand.plants],
        "outlines": [_outline(plant) for plant in stand.plants],
        **_sizes(stand),
    }


def places(yard: Yard, terrain: Terrain, layout: Layout) -> Iterator[tuple[str, Point]]:
    """Named places a section may run between; every name once."""
    seen: set[str] = set()
    for name, at in _all_places(yard, terrain, layout):
        if name not in seen:
            seen.add(name)
            yield name, (float(at[0]), float(at[1]))


def _all_places(yard: Yard, terrain: Terrain, layout: Layout) -> Iterator[tuple[str, Any]]:
    west, south, east, north = terrain.boundary.bounds
    middle = (west + east) / 2, (south + north) / 2
    yield from (("south side", (middle[0], south)), ("north side", (middle[0], north)))
    yield from (("west side", (west, middle[1])), ("east side", (east, middle[1])))
    for solid in layout.solids:
        points = np.concatenate([part.points_m for part in solid.parts])
        yield solid.name, (points.min(axis=0) + points.max(axis=0)) / 2
    shapes: list[BedShape | SurfaceShape] = [*layout.surfaces, *layout.beds]
    for shape in shapes:
        yield shape.name, shape.outline.representative_point().coords[0]
    for kept in yard.kept:
        for at in points_of(kept.at)[:1]:
            yield kept.name or kept.plant, at
    for look in layout.looks:
        yield f"{look.name} (eye)", look.eye_m


def first_line(terrain: Terrain) -> tuple[Point, Point]:
    """Ends of a line across the lattice, the way the lot falls, where grading moves the most."""
    lattice = terrain.lattice
    moved = np.abs(terrain.after_m - terrain.before_m)
    up, across = (abs(float(each.mean())) for each in np.gradient(terrain.before_m))
    (west, south), (east, north) = lattice.nodes_m()[[0, -1], [0, -1]].tolist()
    if up >= across:
        x = lattice.x0_m + lattice.cell_m * _middle_of_most(moved.sum(axis=0))
        return (x, south), (x, north)
    y = lattice.y0_m + lattice.cell_m * _middle_of_most(moved.sum(axis=1))
    return (west, y), (east, y)


def _middle_of_most(moved: Array) -> int:
    """The middle one of the lattice's lines that move about as much as the most moved one."""
    most = np.flatnonzero(moved >= NEARLY * moved.max())
    return int(most[len(most) // 2])


def _outline(plant: Plant) -> NDArray[np.uint8]:
    """Relative radius of a crown from base to top, in 255ths."""
    radius = relative_radius(FORMS[plant.form], HEIGHTS)
    return np.round(255 * np.clip(radius, 0, 1)).astype(np.uint8)


def _sizes(stand: Stand) -> Mapping[str, NDArray[Any]]:
    """Sizes in centimetres by (quantity, end, year, course), and the course of each plant."""
    owner = np.stack([stand.course, stand.source])
    _, first, course = np.unique(owner, axis=1, return_index=True, return_inverse=True)
    ends = [
        [getattr(each, end)[:, first] for end in ("low", "expected", "high")]
        for each in (stand.height_m, stand.spread_m, stand.crown_base_m)
    ]
    there = stand.present[:, first]
    centimetres = np.round(100 * np.array(ends) * there)
    return {
        "sizes": np.minimum(centimetres, 65535).astype(np.uint16).ravel(),
        "course": course.ravel().astype(np.uint32),
    }
