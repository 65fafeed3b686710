"""Shadows that crowns cast on a ground laid out in cells: the compiled part of `growth.sunlit`.

Every crown darkens only the cells in its shadow, gathered row by row. Lines of like cells are
worked on together; what comes out for one does not depend on which others are wanted.
"""

from typing import Any

import numpy as np

from growth.beams import crossing, join, run_on, shared
from growth.compiled import compiled
from growth.memory import STIR

DARK = np.float32(7)
"""Depth beyond which a line counts as dark: less than a thousandth of the light is left."""

AT_ONCE = 2048
"""Cells worked on together: their lines stay in the cache."""


@compiled
def shine(
    height: Any, levels: Any, corner: Any, crowns: Any, reach: Any, feet: Any, order: Any,
    towards: Any, hours: Any, left: Any, wanted: Any, first: int, last: int, work: Any, place: Any,
    state: Any, mine: Any, listed: Any, begin: Any, share: Any, lit: Any,
) -> None:  # fmt: skip
    """Add the hours of suns first to last - 1 that reach each cell to lit (T, ny nx), T rows.

    height (ny, nx) is the ground's; corner: x and y of the first cell's centre, and the cell;
    levels: its lowest and highest; reach (3, n): largest radius, lowest base and highest top above
    the foot; order (m, n): crowns as a line to each sun meets them; share (T, m, ny nx), or
    (1, 1, ny nx) for all, takes what is left of each sun; wanted, left (m, ny nx), or (1, 1) for
    all; work, place, state, mine (n,), listed (ny nx,) and begin (ny + 1,) are written over.
    """
    for sun in range(first, last):
        asked = wanted[sun if len(wanted) > 1 else 0]
        if sun == first or len(wanted) > 1:
            some = _list(asked, height.shape, listed, begin) > 0
        way = towards[sun]
        slant, line = _slant(way), (np.float32(way[0]), np.float32(way[1]), np.float32(way[2]))
        many = 0
        if some:
            many = _reaching(
                corner, levels, reach, feet, order[sun], slant, height.shape[1], listed, begin,
                mine,
            )  # fmt: skip
        for size in range(len(lit)):
            kept = share[size if len(share) > 1 else 0, sun if share.shape[1] > 1 else 0]
            if some:
                for cell in range(height.size):  # none met; start and leaf are read after one is
                    state[1, cell], state[2, cell] = np.float32(-1), np.float32(0)
                for plant in mine[:many]:
                    if crowns[0][plant, size] > 0:
                        _darken(
                            height, corner, crowns, plant, size, feet, slant, line, levels, listed,
                            begin, work, place, state,
                        )  # fmt: skip
                _let_through(state[2], left[sun if len(left) > 1 else 0], asked, kept)
            for cell in range(height.size):
                lit[size, cell] += hours[sun] * kept[cell]


@compiled
def _list(wanted: Any, shape: Any, listed: Any, begin: Any) -> int:
    """List the cells that are wanted, row by row, and where each row begins; how many they are."""
    rows, columns = shape
    many = 0
    for row in range(rows):
        begin[row] = many
        for cell in range(row * columns, (row + 1) * columns):
            if len(wanted) == 1 or wanted[cell]:
                listed[many] = cell
                many += 1
    begin[rows] = many
    return many


@compiled
def _slant(way: Any) -> Any:
    """Level unit vector towards a sun, and level metres for each of rise."""
    level = np.hypot(way[0], way[1])
    return way[0] / level, way[1] / level, level / way[2]


@compiled
def _reaching(
    corner: Any, levels: Any, reach: Any, feet: Any, order: Any, slant: Any, columns: int,
    listed: Any, begin: Any, mine: Any,
) -> int:  # fmt: skip
    """How many crowns may throw their shadow on a listed cell; mine (n,) takes them."""
    many = 0
    for plant in order:
        if reach[0, plant] > 0:
            strip = _largest_strip(corner, levels, reach, feet, plant, slant)
            if _holds_some(strip, corner[2], columns, listed, begin):
                mine[many] = plant
                many += 1
    return many


@compiled
def _holds_some(strip: Any, cell: Any, columns: int, listed: Any, begin: Any) -> bool:
    """Whether a listed cell lies in a crown's strip."""
    first, end = _rows(strip, cell, len(begin) - 1)
    for row in range(first, end):
        west, east = _columns(strip, row, cell)
        at, stop = _between(listed, begin, row, columns, west, east)
        if at < stop:
            return True
    return False


@compiled
def _largest_strip(corner: Any, levels: Any, reach: Any, feet: Any, plant: int, slant: Any) -> Any:
    """The strip of a plant's crowns of all sizes."""
    foot = feet[plant, 0] - corner[0], feet[plant, 1] - corner[1]
    base, top = feet[plant, 2] + reach[1, plant], feet[plant, 2] + reach[2, plant]
    return _strip(corner, foot, reach[0, plant], base, top, slant, levels)


@compiled
def _let_through(depth: Any, left: Any, wanted: Any, share: Any) -> None:
    """Share of one sun that comes past what stands and through crowns of that depth."""
    for cell in range(len(share)):
        if len(wanted) == 1 or wanted[cell]:
            through = np.exp(-depth[cell]) if depth[cell] > 0 else np.float32(1)
            share[cell] = through * left[cell] if len(left) > 1 else through


