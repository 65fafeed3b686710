"""Shadows that crowns cast on a ground laid out in cells: the compiled part of `growth.sunlit`.

Every crown darkens only the cells in its shadow, row by row, those of a row together; what comes
out for one cell does not depend on which others are wanted.
"""

from typing import Any

import numpy as np

from growth.beams import crossing, join, run_on, shared
from growth.compiled import compiled

AT_ONCE = 1024
"""Cells worked on together: their lines stay in the cache."""


@compiled
def shine(
    height: Any, levels: Any, corner: Any, crowns: Any, reach: Any, feet: Any, edge: Any,
    towards: Any, hours: Any, left: Any, wanted: Any, first: int, last: int, work: Any, state: Any,
    mine: Any, spans: Any, runs: Any, share: Any, lit: Any,
) -> None:  # fmt: skip
    """Add the hours of suns first to last - 1 that reach each cell to lit (T, ny nx), T rows.

    height (ny, nx) is the ground's; corner: x and y of the first cell's centre, and the cell;
    levels: its lowest and highest; reach (3, n): largest radius, lowest base and highest top above
    the foot; edge (m, n): how far off a line to each sun meets each crown; share (T, m, ny nx), or
    (1, 1, ny nx) for all, takes what is left of each sun; wanted, left (m, ny nx), or (1, 1) for
    all; work (5, nx and more), state (4, ny nx), mine (n,), spans and runs (ny, 2) are written
    over.
    """
    for sun in range(first, last):
        asked = wanted[sun if len(wanted) > 1 else 0]
        if sun == first or len(wanted) > 1:
            some = _span(asked, height.shape[1], spans)
        way = towards[sun]
        slant, line = _slant(way), (np.float32(way[0]), np.float32(way[1]), np.float32(way[2]))
        many = 0
        if some:
            many = _reaching(corner, levels, reach, feet, edge[sun], slant, spans, mine)
        for size in range(len(lit)):
            kept = share[size if len(share) > 1 else 0, sun if share.shape[1] > 1 else 0]
            if some:
                _begin(state)
                for plant in mine[:many]:
                    if crowns[0][plant, size] > 0:
                        _darken(
                            height, corner, crowns, plant, size, feet, slant, line, levels, spans,
                            work, runs, state,
                        )  # fmt: skip
                _let_through(state[0], left[sun if len(left) > 1 else 0], asked, kept)
            for cell in range(height.size):
                lit[size, cell] += hours[sun] * kept[cell]


@compiled
def _span(wanted: Any, columns: int, spans: Any) -> bool:
    """From the first to past the last wanted cell of each row, (ny, 2); whether there is any."""
    some = False
    for row in range(len(spans)):
        spans[row, 0], spans[row, 1] = columns, 0
        for column in range(columns):
            if len(wanted) == 1 or wanted[row * columns + column]:
                spans[row, 0], spans[row, 1] = min(spans[row, 0], column), column + 1
                some = True
    return some


@compiled
def _begin(state: Any) -> None:
    """Set the lines of all cells to nothing met: depth, last interval, and its density."""
    for cell in range(state.shape[1]):
        state[0, cell] = state[1, cell] = state[3, cell] = np.float32(0)
        state[2, cell] = np.float32(-1)


@compiled
def _slant(way: Any) -> Any:
    """Level unit vector towards a sun, and level metres for each of rise."""
    level = np.hypot(way[0], way[1])
    return way[0] / level, way[1] / level, level / way[2]


@compiled
def _reaching(
    corner: Any, levels: Any, reach: Any, feet: Any, edge: Any, slant: Any, spans: Any, mine: Any
) -> int:
    """How many crowns may throw their shadow on a wanted cell; mine (n,) takes them, near to far
    by their edge (n,)."""
    many = 0
    for plant in range(len(edge)):
        if reach[0, plant] > 0:
            strip = _largest_strip(corner, levels, reach, feet, plant, slant)
            if _holds_some(strip, corner[2], spans):
                mine[many] = plant
                many += 1
    _sort(mine, many, edge)
    return many


@compiled
def _sort(mine: Any, many: int, edge: Any) -> None:
    """Sort the first `many` crowns by edge, those of one edge by number (Shell's sort)."""
    gap = many // 2
    while gap > 0:
        for end in range(gap, many):
            plant, place = mine[end], end
            while place >= gap:
                other = mine[place - gap]
                nearer = edge[other] < edge[plant]
                if nearer or (edge[other] == edge[plant] and other < plant):
                    break
                mine[place] = other
                place -= gap
            mine[place] = plant
        gap //= 2


@compiled
def _holds_some(strip: Any, cell: Any, spans: Any) -> bool:
    """Whether cells of the spans lie in a crown's strip."""
    first, end = _rows(strip, cell, len(spans))
    for row in range(first, end):
        west, east = _columns(strip, row, cell, spans[row])
        if west < east:
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
    per = 1 / cell
    return max(0, int(np.ceil(strip[0] * per))), min(rows, int(np.floor(strip[1] * per)) + 1)


