"""A bench cut into the ground: its level inside a footprint, and sides that meet the ground.

Beyond the footprint the sides rise or fall from the nearest edge at the batter (run to
rise) until they meet the ground; only the part joined to the footprint counts. A vertical
side (batter 0) is kept in the nodes beside it (`scenes.verticals`), so that its volume is
exact. Only nodes that the sides can reach are looked at.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.ndimage import label
from shapely.geometry import Polygon

from scenes.changes import Change
from scenes.edges import edges_of, nearest_on
from scenes.lattice import Array, BoolArray, Lattice, Window, bilinear, part, within
from scenes.masks import nodes_inside
from scenes.verticals import with_vertical_sides

LevelAt = Callable[[Array], Array]

EDGE_POINTS = 10_000
"""An edge is looked at in so many places at the most."""


@dataclass(frozen=True)
class Bench:
    """A shaped piece of ground: where it is and its level (n,) in metres at points (n, 2)."""

    footprint: Polygon
    level_at: LevelAt


def cut_in(
    bench: Bench,
    lattice: Lattice,
    ground_m: Array,
    *,
    batter: float | tuple[float, float],
    raises: bool = True,
) -> Change:
    """The bench cut into the ground (ny, nx), its sides brought to meet it.

    A bench that does not raise leaves ground below its level as it is.
    """
    cut, fill = pair(batter)
    window = _window(bench, lattice, ground_m, batter=max(cut, fill))
    there, before_m = part(lattice, window), ground_m[window]
    inside, away_m, level_m = _levels(bench, there)
    rise_m = level_m - before_m
    share = np.ones(before_m.shape)
    sides = _sides(rise_m, away_m, cut=cut, fill=fill)
    if not cut * fill:
        stepped_m, cover = with_vertical_sides(
            bench.footprint,
            there,
            inside=inside,
            rise_m=rise_m,
            rise_at=lambda xy_m: bench.level_at(xy_m) - bilinear(there, before_m, xy_m),
        )
        vertical = np.where(rise_m > 0, fill, cut) == 0
        sides = np.where(vertical, stepped_m, sides)
        share = np.where(vertical, cover, share)
    if not raises:
        sides = np.minimum(sides, 0.0)
    joined = joined_to(inside | (away_m < lattice.cell_m), sides != 0)
    return Change(
        window=window,
        after_m=before_m + np.where(joined, sides, 0.0),
        core=inside & (share >= 1) & ((rise_m < 0) | raises),
        share=np.where(joined | (inside & raises), share, 0.0),
    )


def _window(bench: Bench, lattice: Lattice, ground_m: Array, *, batter: float) -> Window:
    """The rows and columns that the bench and its sides can reach at the most.

    What the sides can reach from the highest and lowest ground holds all they do; within
    it the ground differs less, so that they reach less far.
    """
    step_m = max(lattice.cell_m, bench.footprint.length / EDGE_POINTS)
    edge = shapely.get_coordinates(bench.footprint.segmentize(step_m))
    level_m = bench.level_at(edge)
    window: Window = (slice(None), slice(None))
    for _ in range(4):
        here_m = ground_m[window]
        most_m = max(level_m.max() - here_m.min(), here_m.max() - level_m.min(), 0.0)
        reach_m = most_m * batter + 2 * lattice.cell_m
        window = within(lattice, edge.min(axis=0) - reach_m, edge.max(axis=0) + reach_m)
    return window


def _levels(bench: Bench, lattice: Lattice) -> tuple[BoolArray, Array, Array]:
    """Of each node: whether it is on the bench, how far from it, and the level there.

    Beyond the bench the level is that of the nearest point of its edge.
    """
    nodes = lattice.nodes_m()
    inside = nodes_inside(lattice, bench.footprint)
    beside = nearest_on(edges_of(bench.footprint), nodes[~inside])
    away_m = np.zeros(inside.shape)
    away_m[~inside] = beside.away_m
    nodes[~inside] = beside.xy_m
    level_m = bench.level_at(nodes.reshape(-1, 2)).reshape(inside.shape)
    return inside, away_m, level_m


def _sides(rise_m: Array, away_m: Array, *, cut: float, fill: float) -> Array:
    """By how much the ground rises to a bench or its battered sides; below zero: falls."""
    raised = np.maximum(rise_m - away_m / (fill or 1.0), 0.0)
    lowered = np.minimum(rise_m + away_m / (cut or 1.0), 0.0)
    return np.where(rise_m > 0, raised, lowered)


def pair(batter: float | tuple[float, float]) -> tuple[float, float]:
    """Batters of cut and of fill, of one written for both."""
    return batter if isinstance(batter, tuple) else (batter, batter)


def joined_to(seeds: BoolArray, changed: BoolArray) -> BoolArray:
    """Nodes of changed ground that are joined to the seeds."""
    pieces, count = label(changed | seeds, structure=np.ones((3, 3)))
    kept = np.zeros(count + 1, dtype=bool)
    kept[pieces[seeds]] = True
    return np.asarray(kept[pieces] & changed)
