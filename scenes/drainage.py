"""Water on the graded ground: where it runs, where it stands, and where it leaves the lot.

Buildings, boxes and walls of the document stand in its way; fences let it through. Rain falls
on all nodes of the lattice but those; the water of roofs is left out, for the document does
not say where downspouts end, and so is land beyond the lattice. A hollow counts as a pond
where it can stand two centimetres deep or more and reaches into the lot. Soil takes up
nothing: ponds are shown as they stand when it rains long enough.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Yard
from scenes.flow import Basins, Flow, accumulated, flow
from scenes.lattice import Array, BoolArray, IntArray, Lattice
from scenes.masks import nodes_inside, points_m
from scenes.points import Point
from scenes.ponds import Pond, ponds
from scenes.surfaces import building_outlines
from scenes.terrain import Terrain

LEAK_PROOF = 0.71
"""Half a wall's least width over the cell: no diagonal link passes between its nodes."""

LEAST_OUTLET = 0.05
OUTLETS_APART_M = 3.0
"""Outlets carry a twentieth of the lot's water at one node; nearer ones are one outlet;
no outside source."""


@dataclass(frozen=True)
class Outlet:
    """A place where water gathered on the lattice crosses the boundary outwards."""

    at: Point
    catchment_m2: float


@dataclass(frozen=True)
class Inlet:
    """A drain of the document and the ground whose water it takes."""

    name: str
    at: Point
    catchment_m2: float


@dataclass(frozen=True)
class Drainage:
    """Heights (ny, nx) with hollows full, next node (ny * nx), -1 = leaves, and what gathers."""

    filled_m: Array
    to: IntArray
    catchment_m2: Array
    blocked: BoolArray
    ponds: tuple[Pond, ...]
    outlets: tuple[Outlet, ...]
    inlets: tuple[Inlet, ...]
    closed_in_m2: float


def drain(terrain: Terrain, yard: Yard) -> Drainage:
    """The water of the graded ground: flow, ponds and outlets."""
    lattice = terrain.lattice
    inside = nodes_inside(lattice, terrain.boundary)
    blocked = _blocked(lattice, yard)
    drained = {drain.name: drained_nodes(lattice, drain.at) & ~blocked for drain in yard.drain}
    all_drained = np.logical_or.reduce([np.zeros_like(blocked), *drained.values()])
    water = flow(terrain.after_m, blocked=blocked, drained=all_drained)
    rain_m2 = np.where(blocked, 0.0, lattice.cell_m**2)
    catchment_m2 = accumulated(water.to, rain_m2.ravel()).reshape(blocked.shape)
    return Drainage(
        filled_m=water.filled_m,
        to=water.to,
        catchment_m2=catchment_m2,
        blocked=blocked,
        ponds=tuple(_ponds_on_lot(terrain, yard, water, inside, rain_m2)),
        outlets=tuple(_outlets(terrain, water, catchment_m2, inside, all_drained)),
        inlets=tuple(
            Inlet(drain.name, drain.at, float(catchment_m2[drained[drain.name]].sum()))
            for drain in yard.drain
        ),
        closed_in_m2=_closed_in_m2(water.basins, rain_m2),
    )


def _blocked(lattice: Lattice, yard: Yard) -> BoolArray:
    """Nodes that water cannot reach: inside buildings and boxes, and along walls."""
    blocked = np.zeros((lattice.ny, lattice.nx), dtype=bool)
    for outline in _obstacles(lattice, yard):
        blocked |= nodes_inside(lattice, outline)
    return blocked


def _obstacles(lattice: Lattice, yard: Yard) -> Iterator[BaseGeometry]:
    yield from building_outlines(yard).values()
    for structure in yard.structure:
        if structure.kind == "box" and structure.outline is not None:
            yield Polygon(structure.outline)
        elif structure.kind == "wall" and structure.line is not None:
            half_m = max((structure.thickness or 0.0) / 2, LEAK_PROOF * lattice.cell_m)
            yield LineString(structure.line).buffer(half_m)


def drained_nodes(lattice: Lattice, at: Point) -> BoolArray:
    """The nodes that a drain at a place takes its water from: those a cell around it."""
    return nodes_inside(lattice, shapely.Point(at).buffer(lattice.cell_m))


def _ponds_on_lot(
    terrain: Terrain, yard: Yard, water: Flow, inside: BoolArray, rain_m2: Array
) -> list[Pond]:
    """Ponds that reach into the lot, the largest first, each with the building it stands at."""
    near_m = 1.5 * terrain.lattice.cell_m
    at_building = {
        name: nodes_inside(terrain.lattice, outline.buffer(near_m)).ravel()
        for name, outline in building_outlines(yard).items()
    }
    found = []
    for pond, nodes in ponds(terrain.lattice, terrain.after_m, water, rain_m2):
        if inside.ravel()[nodes].any():
            against = next((name for name, near in at_building.items() if near[nodes].any()), None)
            found.append(replace(pond, against=against))
    return sorted(found, key=lambda pond: -pond.volume_m3)


def _outlets(
    terrain: Terrain, water: Flow, catchment_m2: Array, inside: BoolArray, drained: BoolArray
) -> Iterator[Outlet]:
    """Where much water leaves the lot at one node, the most first."""
    within = inside.ravel()
    beyond = np.append(~within, True)
    leaving = np.flatnonzero(within & ~drained.ravel() & beyond[water.to])
    gathered = catchment_m2.ravel()[leaving]
    order = np.argsort(-gathered, kind="stable")
    taken = np.empty((0, 2))
    for node in leaving[order[: (gathered > LEAST_OUTLET * terrain.boundary.area).sum()]]:
        here = points_m(terrain.lattice, node[None])
        if (np.hypot(*(taken - here).T) > OUTLETS_APART_M).all():
            taken = np.concatenate([taken, here])
            yield Outlet((float(here[0, 0]), float(here[0, 1])), float(catchment_m2.flat[node]))


def _closed_in_m2(basins: Basins, rain_m2: Array) -> float:
    """Ground whose water has no way out at all, such as a courtyard without a drain."""
    closed = np.append(basins.into < 0, False)
    return float(rain_m2.ravel()[closed[basins.of_node]].sum())
