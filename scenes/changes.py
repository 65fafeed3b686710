"""What one grading operation makes of a part of the ground.

Every operation of the register answers with a Change: new heights in a window of the
lattice, which nodes it sets itself, how much of each node's square it disturbs, and the
steps, ramp or wall that stand there.
"""

from dataclasses import dataclass
from typing import Literal

from scenes.flights import Flight
from scenes.lattice import Array, BoolArray, Window
from scenes.points import Point


@dataclass(frozen=True)
class Retaining:
    """A retaining wall: its line, its top (n,) at lengths along it, and its low side."""

    line: tuple[Point, ...]
    along_m: Array
    top_m: Array
    low_side: Literal["left", "right"]
    footing_m: float | None


@dataclass(frozen=True)
class Change:
    """New heights of a window; `core`: nodes that the operation sets by itself, wholly.

    `share`: of each node's own square, what is disturbed (below one beside a vertical side).
    `remarks`: what a reader must know, and where.
    """

    window: Window
    after_m: Array
    core: BoolArray
    share: Array
    flight: Flight | None = None
    wall: Retaining | None = None
    remarks: tuple[tuple[str, Point], ...] = ()
