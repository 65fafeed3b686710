"""Fences and walls that follow the ground: a line, a height above the ground there.

Both are cut into bays, as short as it takes for foot and top to keep to the graded ground
within two centimetres, but never under 0.6 m. A fence is
closed boards between posts; how much of it is gaps is a number kept with the solid, so a
sight line through it is thinned instead of meeting each board. A wall is stone, set into
the ground. Rails, gates, coping and footings are left out.
"""

from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import LineString

from scenes.document import Structure
from scenes.edges import beside, corners_along_m, edges_of, lengths_along_m
from scenes.lattice import Array
from scenes.solids import HeightAt, Part, Solid, joined, strip

BAY_M = 0.6
GROUND_WITHIN_M = 0.02
POST_EVERY_M, POST_M, POST_PROUD_M = 2.4, 0.1, 0.05
BOARD_M, GAP_BELOW_M = 0.04, 0.04
STONE_M, STONE_BELOW_M = 0.3, 0.3
"""Thickness of boards and stone where none is written; gap and depth. Common practice."""


def fence(structure: Structure, ground_m: HeightAt) -> Solid:
    """Boards and posts along the line, in metres."""
    line = LineString(structure.line or ())
    height_m = structure.height or 0.0
    stations = stations_m(line, ground_m)
    left, right = sides_m(stations, thick_m=structure.thickness or BOARD_M)
    ground = ground_m(stations)
    boards = strip(
        "fence", left_m=left, right_m=right, low_m=ground + GAP_BELOW_M, high_m=ground + height_m
    )
    posts = [_post(line, along_m, ground_m, height_m) for along_m in _posts_m(line)]
    return Solid(structure.name, "fence", structure.open, (joined("fence", [boards, *posts]),))


def stone_wall(structure: Structure, ground_m: HeightAt) -> Solid:
    """A stone body along the line, in metres."""
    stations = stations_m(LineString(structure.line or ()), ground_m)
    left, right = sides_m(stations, thick_m=structure.thickness or STONE_M)
    ground = ground_m(stations)
    low_m, high_m = ground - STONE_BELOW_M, ground + (structure.height or 0.0)
    body = strip("stone", left_m=left, right_m=right, low_m=low_m, high_m=high_m)
    return Solid(structure.name, "wall", 0.0, (body,))


def stations_m(line: LineString, ground_m: HeightAt) -> Array:
    """Points (n, 2) along a line: its corners, and between them where the ground bends."""
    legs = [_leg_m(LineString(ends), ground_m) for ends in pairwise(line.coords)]
    return np.concatenate([*(leg[:-1] for leg in legs), legs[-1][-1:]])


def _leg_m(leg: LineString, ground_m: HeightAt) -> Array:
    """The ends of a straight leg, and the points between them that the ground's bends need."""
    along_m = lengths_along_m(leg, step_m=BAY_M)
    points = beside(leg, along_m)
    profile = LineString(np.column_stack([along_m, ground_m(points)]))
    kept_m = shapely.get_coordinates(profile.simplify(GROUND_WITHIN_M))[:, 0]
    return np.asarray(points[np.isin(along_m, kept_m)])


def sides_m(stations: Array, *, thick_m: float) -> tuple[Array, Array]:
    """The left and right side (n, 2) of a band of even thickness along stations."""
    steps = np.diff(stations, axis=0)
    steps = steps / np.linalg.norm(steps, axis=1)[:, None]
    before, after = np.vstack([steps[:1], steps]), np.vstack([steps, steps[-1:]])
    if np.allclose(stations[0], stations[-1]):
        before[0], after[-1] = steps[-1], steps[0]
    leftwards = np.column_stack([-(before + after)[:, 1], (before + after)[:, 0]])
    length = np.maximum(np.linalg.norm(leftwards, axis=1), 1.0)
    out = leftwards / length[:, None] ** 2 * thick_m
    return stations + out, stations - out


def _posts_m(line: LineString) -> Array:
    """Where posts stand along a line, in metres: at its corners and evenly between them."""
    ends = corners_along_m(edges_of(line))
    bays = [
        np.linspace(a, b, max(1, round((b - a) / POST_EVERY_M)), endpoint=False)
        for a, b in pairwise(ends)
    ]
    return np.concatenate([*bays, ends[-1:]])


def _post(line: LineString, along_m: float, ground_m: HeightAt, height_m: float) -> Part:
    """One square post, in line with the fence there."""
    half = POST_M / 2
    near_m = [max(0.0, along_m - half), along_m, min(line.length, along_m + half)]
    a, middle, b = beside(line, np.array(near_m))
    step = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9) * half
    stations = np.array([middle - step, middle + step])
    left, right = sides_m(stations, thick_m=POST_M)
    ground = np.full(2, ground_m(middle[None])[0])
    return strip(
        "fence",
        left_m=left,
        right_m=right,
        low_m=ground - POST_PROUD_M,
        high_m=ground + height_m + POST_PROUD_M,
    )
