"""Where straight lines run through one crown: entry and length, in closed form.

Every crown form is convex (a test holds the register to it), so a line meets a crown in one
interval: the joined intervals of its quadric pieces. Lines begin at an eye and end at a panel;
places on them are shares of their length. Single precision: the state of many lines stays in
the cache. Leaning crowns, lobes and gaps are left out.
"""

from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from growth.crowns import Piece

Floats = NDArray[np.float32]
BoolArray = NDArray[np.bool_]
Sizes = NDArray[np.floating]


@dataclass(frozen=True)
class Lines:
    """The sight lines of one window, relative to one plant; shapes broadcast to (h, w, T)."""

    d2: Floats  # (w, 1) squared horizontal length
    dz: Floats  # (h, w, 1)
    per_dz: Floats  # (h, w, 1)
    dz2: Floats  # (h, w, 1)
    along: Floats  # (w, 1) horizontal offset of the eye from the axis, times direction
    cross2: Floats  # (w, 1) squared cross product of the same
    away2: float | Floats  # squared horizontal distance of the eye from the axis
    start: Floats  # (w, 1) share of the length before which nothing counts


def meet(
    pieces: tuple[Piece, ...], lines: Lines, body: tuple[Sizes, Sizes, Sizes]
) -> tuple[Floats, Floats]:
    """Where the lines enter a crown and how far they run in it, as shares of their length.

    Lines that miss it enter at -1.
    """
    radius, base, tall = body
    heights = [pieces[0].lo, *(piece.hi for piece in pieces)]
    cuts = [_single(base + h * tall) * lines.per_dz for h in heights]
    if not _between(lines, radius.max()):
        cuts = [np.clip(cut, lines.start, np.float32(1)) for cut in cuts]
    enters, insides = [], []
    for piece, below, above in zip(pieces, cuts[:-1], cuts[1:], strict=True):
        coefficients = _quadric(piece, radius, base, tall)
        near, far = _cut(lines, coefficients, *_in_order(lines, below, above))
        inside = np.fmax(far - near, 0)
        enters.append(np.where(inside > 0, near, np.float32(np.inf)))
        insides.append(inside)
    enter, through = reduce(np.minimum, enters), reduce(np.add, insides)
    return np.where(through > 0, enter, np.float32(-1)), through


def _between(lines: Lines, radius_m: float) -> bool:
    """Whether an upright cylinder round the axis lies wholly between eye and panel."""
    middle, half = -lines.along / lines.d2, radius_m / np.sqrt(lines.d2)
    return bool((middle - half - lines.start).min() > 0 and (middle + half).max() < 1)


def _in_order(lines: Lines, below: Floats, above: Floats) -> tuple[Floats, Floats]:
    """The nearer and the farther of two cuts at a lower and a higher level."""
    if lines.dz.min() > 0:
        return below, above
    if lines.dz.max() < 0:
        return above, below
    return np.minimum(below, above), np.maximum(below, above)


def _quadric(piece: Piece, radius: Sizes, base: Sizes, tall: Sizes) -> tuple[Sizes, Sizes, Sizes]:
    """Squared radius of a piece as a + b Z + c Z^2 of the height Z above the eye, each (T,)."""
    c = piece.c * (radius / tall) ** 2
    b = piece.b * radius**2 / tall - 2 * c * base
    return radius**2 * piece.a - piece.b * radius**2 / tall * base + c * base**2, b, c


def _cut(
    lines: Lines, coefficients: tuple[Sizes, Sizes, Sizes], low: Floats, high: Floats
) -> tuple[Floats, Floats]:
    """First and last share of each line inside a quadric and between low and high.

    Empty where last < first or not a number (the line misses).
    """
    a, b, c = coefficients
    square: Floats = lines.d2[None]
    middle: Floats = -lines.along[None]
    rest: Floats = _single(a) * lines.d2 - lines.cross2
    if b.any() or c.any():  # not an upright cylinder
        square = square - _single(c) * lines.dz2
        middle = middle + _single(b / 2) * lines.dz
        bend: Floats = (
            _single(b**2 / 4 + c * (lines.away2 - a)) * lines.dz - _single(b) * lines.along
        )
        rest = rest + bend * lines.dz
    with np.errstate(invalid="ignore", divide="ignore"):
        root = np.sqrt(rest)
        per = np.float32(1) / square
        near, far = (middle - root) * per, (middle + root) * per
        if lines.d2.min() > c.max() * lines.dz2.max():
            return np.maximum(near, low), np.minimum(far, high)
        return _steep(square > 0, rest > 0, (near, far), (low, high))


def _steep(
    flat: BoolArray, real: BoolArray, cut: tuple[Floats, Floats], slab: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """The same where lines may be steeper than a cone's side: then they are inside it
    beyond the cuts, and of the two ends the slab holds one, the piece being convex."""
    (near, far), (low, high) = cut, slab
    before, after = np.minimum(high, far), np.maximum(low, near)  # far < near where not flat
    use_before = before - low > high - after
    first = np.where(use_before | ~real, low, after)
    last = np.where(use_before & real, before, high)
    return (
        np.where(flat, np.maximum(near, low), first),
        np.where(flat, np.minimum(far, high), last),
    )


def _single(values: Sizes) -> Floats:
    """Values by row in single precision."""
    return values.astype(np.float32)
