"""Straight lines through many crowns in many rows of sizes: the compiled part of sight and sun.

A line passes a plant's axis at a point; from there on its crossing of every quadric piece of
the crown is a quadratic of small numbers, so single precision is enough. Every crown form is
convex (a test holds the register to it): a line meets a crown in one interval, the joined
intervals of its pieces. Light dies away by density times length. Where crowns overlap the
denser leaf counts once: of each line the last interval is kept, and crowns come by the distance
of their near edge. Leaning crowns, lobes and gaps are left out.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from growth.compiled import compiled
from growth.crownset import Crowns

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]

BLOCK = 32
"""Rows come in whole blocks, worked on together. Those of one block are mostly of one year, and
so of like size: a line is held against the largest crown of the block first."""

LOOKED_EVERY, DARK = 4, np.float32(12)
"""Every so many crowns a line is given up that is dark, of a hundred thousandth, in all rows."""

THIN_M = 1e-3
"""Crowns are at least this tall, so that none divides by nothing."""


class Bodies(NamedTuple):
    """Crowns of n plants in T rows, as the kernels read them; metres and square metres."""

    square_m2: Floats  # (n, T) squared largest radius
    base_m: Floats  # (n, T) crown base above the foot
    tall_m: Floats  # (n, T) crown height
    pieces: Floats  # (F, P, 5): from, to, and the coefficients of the squared radius
    pieces_of: IntArray  # (F,) number of pieces of each form
    form: IntArray  # (n,)
    density_per_m: Floats  # (S, n)
    vigour: Floats  # (n, T), or (1, T) of ones where no plant is damaged
    extent: Floats  # (n, B, 3) of blocks: largest squared radius, lowest base, highest top


def bodies(crowns: Crowns) -> Bodies:
    """Crowns as the kernels read them, with rows of nothing up to a whole multiple."""
    square = by_plant((crowns.spread_m / 2) ** 2)
    tall = np.maximum(by_plant(crowns.height_m - crowns.base_m), np.float32(THIN_M))
    most = max((len(form.pieces) for form in crowns.forms), default=0)
    pieces = np.zeros((len(crowns.forms), most, 5), np.float32)
    for number, one in enumerate(crowns.forms):
        for place, piece in enumerate(one.pieces):
            pieces[number, place] = piece.lo, piece.hi, piece.a, piece.b, piece.c
    return Bodies(
        square_m2=square,
        base_m=by_plant(crowns.base_m),
        tall_m=tall,
        pieces=pieces,
        pieces_of=np.array([len(one.pieces) for one in crowns.forms], np.int64),
        form=np.ascontiguousarray(crowns.form),
        density_per_m=np.ascontiguousarray(crowns.density_per_m, np.float32),
        vigour=np.ones((1, square.shape[1]), np.float32)
        if crowns.vigour is None
        else by_plant(crowns.vigour),
        extent=_extent(square, by_plant(crowns.base_m), tall),
    )


def _extent(square: Floats, base: Floats, tall: Floats) -> Floats:
    """What the crowns of a block of rows fill at most, (n, B, 3)."""
    shape = (len(square), square.shape[1] // BLOCK, BLOCK)
    there = square.reshape(shape) > 0
    return np.stack(
        [
            square.reshape(shape).max(axis=2, initial=0),
            np.where(there, base.reshape(shape), np.inf).min(axis=2, initial=np.inf),
            np.where(there, (base + tall).reshape(shape), -np.inf).max(axis=2, initial=-np.inf),
        ],
        axis=-1,
    )


def by_plant(rows: NDArray[np.floating]) -> Floats:
    """Rows (T, n) as (n, T'), T' the next whole multiple."""
    count = -(-len(rows) // BLOCK) * BLOCK
    turned = np.zeros((rows.shape[1], count), np.float32)
    turned[:, : len(rows)] = rows.T
    return turned


@compiled
def crossing(piece: Any, line: Any, square_m2: Any, base_m: Any, tall_m: Any) -> Any:
    """Where a line enters and leaves one piece, as shares of it; it misses where they turn round.

    line: squared level length, rise, share at which it passes the axis, squared distance
    there, start and end; base_m: crown base above the line there. Around that share s, inside
    are turn s^2 - 2 middle s + (away2 - a) < 0 and what lies between the piece's levels.
    """
    zero = np.float32(0)
    d2, dz, axis, away2, start, end = line
    lo, hi, pa, pb, pc = piece
    per, level = np.float32(1) / tall_m, np.float32(1) / dz
    below, above = (base_m + lo * tall_m) * level + axis, (base_m + hi * tall_m) * level + axis
    low, high = below if below < above else above, above if below < above else below
    low, high = low if low > start else start, high if high < end else end
    k = square_m2 * per
    c = pc * k * per
    half = np.float32(0.5) * (pb * k) - c * base_m
    a = pa * square_m2 - pb * k * base_m + c * base_m * base_m
    turn, middle = d2 - c * (dz * dz), half * dz
    rest = middle * middle + turn * (a - away2)
    root, per_turn = np.sqrt(rest if rest > zero else zero), np.float32(1) / turn
    near, far = (middle - root) * per_turn + axis, (middle + root) * per_turn + axis
    after, before = near if near > low else low, far if far < high else high
    if turn > zero:
        return after, before
    # Steeper than a cone's side, the line is inside beyond both ends, far lies before near, and
    # of the two the levels hold one, the piece being convex.
    first = (before - low > high - after) & (rest > zero)
    return low if first | (rest <= zero) else after, before if first else high


@compiled
def join(near: Any, far: Any, enter: Any, through: Any) -> Any:
    """Entry and length of a line in a crown, with one more of its pieces."""
    inside = far - near
    first = near if near < enter else enter
    met = inside > np.float32(0)
    return first if met else enter, through + inside if met else through


@compiled
def _cross(piece: Any, line: Any, up: Any, square: Any, base: Any, lift: Any, tall: Any,
           enter: Any, through: Any) -> None:  # fmt: skip
    """Add one line's crossings of a piece in all rows (T,)."""
    for t in range(len(enter)):
        near, far = crossing(piece, line, square[t], base[t] - lift[t] - up, tall[t])
        enter[t], through[t] = join(near, far, enter[t], through[t])


@compiled
def shared(enter: Any, leave: Any, start: Any, end: Any) -> Any:
    """Length that a crossing has in common with the last interval of a line."""
    least, most = leave if leave < end else end, enter if enter > start else start
    return least - most if least > most else np.float32(0)


@compiled
def run_on(enter: Any, leave: Any, start: Any, end: Any) -> Any:
    """The last interval of a line after a crossing: joined to it, or the crossing itself."""
    joined = enter if enter > end or enter < start else start
    return joined if leave > end else start, leave if leave > end else end


@compiled
def _add(enter: Any, through: Any, density: Any, vigour: Any, start: Any, end: Any,
         depth: Any, dense: Any) -> None:  # fmt: skip
    """Add a crown's crossings (T,) to what those before it left open, in place."""
    for t in range(len(enter)):
        leave = enter[t] + through[t]
        here, was = density * vigour[t], dense[t]
        both = (here if here < was else was) * shared(enter[t], leave, start[t], end[t])
        depth[t] += here * through[t] - both
        dense[t] = here if leave > end[t] and through[t] > 0 else was


@compiled
def _move_on(enter: Any, through: Any, start: Any, end: Any) -> None:
    """The last interval of each line after a crown's crossings, in place."""
    for t in range(len(enter)):
        first, last = run_on(enter[t], enter[t] + through[t], start[t], end[t])
        start[t] = first if through[t] > 0 else start[t]
        end[t] = last if through[t] > 0 else end[t]


@compiled
def _begin(work: Any) -> None:
    """Set a line's state (4 + 2S, T) to nothing met; loops compile sooner than slices do."""
    for row in range(2, len(work)):
        for t in range(work.shape[1]):
            work[row, t] = np.float32(-1) if row < 4 else np.float32(0)


@compiled
def _least(values: Any) -> Any:
    """The least of one row of values."""
    least = values[0]
    for t in range(len(values)):
        least = least if least < values[t] else values[t]
    return least


@compiled
def _copy(values: Any, into: Any) -> None:
    """Copy one row of values."""
    for t in range(len(values)):
        into[t] = values[t]


@compiled
def _meet(crowns: Any, plant: int, away: Any, line: Any, end: Any, lift: Any, work: Any) -> None:
    """Let one line meet one plant's crown in all rows; work holds the line's state (4 + 2S, T).

    away (3,): from the plant's foot to the eye; line (3,): from the eye to the panel; lift (3, T):
    how far above that eye the line begins, after least and most of its block.
    """
    form, density, vigour, extent = crowns[5], crowns[6], crowns[7], crowns[8]
    dx, dy, dz = line
    d2 = dx * dx + dy * dy
    axis = -(away[0] * dx + away[1] * dy) / d2
    cross = away[0] * dy - away[1] * dx
    seen = (
        np.float32(d2), np.float32(dz), np.float32(axis), np.float32(cross * cross / d2),
        np.float32(end[0]), np.float32(end[1]),
    )  # fmt: skip
    up = np.float32(away[2] + axis * dz)
    seasons, damage = len(density), plant if len(vigour) > 1 else 0
    first, last = lift.shape[1], 0
    for block in range(extent.shape[1]):
        rows = block * BLOCK, (block + 1) * BLOCK
        if _may_meet(extent[plant, block], seen, up, lift[0, rows[0]], lift[1, rows[0]]):
            first, last = min(first, rows[0]), rows[1]
    if first >= last:
        return
    enter, through = work[0, first:last], work[1, first:last]
    _cross_all(crowns, form[plant], plant, seen, up, lift[2], first, last, enter, through)
    for season in range(seasons):
        _add(
            enter, through, density[season, plant], vigour[damage, first:last],
            work[2, first:last], work[3, first:last], work[4 + season, first:last],
            work[4 + seasons + season, first:last],
        )  # fmt: skip
    _move_on(enter, through, work[2, first:last], work[3, first:last])


@compiled
def _lifted(up: Any, lift: Any) -> Any:
    """Lifts (T,) into lift (3, T), after the least and most of each block."""
    for first in range(0, len(up), BLOCK):
        least, most = up[first], up[first]
        for t in range(first, first + BLOCK):
            least, most = min(least, up[t]), max(most, up[t])
        lift[0, first], lift[1, first] = least, most
    _copy(up, lift[2])
    return lift


@compiled
def _may_meet(extent: Any, line: Any, up: Any, least: Any, most: Any) -> Any:
    """Whether a line lifted by some of that can meet some crown of a block of rows, by the
    cylinder round them all."""
    d2, dz, axis, away2, start, end = line
    inside = extent[0] - away2
    if inside <= 0:
        return False
    half = np.sqrt(inside / d2)
    near, far = max(axis - half, start), min(axis + half, end)
    if near >= far:
        return False
    one, other = up + (near - axis) * dz, up + (far - axis) * dz
    return min(one, other) + least < extent[2] and max(one, other) + most > extent[1]


@compiled
def _cross_all(crowns: Any, form: int, plant: int, line: Any, up: Any, lift: Any, first: int,
               last: int, enter: Any, through: Any) -> None:  # fmt: skip
    """One line's entry and length in all pieces of a crown, for the rows first to last - 1."""
    square_m2, base_m, tall_m, pieces, pieces_of = crowns[:5]
    for t in range(len(enter)):
        enter[t], through[t] = np.float32(1e30), np.float32(0)
    for number in range(pieces_of[form]):
        one = pieces[form, number]
        piece = (one[0], one[1], one[2], one[3], one[4])
        _cross(
            piece, line, up, square_m2[plant, first:last], base_m[plant, first:last],
            lift[first:last], tall_m[plant, first:last], enter, through,
        )  # fmt: skip


@compiled
def look_through(
    crowns: Any, offset: Any, across: Any, rise: Any, start: Any, wanted: Any, windows: Any,
    order: Any, first: int, last: int, work: Any, mine: Any, depth: Any,
) -> None:  # fmt: skip
    """Leaf depth, density times share of the line, into depth (S, nv, nu, T), columns first
    to last - 1; work (7 + 2S, T) and mine (n,) are written over.

    offset (n, 3): from the plants' feet to the eye; wanted (nv, nu): lines looked along; windows
    (n, 4): rows and columns each can touch; order: from near to far.
    """
    seasons = len(depth)
    lift = work[4 + 2 * seasons :]
    for t in range(lift.shape[1]):
        lift[0, t] = lift[1, t] = lift[2, t] = np.float32(0)
    for u in range(first, last):
        many = 0
        for plant in order:
            if windows[plant, 2] <= u < windows[plant, 3]:
                mine[many] = plant
                many += 1
        for v in range(len(rise)):
            if not wanted[v, u]:
                continue
            _begin(work[: 4 + 2 * seasons])
            line = (across[0, u], across[1, u], rise[v, u])
            for plant in mine[:many]:
                if windows[plant, 0] <= v < windows[plant, 1]:
                    _meet(crowns, plant, offset[plant], line, (start[u], 1.0), lift, work)
            for season in range(seasons):
                _copy(work[4 + season], depth[season, v, u])


@compiled
def sun_lost(
    crowns: Any, foot: Any, up: Any, towards: Any, targets: Any, bright: Any, suns: Any, begin: Any,
    ends: Any, met: Any, units: Any, first: int, last: int, work: Any, lost: Any,
) -> None:  # fmt: skip
    """What crowns take of the suns in some parts of the day at some targets, added to lost (u, T).

    Of q parts, unit k q + part stands for target k and the suns[begin[part]:begin[part + 1]].
    Line i runs from up (T,) above target i // m towards sun i % m, and through the crowns of met
    up to its end, near to far, as `growth.shade.Meetings` counts them. bright (k, Y, s) is each
    of the suns' worth, for rows in Y equal runs; up (n, T); worked on are units[first:last];
    work (9, T) is written over.
    """
    parts, run = len(begin) - 1, lost.shape[1] // bright.shape[1]
    for number in range(first, last):
        k, part = units[number] // parts, units[number] % parts
        target = targets[k]
        lift = _lifted(up[target], work[6:])
        for place in range(begin[part], begin[part + 1]):
            sun = suns[place]
            line = k * len(towards) + sun
            start = ends[line - 1] if line else 0
            if start < ends[line]:
                way = towards[sun, 0], towards[sun, 1], towards[sun, 2]
                _begin(work[:6])
                _meet_all(crowns, foot, target, way, lift, met[start : ends[line]], work)
                _lose(work[4], bright[k], place, run, lost[number])


@compiled
def _meet_all(
    crowns: Any, foot: Any, target: int, way: Any, lift: Any, met: Any, work: Any
) -> None:
    """Let a line from a target meet crowns, until it is dark."""
    for number in range(len(met)):
        plant = met[number]
        away = (
            foot[target, 0] - foot[plant, 0], foot[target, 1] - foot[plant, 1],
            foot[target, 2] - foot[plant, 2],
        )  # fmt: skip
        _meet(crowns, plant, away, way, (0.0, 1e9), lift, work)
        if number % LOOKED_EVERY == LOOKED_EVERY - 1 and _least(work[4]) > DARK:
            break


@compiled
def _lose(depth: Any, bright: Any, place: int, run: int, lost: Any) -> None:
    """Add what leaf of that depth (T,) takes of one sun to lost (T,)."""
    for year in range(len(bright)):
        worth = bright[year, place]
        if worth > 0:
            for row in range(year * run, (year + 1) * run):
                if depth[row] > 0:
                    lost[row] += worth * (np.float32(1) - np.exp(-depth[row]))
