"""Retaining walls: the step they make in the ground, and how high they stand.

The ground on a wall's low side stays as it is. On its high side it is filled level with the
wall's top, back to where it meets the ground, ten times the wall's height at the most;
from there the fill falls at the batter. Ground higher than the top stays. The fill ends
where the wall ends (short returns are taken for granted). The high side is the one where
the ground is higher, or the one that the document says the wall retains; a wall that
ends where it starts retains what it encloses, filled from top to top. `height` is above
the ground at its foot.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import split

from scenes.benches import joined_to, pair
from scenes.changes import Change, Retaining
from scenes.document import Grading
from scenes.edges import Nearest, beside, edges_of, lengths_along_m, nearest_on
from scenes.lattice import Array, Lattice, bilinear, part
from scenes.masks import nodes_inside, window_over
from scenes.verticals import with_vertical_sides

Side = Literal["left", "right"]
OTHER: dict[Side, Side] = {"left": "right", "right": "left"}
FILL_DEPTHS = 10
"""Wall heights that a fill reaches back at the most; no outside source."""

MOST_HIGH_M = 30.0
"""No yard has a wall so high: such a top is a mistake, most often of the unit."""

OFF_LINE_M = 1e-4
LOOK_CELLS = 4
"""How many cells off a wall its two sides are compared."""

LEVEL_M = 0.01
"""Ground whose two sides differ by less than a centimetre in the mean is as high on both."""


@dataclass(frozen=True)
class GroundWall:
    """A retaining wall as graded: its greatest height above the ground at its foot.

    `with_footing_m` is from the bottom of the footing, None where no footing is written.
    """

    place: str
    name: str
    line: LineString
    highest_m: float
    with_footing_m: float | None


def wall(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """The ground filled up behind a wall; ValueError where the wall retains nothing."""
    points = operation.line or ()
    line = LineString(points)
    along_m = lengths_along_m(line, step_m=lattice.cell_m)
    low = OTHER[_high_side(operation, line, along_m, lattice, ground_m)]
    foot_m = side_m(line, along_m, lattice, ground_m, side=low)
    top_m = foot_m + (operation.height or 0.0)
    if operation.top is not None:
        top_m = np.full_like(foot_m, operation.top)
    highest_m = float((top_m - foot_m).max())
    if highest_m <= 0:
        raise ValueError("its top lies below the ground at its foot; write a higher top")
    if highest_m > MOST_HIGH_M:
        raise ValueError(f"stands {highest_m:.4g} m high; compare its top with the survey's levels")
    retaining = Retaining(points, along_m, top_m, low, operation.footing)
    _, batter = pair(operation.batter)
    return _filled(retaining, lattice, ground_m, highest_m=highest_m, batter=max(batter, 0.1))


def side_m(
    line: LineString, along_m: Array, lattice: Lattice, ground_m: Array, *, side: Side
) -> Array:
    """The ground (n,) right beside a line, carried on from a cell and a half and three off."""
    left = lattice.cell_m if side == "left" else -lattice.cell_m
    near_m, far_m = (
        bilinear(lattice, ground_m, beside(line, along_m, left_m=off * left)) for off in (1.5, 3.0)
    )
    return 2 * near_m - far_m


def standing(
    place: str, name: str, wall: Retaining, lattice: Lattice, after_m: Array
) -> GroundWall:
    """How high a wall stands above the graded ground at its foot."""
    line = LineString(wall.line)
    foot_m = side_m(line, wall.along_m, lattice, after_m, side=wall.low_side)
    highest_m = float(np.max(wall.top_m - foot_m))
    footed_m = None if wall.footing_m is None else highest_m + wall.footing_m
    return GroundWall(place, name, line, highest_m, footed_m)


def _high_side(
    operation: Grading, line: LineString, along_m: Array, lattice: Lattice, ground_m: Array
) -> Side:
    if operation.retains is not None:
        return operation.retains
    if line.is_ring:
        return "left" if shapely.is_ccw(shapely.linearrings(line.coords)) else "right"
    off_m = LOOK_CELLS * lattice.cell_m
    left_m, right_m = (
        bilinear(lattice, ground_m, beside(line, along_m, left_m=off)).mean()
        for off in (off_m, -off_m)
    )
    if abs(left_m - right_m) < LEVEL_M:
        raise ValueError('the ground is as high on both sides; add retains = "left" or "right"')
    return "left" if left_m > right_m else "right"


def _filled(
    wall: Retaining, lattice: Lattice, ground_m: Array, *, highest_m: float, batter: float
) -> Change:
    """The ground with a wall's backfill, joined to the wall."""
    line = LineString(wall.line)
    level_m = np.inf if line.is_ring else FILL_DEPTHS * highest_m
    behind = _behind(line, wall.low_side, FILL_DEPTHS * highest_m + highest_m * batter)
    window = window_over(lattice, behind, margin_m=2 * lattice.cell_m)
    there, before_m = part(lattice, window), ground_m[window]
    edges_m, top_at = edges_of(line), _top_at(wall, line)

    def rise_at(xy_m: Array) -> Array:
        near = nearest_on(edges_m, xy_m)
        fallen_m = np.maximum(near.away_m - level_m, 0.0) / batter
        return np.maximum(top_at(xy_m, near) - fallen_m - bilinear(there, before_m, xy_m), 0.0)

    nodes, inside = there.nodes_m(), nodes_inside(there, behind)
    rise_m = np.zeros(inside.shape)
    rise_m[inside] = rise_at(nodes[inside])
    stepped_m, cover = with_vertical_sides(
        behind, there, inside=inside, rise_m=rise_m, rise_at=rise_at
    )
    away_m = np.full(inside.shape, np.inf)
    away_m[inside] = nearest_on(edges_m, nodes[inside]).away_m
    joined = joined_to(away_m < 1.5 * lattice.cell_m, stepped_m != 0)
    adrift = nodes[joined & inside & (away_m > level_m)]
    remark = "the fill behind the wall ends in a bank of its own"
    return Change(
        window=window,
        after_m=before_m + np.where(joined, stepped_m, 0.0),
        core=joined & inside & (cover >= 1),
        share=np.where(joined, cover, 0.0),
        wall=wall,
        remarks=((remark, tuple(adrift[0].tolist())),) if len(adrift) else (),
    )


