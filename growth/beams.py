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

ROWS_AT_ONCE = 16
"""Rows come in whole multiples of what a processor works on in one step."""

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
    )


def by_plant(rows: NDArray[np.floating]) -> Floats:
    """Rows (T, n) as (n, T'), T' the next whole multiple."""
    count = -(-len(rows) // ROWS_AT_ONCE) * ROWS_AT_ONCE
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
    per = np.float32(1) / tall_m
    below, above = (base_m + lo * tall_m) / dz + axis, (base_m + hi * tall_m) / dz + axis
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
    for season in range(len(density)):
        for t in range(len(enter)):
            leave = enter[t] + through[t]
            here, was = density[season] * vigour[t], dense[season, t]
            both = (here if here < was else was) * shared(enter[t], leave, start[t], end[t])
            depth[season, t] += here * through[t] - both
            dense[season, t] = here if leave > end[t] and through[t] > 0 else was
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
def _copy(values: Any, into: Any) -> None:
    """Copy one row of values."""
    for t in range(len(values)):
        into[t] = values[t]


@compiled
def _meet(crowns: Any, plant: int, away: Any, line: Any, end: Any, lift: Any, work: Any) -> None:
    """Let one line meet one plant's crown in all rows; work holds the line's state (4 + 2S, T).

    away (3,): from the plant's foot to the eye; line (3,): from the eye to the panel.
    """
    square_m2, base_m, tall_m, pieces, pieces_of, form, density, vigour = crowns
    dx, dy, dz = line
    d2 = dx * dx + dy * dy
    axis = -(away[0] * dx + away[1] * dy) / d2
    cross = away[0] * dy - away[1] * dx
    seen = (
        np.float32(d2), np.float32(dz), np.float32(axis), np.float32(cross * cross / d2),
        np.float32(end[0]), np.float32(end[1]),
    )  # fmt: skip
    up = np.float32(away[2] + axis * dz)
    enter, through = work[0], work[1]
    for t in range(len(enter)):
        enter[t], through[t] = np.float32(1e30), np.float32(0)
    for number in range(pieces_of[form[plant]]):
        one = pieces[form[plant], number]
        piece = (one[0], one[1], one[2], one[3], one[4])
        _cross(
            piece, seen, up, square_m2[plant], base_m[plant], lift, tall_m[plant], enter, through
        )
    seasons = len(density)
    _add(
        enter, through, density[:, plant], vigour[plant if len(vigour) > 1 else 0],
        work[2], work[3], work[4 : 4 + seasons], work[4 + seasons :],
    )  # fmt: skip


@compiled
def look_through(
    crowns: Any, offset: Any, across: Any, rise: Any, start: Any, windows: Any, order: Any,
    first: int, last: int, depth: Any,
) -> None:  # fmt: skip
    """Leaf depth, density times share of the line, into depth (S, nv, nu, T), columns first
    to last - 1.

    offset (n, 3): from the plants' feet to the eye; windows (n, 4): rows and columns each can
    touch; order: from near to far.
    """
    seasons, _, _, rows = depth.shape
    lift = np.zeros(rows, np.float32)
    work = np.empty((4 + 2 * seasons, rows), np.float32)
    mine = np.empty(len(order), np.int64)
    for u in range(first, last):
        many = 0
        for plant in order:
            if windows[plant, 2] <= u < windows[plant, 3]:
                mine[many] = plant
                many += 1
        for v in range(len(rise)):
            _begin(work)
            line = (across[0, u], across[1, u], rise[v, u])
            for plant in mine[:many]:
                if windows[plant, 0] <= v < windows[plant, 1]:
                    _meet(crowns, plant, offset[plant], line, (start[u], 1.0), lift, work)
            for season in range(seasons):
                _copy(work[4 + season], depth[season, v, u])


@compiled
def sun_through(
    crowns: Any, foot: Any, up: Any, towards: Any, targets: Any, lines: Any, ends: Any, met: Any,
    first: int, last: int, depth: Any,
) -> None:  # fmt: skip
    """Leaf depth, density times metres, into depth (lines, T), of lines[first] to lines[last - 1].

    A line runs from up (T,) above its target's foot towards a sun, and through the crowns of
    met up to its end, near to far, as `growth.shade.Meetings` counts them. up (n, T).
    """
    work = np.empty((6, depth.shape[1]), np.float32)
    away = np.empty(3)
    for i in range(first, last):
        _begin(work)
        line = lines[i]
        target = targets[line // len(towards)]
        way = towards[line % len(towards)]
        for k in range(ends[line - 1] if line else 0, ends[line]):
            for axis in range(3):
                away[axis] = foot[target, axis] - foot[met[k], axis]
            _meet(crowns, met[k], away, (way[0], way[1], way[2]), (0.0, 1e9), up[target], work)
            if k % LOOKED_EVERY == 0 and work[4].min() > DARK:
                break
        _copy(work[4], depth[i])
