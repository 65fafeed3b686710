"""Operations that fight each other: a later one undoes what an earlier one set.

An operation sets its own area (a pad its outline, a wall its fill), not its sides. It is
told when a later one moves more than a tenth of that area by more than a centimetre, and
when two pads overlap at different levels, however little.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from scenes.blocks import parted
from scenes.changes import Change
from scenes.document import Grading, Yard
from scenes.lattice import Array, Lattice, Window, part
from scenes.outlines import length_shown, point_shown

MOST_UNDONE = 0.1
MOVED_M = 0.01
OVERLAP_M2 = 0.05
"""What counts as undone, as moved and as an overlap of pads; no outside source."""


@dataclass(frozen=True)
class Applied:
    """An operation as applied: where it is written, what it made, and how far it moved (m)."""

    place: str
    operation: Grading
    change: Change
    moved_m: Array

    def title(self) -> str:
        """What it is and its name, as a reader finds it."""
        return f'{parted(self.place)[0]} "{self.operation.name}"'


def clashes(yard: Yard, lattice: Lattice, applied: Sequence[Applied]) -> Iterator[str]:
    """One line for each pair of operations that fight, with the place where they do most."""
    for number, later in enumerate(applied):
        for earlier in applied[:number]:
            yield from _clash(yard, lattice, earlier, later)


def _clash(yard: Yard, lattice: Lattice, earlier: Applied, later: Applied) -> Iterator[str]:
    overlap = _overlap(earlier.change.window, later.change.window)
    if overlap is None:
        return
    core = earlier.change.core[_inside(overlap, earlier.change.window)]
    moved_m = np.abs(later.moved_m[_inside(overlap, later.change.window)]) * core
    share = float((moved_m > MOVED_M).sum() / max(earlier.change.core.sum(), 1))
    if share > MOST_UNDONE or (share > 0 and _pads_overlap(earlier, later)):
        row, column = np.unravel_index(moved_m.argmax(), moved_m.shape)
        x, y = part(lattice, overlap).nodes_m()[row, column]
        far, at = length_shown(yard, float(moved_m.max())), point_shown(yard, (x, y))
        undoes = f"{later.title()} changes {max(share, 0.01):.0%} of what {earlier.title()} set"
        yield f"{undoes.replace('%', ' %')}, by up to {far} near {at}"


def _pads_overlap(one: Applied, other: Applied) -> bool:
    if one.operation.do != "pad" or other.operation.do != "pad":
        return False
    shared = Polygon(one.operation.outline).intersection(Polygon(other.operation.outline))
    return bool(shared.area > OVERLAP_M2)


def _overlap(one: Window, other: Window) -> Window | None:
    rows, columns = (
        slice(max(a.start, b.start), min(a.stop, b.stop)) for a, b in zip(one, other, strict=True)
    )
    met = rows.start < rows.stop and columns.start < columns.stop
    return (rows, columns) if met else None


def _inside(window: Window, whole: Window) -> Window:
    """A window counted from the corner of one that holds it."""
    rows, columns = (
        slice(a.start - b.start, a.stop - b.start) for a, b in zip(window, whole, strict=True)
    )
    return rows, columns
