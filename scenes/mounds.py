"""Ground raised smoothly: mounds, and spot levels that pull the ground to them.

A mound stands on the ground as it is. With d the distance to its outline and R the largest
d, it rises by height (1 - q^2)^2, q = 1 - d / R: no edge at its foot nor on its top; over
a round outline its volume is a third of area times height.

A spot level pulls the ground to its own level and leaves it alone beyond its influence
(3 m where none is written). Between, the pull follows Wendland's smooth function, and
where influences overlap they are solved together, so that each spot keeps its level.

Source: H. Wendland 1995, Piecewise polynomial, positive definite and compactly supported
radial functions, doi 10.1007/BF02123482, the C2 function for up to three dimensions.
"""

import numpy as np
import shapely
from scipy.spatial.distance import cdist
from shapely.geometry import Polygon

from scenes.changes import Change
from scenes.document import Grading
from scenes.edges import edges_of, nearest_on
from scenes.lattice import Array, Lattice, bilinear, part, within
from scenes.masks import nodes_inside, window_over

INFLUENCE_M = 3.0
"""How far a spot level reaches where none is written; no outside source."""

MOST_SPOTS = 1000
"""Spot levels are solved together; a list longer than this belongs in the survey."""


def mound(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """The ground with a smooth hill on it."""
    outline = Polygon(operation.outline)
    window = window_over(lattice, outline)
    there = part(lattice, window)
    nodes, inside = there.nodes_m(), nodes_inside(there, outline)
    deepest_m = shapely.maximum_inscribed_circle(outline, tolerance=lattice.cell_m / 100).length
    short = np.clip(1 - nearest_on(edges_of(outline), nodes[inside]).away_m / deepest_m, 0, 1)
    rise_m = np.zeros(inside.shape)
    rise_m[inside] = (operation.height or 0.0) * (1 - short**2) ** 2
    return Change(window, ground_m[window] + rise_m, inside, inside.astype(float))


def levels(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """The ground pulled to spot levels, each within its influence."""
    spots_m = np.array(operation.points or ())
    if len(spots_m) > MOST_SPOTS:
        raise ValueError(f"{len(spots_m)} spot levels; write {MOST_SPOTS} at most")
    at, reach_m = spots_m[:, :2], operation.influence or INFLUENCE_M
    pull_m = np.linalg.solve(
        wendland(cdist(at, at) / reach_m), spots_m[:, 2] - bilinear(lattice, ground_m, at)
    )
    window = within(lattice, at.min(axis=0) - reach_m, at.max(axis=0) + reach_m)
    rise_m = np.zeros(ground_m.shape)
    touched = np.zeros(ground_m.shape, dtype=bool)
    for place, pull in zip(at, pull_m, strict=True):
        near = within(lattice, place - reach_m, place + reach_m)
        away = np.linalg.norm(part(lattice, near).nodes_m() - place, axis=-1) / reach_m
        rise_m[near] += pull * wendland(away)
        touched[near] |= away < 1
    after_m = (ground_m + rise_m)[window]
    return Change(window, after_m, touched[window], touched[window].astype(float))


def wendland(away: Array) -> Array:
    """One at no distance, zero from distance one on, smooth between."""
    return np.asarray(np.maximum(1 - away, 0.0) ** 4 * (4 * away + 1))