@compiled
def _strip(
    corner: Any, foot: Any, radius: Any, base: Any, top: Any, slant: Any, levels: Any
) -> Any:
    """Where a crown's shadow can fall: its extent, and the strip of cells that pass within the
    radius of the axis, by how it leans, half its width, and its foot.

    slant: level unit vector towards the sun, and level metres for each of rise; foot: x, y; base
    and top: levels; all from the first cell.
    """
    ux, uy, reach = slant
    nearest = max(0.0, base - levels[1]) * reach
    farthest = max(0.0, top - levels[0]) * reach
    bottom, end = foot[1] - uy * nearest, foot[1] - uy * farthest
    bottom, end = min(bottom, end) - radius, max(bottom, end) + radius
    west, east = foot[0] - ux * nearest, foot[0] - ux * farthest
    west, east = min(west, east) - radius, max(west, east) + radius
    lean, half = 0.0, east - west
    if abs(uy) > 1e-6:
        lean, half = ux / uy, radius / abs(uy)
    return bottom, end, west, east, lean, half, foot[0], foot[1]


@compiled
def _rows(strip: Any, cell: Any, rows: int) -> Any:
    """First and end row of the ground in a crown's strip."""
    return max(0, int(np.ceil(strip[0] / cell))), min(rows, int(strip[1] // cell) + 1)


@compiled
def _columns(strip: Any, row: int, cell: Any) -> Any:
    """First and last column of a row in a crown's strip; not clipped to the ground."""
    middle = strip[6] + (row * cell - strip[7]) * strip[4]
    first = int(np.ceil(max(strip[2], middle - strip[5]) / cell))
    return first, int(min(strip[3], middle + strip[5]) // cell)


@compiled
def mark(
    corner: Any, levels: Any, reach: Any, feet: Any, order: Any, towards: Any, token: Any,
    first: int, last: int, columns: int, marks: Any,
) -> None:  # fmt: skip
    """Stir the tokens of crowns into the marks (m, ny nx) of the cells that their shadow may hold.

    The rest as in `shine`.
    """
    rows, cell = marks.shape[1] // columns, corner[2]
    for sun in range(first, last):
        slant = _slant(towards[sun])
        for plant in order[sun]:
            if reach[0, plant] <= 0:
                continue
            strip = _largest_strip(corner, levels, reach, feet, plant, slant)
            begin, end = _rows(strip, cell, rows)
            for row in range(begin, end):
                west, east = _columns(strip, row, cell)
                for number in range(
                    row * columns + max(0, west), row * columns + min(columns, east + 1)
                ):
                    was = marks[sun, number]
                    marks[sun, number] = (was ^ (was >> np.uint64(29)) ^ token[plant]) * STIR


@compiled
def _darken(
    height: Any, corner: Any, crowns: Any, plant: int, size: int, feet: Any, slant: Any, line: Any,
    levels: Any, listed: Any, begin: Any, work: Any, place: Any, state: Any,
) -> None:  # fmt: skip
    """Let one crown of one row of sizes darken the listed cells in its shadow."""
    columns, cell = height.shape[1], corner[2]
    foot = feet[plant, 0] - corner[0], feet[plant, 1] - corner[1]
    base = feet[plant, 2] + crowns[1][plant, size]
    radius, top = np.sqrt(crowns[0][plant, size]), base + crowns[2][plant, size]
    strip = _strip(corner, foot, radius, base, top, slant, levels)
    count, level = 0, np.float32(feet[plant, 2])
    first, end = _rows(strip, cell, len(height))
    for row in range(first, end):
        west, east = _columns(strip, row, cell)
        y = np.float32(foot[1] - row * cell)
        at, stop = _between(listed, begin, row, columns, west, east)
        while at < stop:
            some = min(stop - at, AT_ONCE - count)
            for i in range(some):
                column = listed[at + i] - row * columns
                work[0, count + i] = np.float32(foot[0] - column * cell)
                work[1, count + i] = y
                work[2, count + i] = level - height[row, column]
                place[count + i] = listed[at + i]
            at += some
            count += some
            if count == AT_ONCE:
                _pass_through(crowns, plant, size, line, work, place, count, state)
                count = 0
    if count:
        _pass_through(crowns, plant, size, line, work, place, count, state)


@compiled
def _between(listed: Any, begin: Any, row: int, columns: int, west: int, east: int) -> Any:
    """Where in the list the cells of a row from column west to column east stand."""
    at, stop = begin[row], begin[row + 1]
    if stop - at == columns:  # the whole row is listed
        return at + max(0, west), at + min(columns, east + 1)
    while at < stop and listed[at] < row * columns + west:
        at += 1
    while at < stop and listed[stop - 1] > row * columns + east:
        stop -= 1
    return at, stop


@compiled
def _pass_through(
    crowns: Any, plant: int, size: int, line: Any, work: Any, place: Any, count: int, state: Any
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
        base[i] += base_m[plant, size] - axis * dz
        x[i] = axis
        enter[i], through[i] = np.float32(1e30), np.float32(0)
    for number in range(pieces_of[form[plant]]):
        one = pieces[form[plant], number]
        piece = (one[0], one[1], one[2], one[3], one[4])
        sizes = square[plant, size], tall[plant, size]
        _cross(piece, d2, dz, sizes, x, away2, base, enter, through)
    here = density[0, plant] * vigour[plant if len(vigour) > 1 else 0, size]
    for i in range(count):
        if through[i] > 0 and state[2, place[i]] <= DARK:
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
