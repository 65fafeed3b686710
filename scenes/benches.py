"""A bench cut into the ground: its level inside a footprint, and sides that meet the ground.

Beyond the footprint the sides rise or fall from the nearest edge at the batter (run to
rise) until they meet the ground; only the part joined to the footprint counts. A vertical
side (batter 0) is spread over one cell, half within and half beyond the outline, so that
its volume is exact. Only nodes that the sides can reach are looked at.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.ndimage import label
from shapely.geometry import Polygon

from scenes.lattice import Array, BoolArray, Lattice, part, within

LevelAt = Callable[[Array], Array]


@dataclass(frozen=True)
class Bench:
    """A shaped piece of ground: where it is and its level (n,) in metres at points (n, 2)."""

    footprint: Polygon
    level_at: LevelAt


def cut_in(
    bench: Bench, lattice: Lattice, ground_m: Array, *, batter: float | tuple[float, float]
) -> Array:
    """The ground (ny, nx) in metres with a bench cut into it and its sides brought to meet it."""
    cut, fill = batter if isinstance(batter, tuple) else (batter, batter)
    window = _window(bench, lattice, ground_m, batter=max(cut, fill))
    after_m = ground_m.copy()
    there = part(lattice, window)
    after_m[window] = _cut_in_part(bench, there, ground_m[window], cut=cut, fill=fill)
    return after_m


def _window(
    bench: Bench, lattice: Lattice, ground_m: Array, *, batter: float
) -> tuple[slice, slice]:
    """The rows and columns that the bench and its sides can reach at the most."""
    edge = shapely.get_coordinates(bench.footprint.segmentize(lattice.cell_m))
    level_m = bench.level_at(edge)
    most_m = max(level_m.max() - ground_m.min(), ground_m.max() - level_m.min(), 0.0)
    reach_m = most_m * batter + 2 * lattice.cell_m
    return within(lattice, edge.min(axis=0) - reach_m, edge.max(axis=0) + reach_m)


def _cut_in_part(
    bench: Bench, lattice: Lattice, ground_m: Array, *, cut: float, fill: float
) -> Array:
    """As `cut_in`, on the part of the lattice that the bench can reach."""
    nodes = shapely.points(lattice.nodes_m())
    shapely.prepare(bench.footprint)
    away_m = shapely.distance(bench.footprint, nodes)
    level_m = _nearest_level_m(bench, nodes, away_m)
    cover = _cover(bench.footprint, nodes, away_m, cell_m=lattice.cell_m) if not cut * fill else 0
    raised = _raised(ground_m, level_m, away_m, batter=fill, cover=cover)
    lowered = -_raised(-ground_m, -level_m, away_m, batter=cut, cover=cover)
    after_m = np.where(level_m > ground_m, raised, lowered)
    joined = _joined(after_m != ground_m, away_m == 0)
    return np.where(joined, after_m, ground_m)


def _nearest_level_m(bench: Bench, nodes: Array, away_m: Array) -> Array:
    """The bench's level at each node, or at the nearest point of its edge for nodes beyond."""
    beyond = away_m > 0
    points = shapely.get_coordinates(nodes).reshape(*nodes.shape, 2)
    across = shapely.shortest_line(bench.footprint, nodes[beyond])
    points[beyond] = shapely.get_coordinates(across)[::2]
    return bench.level_at(points.reshape(-1, 2)).reshape(away_m.shape)


def _raised(
    ground_m: Array, level_m: Array, away_m: Array, *, batter: float, cover: Array | int
) -> Array:
    """The ground filled up to a level, with sides that fall at the batter (0: vertical)."""
    if batter == 0:
        return ground_m + cover * (level_m - ground_m)
    return np.maximum(ground_m, level_m - away_m / batter)


def _cover(footprint: Polygon, nodes: Array, away_m: Array, *, cell_m: float) -> Array:
    """The share of each node's own square cell that lies inside the footprint."""
    to_edge_m = shapely.distance(footprint.boundary, nodes)
    cover = (away_m == 0).astype(float)
    near = to_edge_m < cell_m
    x, y = shapely.get_x(nodes[near]), shapely.get_y(nodes[near])
    half = cell_m / 2
    squares = shapely.box(x - half, y - half, x + half, y + half)
    cover[near] = shapely.area(shapely.intersection(squares, footprint)) / cell_m**2
    return np.asarray(cover)


def _joined(changed: BoolArray, inside: BoolArray) -> BoolArray:
    """Nodes of changed ground that are joined to the footprint itself."""
    pieces, _ = label(changed | inside, structure=np.ones((3, 3)))
    return np.asarray(np.isin(pieces, np.unique(pieces[inside])) & changed)
