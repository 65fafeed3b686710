"""Lines from many places towards the sun, and what they may meet: the compiled part of light.

Crowns are met as upright cylinders round their largest size: a quick word on which of them
the exact lines of `growth.beams` must look at. Triangles of built things are met exactly.

Source: ray and triangle, Moeller and Trumbore 1997, J. Graphics Tools 2(1):21-28.
"""

from typing import Any

import numpy as np

from growth.compiled import compiled


@compiled
def _near_edges(x: Any, y: Any, radius: Any, rise: Any, ways: Any, count: int, edge: Any) -> None:
    """Level distances at which the first `count` lines enter an upright cylinder, -1 for a miss.

    x, y: from the lines' start to the axis; rise: from there to the top; ways (3, m): level
    unit vectors and rise per level metre of the lines.
    """
    zero = np.float32(0)
    for sun in range(count):
        along = x * ways[0, sun] + y * ways[1, sun]
        aside = x * ways[1, sun] - y * ways[0, sun]
        inside = radius * radius - aside * aside
        half = np.sqrt(inside if inside > zero else zero)
        near = along - half if along > half else zero
        met = (inside > zero) & (along + half > zero) & (near * ways[2, sun] < rise)
        edge[sun] = near if met else np.float32(-1)


@compiled
def _low_suns(x: Any, y: Any, radius: Any, rise: Any, slopes: Any) -> Any:
    """How many of the suns, the lowest first, can stand low enough behind a cylinder."""
    if rise <= 0 or radius <= 0:
        return 0
    apart = np.sqrt(x * x + y * y) - radius
    if apart <= 0:
        return len(slopes)
    if apart * slopes[0] >= rise:
        return 0
    return np.searchsorted(slopes, rise / apart)


@compiled
def _edges(scene: Any, target: int, plant: int, ways: Any, edge: Any) -> Any:
    """Near edges of a plant's crown on lines from a target; how many of the lowest suns."""
    foot, radius, top, eye = scene
    if plant == target:
        return 0
    x = np.float32(foot[plant, 0] - foot[target, 0])
    y = np.float32(foot[plant, 1] - foot[target, 1])
    rise = top[plant] - eye[target]
    suns = _low_suns(x, y, radius[plant], rise, ways[2])
    if suns:
        _near_edges(x, y, radius[plant], rise, ways, suns, edge)
    return suns


@compiled
def count_met(
    scene: Any, targets: Any, near: Any, ways: Any, order: Any, first: int, last: int, edge: Any,
    count: Any,
) -> None:  # fmt: skip
    """How many crowns of the plants near (c,) each line may meet, into count (k, m).

    scene: feet (n, 3), largest radius, highest top and lowest eye (n,). ways (3, m) stand by
    their rise, the lowest first; order (m,) is their place among the m; edge (m,) is work.
    """
    for k in range(first, last):
        for plant in near:
            for sun in range(_edges(scene, targets[k], plant, ways, edge)):
                count[k, order[sun]] += edge[sun] >= 0


@compiled
def list_met(
    scene: Any, targets: Any, near: Any, ways: Any, order: Any, first: int, last: int, edge: Any,
    filled: Any, ends: Any, met: Any, away: Any,
) -> None:  # fmt: skip
    """The same crowns from near to far, into met, line i up to ends[i]; edge (m,), filled (2, m)
    and away (as met) are work."""
    many = len(order)
    for k in range(first, last):
        for sun in range(many):
            line = k * many + order[sun]
            filled[0, sun] = filled[1, sun] = ends[line - 1] if line else 0
        for plant in near:
            for sun in range(_edges(scene, targets[k], plant, ways, edge)):
                if edge[sun] >= 0:
                    _put_in(filled[0, sun], filled[1, sun], edge[sun], plant, away, met)
                    filled[1, sun] += 1


@compiled
def _put_in(begin: int, place: int, edge: Any, plant: int, near: Any, met: Any) -> None:
    """Put a plant among those from begin to place - 1, which stand from near to far."""
    while place > begin and near[place - 1] > edge:
        near[place], met[place] = near[place - 1], met[place - 1]
        place -= 1
    near[place], met[place] = edge, plant


@compiled
def behind(
    points: Any, towards: Any, ways: Any, corners: Any, low: Any, high: Any,
    first: int, last: int, edge: Any, hit: Any,
) -> None:  # fmt: skip
    """Whether triangles (f, 3, 3) in a box from low to high stand before each direction (m, 3)
    at each point (e, 3), into hit (e, m); edge (m,) is work."""
    x, y = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    radius = np.hypot(high[0] - low[0], high[1] - low[1]) / 2
    for e in range(first, last):
        point = points[e]
        away_x, away_y = np.float32(x - point[0]), np.float32(y - point[1])
        rise = np.float32(high[2] - point[2])
        _near_edges(away_x, away_y, np.float32(radius + 0.01), rise, ways, len(edge), edge)
        for sun in range(len(towards)):
            if edge[sun] >= 0:
                hit[e, sun] = _stopped(point, towards[sun], corners, 1e-6, np.inf)


@compiled
def stopped(
    point: Any, lines: Any, start: Any, end: Any, corners: Any, first: int, last: int, hit: Any
) -> None:
    """Whether triangles (f, 3, 3) stop lines (p, 3) from a point between shares of them start
    and end (p,), into hit (p,)."""
    for line in range(first, last):
        hit[line] = _stopped(point, lines[line], corners, start[line], end[line])


@compiled
def _stopped(point: Any, way: Any, corners: Any, start: Any, end: Any) -> Any:
    """Whether some triangle meets a line between two shares of it."""
    for f in range(len(corners)):  # noqa: SIM110 (numba compiles no generators)
        if start < _met_at(point, way, corners[f]) < end:
            return True
    return False


@compiled
def _met_at(point: Any, way: Any, corner: Any) -> Any:
    """Share of a line from a point at which it meets a triangle (3, 3); -1 where it does not."""
    ox, oy, oz = corner[0, 0], corner[0, 1], corner[0, 2]
    ax, ay, az = corner[1, 0] - ox, corner[1, 1] - oy, corner[1, 2] - oz
    bx, by, bz = corner[2, 0] - ox, corner[2, 1] - oy, corner[2, 2] - oz
    dx, dy, dz = way[0], way[1], way[2]
    px, py, pz = dy * bz - dz * by, dz * bx - dx * bz, dx * by - dy * bx
    turn = ax * px + ay * py + az * pz
    if turn == 0:
        return -1.0
    sx, sy, sz = point[0] - ox, point[1] - oy, point[2] - oz
    u = (sx * px + sy * py + sz * pz) / turn
    if u < 0 or u > 1:
        return -1.0
    qx, qy, qz = sy * az - sz * ay, sz * ax - sx * az, sx * ay - sy * ax
    v = (dx * qx + dy * qy + dz * qz) / turn
    if v < 0 or u + v > 1:
        return -1.0
    return (bx * qx + by * qy + bz * qz) / turn
