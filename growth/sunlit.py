"""Hours of direct sun on the ground, cell by cell, through the crowns that stand round it.

For every direction of the sun each crown darkens only the cells in its shadow: those whose
line towards the sun passes within its radius, between its base and its top. The paths through
crowns are those of `growth.beams`, closed form and Beer-Lambert, the denser leaf counted once
where crowns overlap. What ground and built things leave of the sun comes in from outside.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.beams import bodies, crossing, join, run_on, shared
from growth.compiled import compiled, in_parts
from growth.crownset import Crowns

Array = NDArray[np.float64]
Floats = NDArray[np.float32]

DARK = np.float32(7)
"""Depth beyond which a line counts as dark: less than a thousandth of the light is left."""

AT_ONCE = 2048
"""Cells worked on together: their lines stay in the cache."""


def sunlit_hours(
    ground_m: Array, cell_m: float, crowns: Crowns, towards: Array, hours: Array,
    standing: Floats | None = None,
) -> Array:  # fmt: skip
    """Hours of sun on cells with centres (ny, nx, 3), for crowns of one row and one season.

    towards (m, 3) and hours (m,) are the sun's directions and what each stands for; standing
    (m, ny, nx) is the share of each that ground and built things leave.
    """
    found: dict[int, Array] = {}
    body, corner = bodies(crowns), np.append(ground_m[0, 0, :2], cell_m)
    height = np.ascontiguousarray(ground_m[..., 2] - ground_m[0, 0, 2], np.float32)
    levels = height.min(), height.max()
    feet = crowns.foot_m - [0, 0, ground_m[0, 0, 2]]
    order = np.argsort(_near_edge_m(body.square_m2[:, 0], feet, towards), axis=1)
    left = np.ones((1, 1), np.float32) if standing is None else standing.reshape(len(towards), -1)

    def work(first: int, end: int) -> None:
        lit, state = np.zeros(height.size), np.zeros((4, height.size), np.float32)
        room = np.empty((6, AT_ONCE), np.float32), np.empty(AT_ONCE, np.int64), state
        shine(
            height, levels, corner, body, feet, order, towards, hours, left, first, end, *room, lit
        )
        found[first] = lit

    in_parts(work, len(towards))
    parts = [found[first] for first in sorted(found)]  # in one order: sums then agree bit by bit
    return np.asarray(np.sum(parts, axis=0).reshape(height.shape))


def _near_edge_m(square_m2: Floats, feet_m: Array, towards: Array) -> Array:
    """How far towards each direction's sun every crown begins, level metres, (m, n)."""
    level = towards[:, :2] / np.hypot(*towards[:, :2].T)[:, None]
    return np.asarray(level @ feet_m[:, :2].T - np.sqrt(square_m2))


@compiled
def shine(
    height: Any, levels: Any, corner: Any, crowns: Any, feet: Any, order: Any, towards: Any,
    hours: Any, left: Any, first: int, last: int, work: Any, place: Any, state: Any, lit: Any,
) -> None:  # fmt: skip
    """Add the hours of suns first to last - 1 that reach each cell to lit (ny nx,).

    height (ny, nx) is the ground's; corner: x and y of the first cell's centre, and the cell;
    levels: its lowest and highest; order (m, n): crowns as a line to each sun meets them; work,
    place and state are written over.
    """
    for sun in range(first, last):
        way = towards[sun]
        level = np.hypot(way[0], way[1])
        for number in range(height.size):  # no crown met; start and leaf are read after one is
            state[1, number], state[2, number] = np.float32(-1), np.float32(0)
        slant = way[0] / level, way[1] / level, level / way[2]
        line = np.float32(way[0]), np.float32(way[1]), np.float32(way[2])
        for plant in order[sun]:
            if crowns[0][plant, 0] > 0:
                _darken(
                    height, corner, crowns, plant, feet, slant, line, levels, work, place, state
                )
        _add_up(state[2], hours[sun], left[sun if len(left) > 1 else 0], lit)


@compiled
def _add_up(depth: Any, hours: Any, left: Any, lit: Any) -> None:
    """Add the hours of one sun that come through crowns of that depth, and past what stands."""
    for cell in range(len(lit)):
        share = left[cell] if len(left) > 1 else np.float32(1)
        if depth[cell] > 0:
            share = share * np.exp(-depth[cell])
        lit[cell] += hours * share


