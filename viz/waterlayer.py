"""The water layer: where water stands on the graded ground, and the paths it gathers into.

A path starts where a fiftieth of the lot's area drains through one node and follows the steepest
way down, over full hollows, until it leaves the lot's surroundings or joins another; shorter
ones than two metres are left out. Its width tells how much ground drains into it. The figures
are those of `scenes.drainage`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from scenes.document import Yard
from scenes.drainage import Drainage, drain
from scenes.lattice import Array, Lattice
from scenes.masks import points_m
from scenes.ponds import LEAST_DEPTH_M
from scenes.terrain import Terrain
from viz.units import area_text, depth_text

PATH_SHARE, LEAST_LONG_M, BEYOND_M = 0.02, 2.0, 1.5
MANY = 5.0
"""A path that drains this many times the least area is drawn wide."""


@dataclass(frozen=True)
class Path:
    """A path of water (k, 2) in metres, and the area that drains through its fullest node."""

    line_m: Array
    catchment_m2: float


def water_layer(yard: Yard, terrain: Terrain) -> Mapping[str, Any]:
    """Depth of standing water (ny, nx) in metres, paths, and labels of ponds and outlets."""
    drainage = drain(terrain, yard)
    least_m2 = PATH_SHARE * terrain.boundary.area
    near = terrain.boundary.buffer(BEYOND_M)
    return {
        "depth": drainage.filled_m - terrain.after_m,
        "least_m": LEAST_DEPTH_M / 2,
        "paths": [
            {"points": path.line_m.astype(np.float32).ravel(), "wide": _wide(path, least_m2)}
            for path in paths(terrain.lattice, drainage, near, least_m2=least_m2)
        ],
        "labels": list(_labels(yard, drainage)),
    }


def paths(
    lattice: Lattice, drainage: Drainage, near: Polygon, *, least_m2: float
) -> Iterator[Path]:
    """Paths, inside `near`, through nodes that an area drains through; fuller heads first."""
    gathered, to = drainage.catchment_m2.ravel(), drainage.to
    wet = gathered >= least_m2
    fed = np.zeros(len(to) + 1, dtype=bool)
    fed[to[wet]] = True
    heads = np.flatnonzero(wet & ~fed[:-1])
    taken = np.zeros(len(to), dtype=bool)
    for head in heads[np.argsort(-gathered[heads], kind="stable")]:
        nodes = _followed(int(head), to, taken)
        if len(nodes) < 2:
            continue
        line = LineString(points_m(lattice, np.array(nodes))).simplify(0.75 * lattice.cell_m)
        for part in shapely.get_parts(line.intersection(near)):
            if part.length >= LEAST_LONG_M:
                yield Path(np.asarray(part.coords), float(gathered[nodes[:-1]].max()))


def _followed(head: int, to: NDArray[Any], taken: NDArray[np.bool_]) -> list[int]:
    """Nodes from a head down to where water leaves or joins a path; marks them as taken."""
    nodes = [head]
    while not taken[nodes[-1]]:
        taken[nodes[-1]] = True
        if to[nodes[-1]] < 0:
            break
        nodes.append(int(to[nodes[-1]]))
    return nodes


def _wide(path: Path, least_m2: float) -> int:
    return int(path.catchment_m2 >= MANY * least_m2)


def _labels(yard: Yard, drainage: Drainage) -> Iterator[Mapping[str, Any]]:
    """Ponds, the deepest against a building first, then where water leaves the lot."""
    for pond in sorted(drainage.ponds, key=lambda pond: pond.against is None):
        depth = depth_text(pond.depth_m, lengths=yard.lengths)
        area = area_text(pond.area_m2, lengths=yard.lengths)
        against = f" against {pond.against}" if pond.against else ""
        yield {"at": list(pond.at), "text": f"stands{against} {depth} deep, {area}"}
    for outlet in drainage.outlets:
        area = area_text(outlet.catchment_m2, lengths=yard.lengths)
        yield {"at": list(outlet.at), "text": f"leaves the lot: water of {area}"}