@compiled
def _columns(strip: Any, row: int, cell: Any, span: Any) -> Any:
    """First and end column of a row in a crown's strip and in its span."""
    middle = strip[6] + (row * cell - strip[7]) * strip[4]
    per = 1 / cell
    first = int(np.ceil(max(strip[2], middle - strip[5]) * per))
    end = int(np.floor(min(strip[3], middle + strip[5]) * per)) + 1
    return max(first, span[0]), min(end, span[1])


@compiled
def want(
    corner: Any, levels: Any, reach: Any, feet: Any, plants: Any, towards: Any, first: int,
    last: int, columns: int, wanted: Any,
) -> None:  # fmt: skip
    """Mark the cells that the shadow of some of the plants may hold, in wanted (m, ny nx).

    columns: of the ground. The rest as in `shine`.
    """
    rows = wanted.shape[1] // columns
    for sun in range(first, last):
        slant = _slant(towards[sun])
        for plant in plants:
            if reach[0, plant] <= 0:
                continue
            strip = _largest_strip(corner, levels, reach, feet, plant, slant)
            begin, end = _rows(strip, corner[2], rows)
            for row in range(begin, end):
                west, east = _columns(strip, row, corner[2], (0, columns))
                for cell in range(row * columns + west, row * columns + east):
                    wanted[sun, cell] = True


@compiled
def _darken(
    height: Any, corner: Any, crowns: Any, plant: int, size: int, feet: Any, slant: Any, line: Any,
    levels: Any, spans: Any, work: Any, runs: Any, state: Any,
) -> None:  # fmt: skip
    """Let one crown of one row of sizes darken the cells of the spans in its shadow."""
    cell, columns = corner[2], height.shape[1]
    foot = feet[plant, 0] - corner[0], feet[plant, 1] - corner[1]
    base = feet[plant, 2] + crowns[1][plant, size]
    radius, top = np.sqrt(crowns[0][plant, size]), base + crowns[2][plant, size]
    strip = _strip(corner, foot, radius, base, top, slant, levels)
    first, end = _rows(strip, cell, len(height))
    count = some = 0
    for row in range(first, end):
        west, east = _columns(strip, row, cell, spans[row])
        if west >= east:
            continue
        if count + east - west > work.shape[1]:
            _pass_through(crowns, plant, size, line, work, count, runs, some, state)
            count = some = 0
        away = np.float32(foot[0]), np.float32(foot[1] - row * cell), np.float32(base)
        for column in range(west, east):
            place = count + column - west
            work[0, place] = away[0] - np.float32(column) * np.float32(cell)
            work[1, place] = away[1]
            work[2, place] = away[2] - height[row, column]
        count += east - west
        runs[some, 0], runs[some, 1] = row * columns + west, count
        some += 1
    if some:
        _pass_through(crowns, plant, size, line, work, count, runs, some, state)


@compiled
def _pass_through(
    crowns: Any, plant: int, size: int, line: Any, work: Any, count: int, runs: Any, some: int,
    state: Any,
) -> None:  # fmt: skip
    """Add what one crown takes of the lines from some runs of cells to what those before it took.

    work holds, of `count` cells, how far the crown's axis is in x and y, and its base above them.
    """
    square, tall, pieces, pieces_of, form = crowns[0], crowns[2], crowns[3], crowns[4], crowns[5]
    density, vigour = crowns[6], crowns[7]
    dx, dy, dz = line
    d2 = dx * dx + dy * dy
    per = np.float32(1) / d2
    axis, away2, base = work[0, :count], work[1, :count], work[2, :count]
    enter, through = work[3, :count], work[4, :count]
    for i in range(count):
        x, y = axis[i], away2[i]
        aside = x * dy - y * dx
        axis[i] = (x * dx + y * dy) * per
        away2[i] = aside * aside * per
        base[i] -= axis[i] * dz
        enter[i], through[i] = np.float32(1e30), np.float32(0)
    for number in range(pieces_of[form[plant]]):
        one = pieces[form[plant], number]
        piece = (one[0], one[1], one[2], one[3], one[4])
        sizes = square[plant, size], tall[plant, size]
        _cross(piece, d2, dz, sizes, axis, away2, base, enter, through)
    here = density[0, plant] * vigour[plant if len(vigour) > 1 else 0, size]
    begin = 0
    for run in range(some):
        first, end = runs[run, 0], runs[run, 1]
        part = slice(first, first + end - begin)
        _take(
            here, enter[begin:end], through[begin:end], state[0, part], state[1, part],
            state[2, part], state[3, part],
        )  # fmt: skip
        begin = end


@compiled
def _take(
    here: Any, enter: Any, through: Any, depth: Any, start: Any, end: Any, dense: Any
) -> None:
    """Add crossings of a crown of density `here` to the lines' state, the denser leaf once."""
    for i in range(len(enter)):
        leave, was, met = enter[i] + through[i], dense[i], through[i] > np.float32(0)
        both = shared(enter[i], leave, start[i], end[i])
        depth[i] += here * through[i] - (here if here < was else was) * both
        first, final = run_on(enter[i], leave, start[i], end[i])
        dense[i] = here if met & (leave > end[i]) else was
        start[i] = first if met else start[i]
        end[i] = final if met else end[i]


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
