"""Breaklines of a survey: edges of kerbs and banks that no triangle may cut across.

Points with a listed code and the same number after it (TOP1) form one line in the order of
the file; a listed code without a number forms a line as long as its points follow each
other. The first word of a code counts, in capitals or not. Between its points a line is
straight and its level runs evenly. Lines may meet and cross where their levels agree; where
they do not, or a point beside the line does not, both places are told. Curves and the codes
that close a line are left out: a line is closed by its first point again.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from scenes.conforming import split_until_edges
from scenes.errors import Mistake, shown
from scenes.lattice import Array, IntArray
from scenes.lengths import METRES
from scenes.shots import place_in_file

SAME_PLACE_M = 0.001
"""A point this near to a line is on it."""

LEVELS_APART_M = 0.03
"""Ground is shot to about a tenth of a foot (common practice): nearer than this, lines meet."""

MOST_PIECES = 20_000
MOST_CROSSINGS = 1_000
MOST_PAIRS = 10_000_000
AT_ONCE = 100
"""Limits of time: a million pairs of pieces are compared in about a second."""

_FIRST_WORD = re.compile(r"\s*(\S*?)(\d*)(?:\s|$)")


Geometries = NDArray[np.object_]


@dataclass(frozen=True)
class Clash:
    """Two levels at one place: the points (by number) where each is written."""

    here: int
    there: int
    apart_m: float
    crossing: bool

    def mistake(self, place: Sequence[str], unit: str) -> Mistake:
        """The clash with both places, its height in the unit given."""
        there = place_in_file(place[self.there])
        apart = f"{self.apart_m / METRES[unit]:.3g} {unit}"
        if self.crossing:
            wrong = f"the breakline from here crosses that from {there} {apart} above or below it"
            return Mistake(place[self.here], wrong, "give them one level where they cross")
        wrong = f"lies on the breakline from {there}, {apart} above or below it"
        return Mistake(place[self.here], wrong, "correct its level or move it off the line")


def lines_by_code(codes: Sequence[str], listed: Sequence[str]) -> dict[str, list[int]]:
    """The rows of each breakline in the order of the file, by code, number and run."""
    names = {name.upper() for name in listed}
    lines: dict[str, list[int]] = {}
    before, run = "", 0
    for row, code in enumerate(codes):
        match = _FIRST_WORD.match(code.upper())
        name, number = match.groups() if match else ("", "")
        run += name + number != before
        before = name + number
        if name in names:
            lines.setdefault(before if number else f"{name} {run}", []).append(row)
    return lines


def codes_missing(lines: dict[str, list[int]], listed: Sequence[str]) -> list[Mistake]:
    """Listed codes that no point of the survey has."""
    there = {re.split(r"[\d ]", line)[0] for line in lines}
    return [
        Mistake("ground.breakline_codes", f"no point has the code {shown(name)}", "correct it")
        for name in listed
        if name.upper() not in there
    ]


def lone_points(lines: dict[str, list[int]], place: Sequence[str]) -> tuple[str, ...]:
    """A note on every point that has a breakline's code and no other to join."""
    alone = [(code, rows[0]) for code, rows in lines.items() if len(rows) == 1]
    return tuple(
        f"{place[row]}: {code.split()[0]} stands alone, no breakline" for code, row in alone
    )


def pieces_of(lines: dict[str, list[int]], number: IntArray) -> IntArray:
    """The pieces (m, 2) of all lines as pairs of points, each once.

    `number` is the point of each row of the file: a point written twice is one.
    """
    rows = [pair for line in lines.values() for pair in pairwise(line)]
    ends = np.sort(number[np.array(rows, dtype=np.int64).reshape(-1, 2)], axis=1)
    return np.unique(ends[ends[:, 0] != ends[:, 1]], axis=0)


def set_on_lines(points_m: Array, pieces: IntArray) -> tuple[Array, list[Clash]]:
    """The points (n, 3) and those set on breaklines in metres; or the clashes of levels.

    ValueError "wrong; remedy" where the lines are too many or too tangled to be worked out.
    """
    if len(pieces) > MOST_PIECES:
        wrong = f"breaklines of {len(pieces):,} pieces"
        raise ValueError(f"{wrong}; thin them to {MOST_PIECES:,} or fewer")
    met_m, clashes = _crossings(points_m, pieces)
    if clashes:
        return points_m, clashes
    cut, clashes = _cut_at_points(met_m, pieces)
    return (points_m, clashes) if clashes else (split_until_edges(met_m, cut), [])