@compiled
def _darken(
    height: Any, corner: Any, crowns: Any, plant: int, feet: Any, slant: Any, line: Any,
    levels: Any, work: Any, place: Any, state: Any,
) -> None:  # fmt: skip
    """Let one crown darken the cells in its shadow, gathered row by row.

    slant: level unit vector towards the sun, and level metres for each of rise.
    """
    rows, columns = height.shape
    x0, y0, cell = corner
    ux, uy, reach = slant
    foot_x, foot_y, foot_z = feet[plant, 0] - x0, feet[plant, 1] - y0, feet[plant, 2]
    radius = np.sqrt(crowns[0][plant, 0])
    base = foot_z + crowns[1][plant, 0]
    nearest = max(0.0, base - levels[1]) * reach
    farthest = max(0.0, base + crowns[2][plant, 0] - levels[0]) * reach
    bottom, top = foot_y - uy * nearest, foot_y - uy * farthest
    bottom, top = min(bottom, top) - radius, max(bottom, top) + radius
    west, east = foot_x - ux * nearest, foot_x - ux * farthest
    west, east = min(west, east) - radius, max(west, east) + radius
    lean, half = 0.0, east - west
    if abs(uy) > 1e-6:  # the strip of cells that pass within the radius of the axis
        lean, half = ux / uy, radius / abs(uy)
    count, foot = 0, np.float32(foot_z)
    for row in range(max(0, int(np.ceil(bottom / cell))), min(rows, int(top // cell) + 1)):
        middle = foot_x + (row * cell - foot_y) * lean
        c0 = max(0, int(np.ceil(max(west, middle - half) / cell)))
        c1 = min(columns, int(min(east, middle + half) // cell) + 1)
        y = np.float32(foot_y - row * cell)
        for column in range(c0, c1):
            cell_number = row * columns + column
            if state[2, cell_number] > DARK:
                continue
            work[0, count] = np.float32(foot_x - column * cell)
            work[1, count] = y
            work[2, count] = foot - height[row, column]
            place[count] = cell_number
            count += 1
            if count == AT_ONCE:
                _pass_through(crowns, plant, line, work, place, count, state)
                count = 0
    if count:
        _pass_through(crowns, plant, line, work, place, count, state)


@compiled
def _pass_through(
    crowns: Any, plant: int, line: Any, work: Any, place: Any, count: int, state: Any
) -> None:
    """Add what one crown takes of the lines from some cells to what those before it took."""
    square, base_m, tall, pieces, pieces_of, form, density, vigour = crowns[:8]
    dx, dy, dz = line
    d2 = dx * dx + dy * dy
    x, y, base = work[0, :count], work[1, :count], work[2, :count]
    away2, enter, through = work[3, :count], work[4, :count], work[5, :count]
    for i in range(len(x)):
        aside = x[i] * dy - y[i] * dx
        axis = (x[i] * dx + y[i] * dy) / d2
        away2[i] = aside * aside / d2
        base[i] += base_m[plant, 0] - axis * dz
        x[i] = axis
        enter[i], through[i] = np.float32(1e30), np.float32(0)
    for number in range(pieces_of[form[plant]]):
        one = pieces[form[plant], number]
        piece = (one[0], one[1], one[2], one[3], one[4])
        sizes = square[plant, 0], tall[plant, 0]
        _cross(piece, d2, dz, sizes, x, away2, base, enter, through)
    here = density[0, plant] * vigour[plant if len(vigour) > 1 else 0, 0]
    for i in range(count):
        if through[i] > 0:
            _take(here, enter[i], through[i], place[i], state)


@compiled
def _take(here: Any, enter: Any, through: Any, cell: int, state: Any) -> None:
    """Add a crossing of a crown of density `here` to a line's state, the denser leaf once."""
    start, end, was = state[0, cell], state[1, cell], state[3, cell]
    leave = enter + through
    state[2, cell] += here * through - min(here, was) * shared(enter, leave, start, end)
    state[0, cell], state[1, cell] = run_on(enter, leave, start, end)
    state[3, cell] = here if leave > end else was


@compiled
def _cross(
    piece: Any, d2: Any, dz: Any, sizes: Any, axis: Any, away2: Any, base: Any, enter: Any,
    through: Any,
) -> None:  # fmt: skip
    """Add a piece's crossings of the lines from some cells."""
    zero, far_away = np.float32(0), np.float32(1e9)
    for i in range(len(axis)):
        line = (d2, dz, axis[i], away2[i], zero, far_away)
        near, far = crossing(piece, line, sizes[0], base[i], sizes[1])
        enter[i], through[i] = join(near, far, enter[i], through[i])