def _top_at(wall: Retaining, line: LineString) -> Callable[[Array, Nearest], Array]:
    """The wall's top nearest to points; within a closed wall, flat triangles between its tops."""

    def nearest_m(xy_m: Array, near: Nearest) -> Array:
        return np.interp(near.along_m, wall.along_m, wall.top_m)

    if not line.is_ring:
        return nearest_m
    between = LinearNDInterpolator(beside(line, wall.along_m), wall.top_m)

    def spanned_m(xy_m: Array, near: Nearest) -> Array:
        top_m = between(xy_m)
        return np.asarray(np.where(np.isnan(top_m), nearest_m(xy_m, near), top_m))

    return spanned_m


def _behind(line: LineString, low_side: Side, depth_m: float) -> Polygon:
    """The area on a wall's high side, square to its ends, or what a closed wall encloses."""
    if line.is_ring:
        return Polygon(line.coords)
    ends = beside(line, np.array([0.0, line.length]))
    ahead = np.diff(np.array(line.coords)[[0, 1, -2, -1]], axis=0)[[0, 2]]
    past = ends + 0.01 * np.array([[-1], [1]]) * ahead / np.linalg.norm(ahead, axis=1)[:, None]
    through = LineString([past[0], *line.coords, past[1]])
    around = line.buffer(depth_m, cap_style="flat", join_style="mitre", mitre_limit=2)
    off_m = -OFF_LINE_M if low_side == "left" else OFF_LINE_M
    (just_behind,) = beside(line, np.array([line.length / 2]), left_m=off_m)
    return min(split(around, through).geoms, key=Point(just_behind).distance)