def _crossings(points_m: Array, pieces: IntArray) -> tuple[Array, list[Clash]]:
    """The points (n, 3) and those where two pieces cross; the clashes of their levels there."""
    lines = shapely.linestrings(points_m[pieces][:, :, :2])
    here, there = _crossing_pairs(lines)
    at_m = shapely.get_coordinates(shapely.intersection(lines[here], lines[there]))
    ends_m = points_m[np.hstack([pieces[here], pieces[there]])][:, :, :2]
    free = np.hypot(*np.moveaxis(ends_m - at_m[:, None], -1, 0)).min(axis=1) > SAME_PLACE_M
    here, there, at_m = here[free], there[free], at_m[free]
    levels_m = [_levels_m(points_m, pieces[one], at_m) for one in (here, there)]
    apart_m = np.abs(levels_m[0] - levels_m[1])
    clashes = [
        Clash(int(pieces[here[k], 0]), int(pieces[there[k], 0]), float(apart_m[k]), crossing=True)
        for k in np.flatnonzero(apart_m > LEVELS_APART_M)
    ]
    met_m = np.column_stack([at_m, np.mean(levels_m, axis=0)])
    _, once = np.unique(np.round(at_m / SAME_PLACE_M), axis=0, return_index=True)
    return np.vstack([points_m, met_m[once]]), clashes


def _crossing_pairs(lines: Geometries) -> tuple[IntArray, IntArray]:
    """Pairs of pieces that cross, by number; ValueError "wrong; remedy" where there is no end."""
    here, there = _near_pairs(lines, lines)
    once = here < there
    here, there = here[once], there[once]
    crossing = shapely.crosses(lines[here], lines[there])
    if np.count_nonzero(crossing) > MOST_CROSSINGS:
        wrong = f"breaklines cross each other more than {MOST_CROSSINGS:,} times"
        raise ValueError(f"{wrong}; number the lines (TOP1, TOP2) in the order they run")
    return here[crossing], there[crossing]


def _near_pairs(lines: Geometries, others: Geometries) -> tuple[IntArray, IntArray]:
    """Pairs whose upright boxes meet but for a millimetre; ValueError where they are too many."""
    tree = shapely.STRtree(others)
    grown = shapely.bounds(lines) + SAME_PLACE_M * np.array([-1, -1, 1, 1])
    boxes = shapely.box(*grown.T)
    found: list[IntArray] = [np.empty((2, 0), dtype=np.int64)]
    for start in range(0, len(lines), AT_ONCE):
        pairs = tree.query(boxes[start : start + AT_ONCE])
        pairs[0] += start
        found.append(pairs)
        if sum(pairs.shape[1] for pairs in found) > MOST_PAIRS:
            wrong = "breaklines run too long beside each other and across too many points"
            raise ValueError(f"{wrong}; list fewer codes, or number the lines in their order")
    near, other = np.hstack(found)
    return near, other


def _cut_at_points(points_m: Array, pieces: IntArray) -> tuple[IntArray, list[Clash]]:
    """The pieces (m, 2) cut at every point that lies on them; points off their level."""
    near, point = _points_on(points_m, pieces)
    level_m = _levels_m(points_m, pieces[near], points_m[point, :2])
    apart_m = np.abs(points_m[point, 2] - level_m)
    clashes = [
        Clash(int(point[k]), int(pieces[near[k], 0]), float(apart_m[k]), crossing=False)
        for k in np.flatnonzero(apart_m > LEVELS_APART_M)
    ]
    stops: dict[int, list[int]] = {}
    for k in np.argsort(_along(points_m, pieces[near], points_m[point, :2])):
        stops.setdefault(int(near[k]), []).append(int(point[k]))
    whole = np.delete(pieces, list(stops), axis=0)
    cut = [
        pair
        for piece, between in stops.items()
        for pair in pairwise([int(pieces[piece, 0]), *between, int(pieces[piece, 1])])
    ]
    return np.vstack([whole, np.array(cut, dtype=np.int64).reshape(-1, 2)]), clashes


def _points_on(points_m: Array, pieces: IntArray) -> tuple[IntArray, IntArray]:
    """Pairs of piece and point, by number, where the point lies on the piece, not at its ends."""
    lines = shapely.linestrings(points_m[pieces][:, :, :2])
    points = shapely.points(points_m[:, :2])
    piece, point = _near_pairs(lines, points)
    free = (pieces[piece] != point[:, None]).all(axis=1)
    piece, point = piece[free], point[free]
    on = shapely.dwithin(lines[piece], points[point], SAME_PLACE_M)
    if np.count_nonzero(on) > MOST_PIECES:
        wrong = "breaklines run along each other or through too many points"
        raise ValueError(f"{wrong}; give each edge one line")
    return piece[on], point[on]


def _along(points_m: Array, pieces: IntArray, at_m: Array) -> Array:
    """How far along its piece each place (n, 2) lies, as a share of the piece."""
    start = points_m[pieces[:, 0], :2]
    reach = points_m[pieces[:, 1], :2] - start
    return np.asarray(((at_m - start) * reach).sum(axis=1) / (reach**2).sum(axis=1))


def _levels_m(points_m: Array, pieces: IntArray, at_m: Array) -> Array:
    """The level of each piece at its place (n, 2), in metres."""
    start, end = points_m[pieces[:, 0], 2], points_m[pieces[:, 1], 2]
    return np.asarray(start + _along(points_m, pieces, at_m) * (end - start))
