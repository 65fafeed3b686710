"""The grading of a yard: its operations, applied one after another to the ground.

Each kind of operation is a function of the register OPERATIONS; a surface with levels of
its own is an operation too, after those written as such. What cannot be made is told with
the operation's place; operations that undo each other are named (`scenes.clashes`).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from scenes.changes import Change
from scenes.clashes import Applied, clashes
from scenes.document import Grading, Surface, Yard
from scenes.errors import Mistake, mistake_of, scene_error
from scenes.flights import Flight, in_words
from scenes.lattice import Array, BoolArray, Lattice, Window
from scenes.mounds import levels, mound
from scenes.outlines import length_shown, point_shown
from scenes.pads import pad
from scenes.ribbons import ramp, ribbon, steps, swale
from scenes.walls import GroundWall, standing, wall

Operation = Callable[[Grading, Lattice, Array], Change]

FARTHEST_M = 30.0
"""No yard is cut or filled so far: such a level is a mistake, most often of the unit."""

OPERATIONS: dict[str, Operation] = {
    "pad": pad,
    "ribbon": ribbon,
    "mound": mound,
    "swale": swale,
    "wall": wall,
    "steps": steps,
    "ramp": ramp,
    "levels": levels,
}
"""The operations by the word of the document."""


@dataclass(frozen=True)
class Shaped:
    """What one operation did: the part of the lattice, and the nodes it changed there."""

    place: str
    name: str
    do: str
    window: Window
    changed: BoolArray
    flight: Flight | None


@dataclass(frozen=True)
class Graded:
    """The ground after all operations, and what each of them did.

    `disturbed` is the share (ny, nx) of each node's square that any of them disturbs.
    """

    after_m: Array
    disturbed: Array
    shaped: tuple[Shaped, ...]
    clashes: tuple[str, ...]
    walls: tuple[GroundWall, ...]
    notes: tuple[str, ...]


def graded(yard: Yard, lattice: Lattice, before_m: Array) -> Graded:
    """The ground (ny, nx) in metres after all the yard's operations, in their order."""
    after_m, disturbed = before_m.copy(), np.zeros(before_m.shape)
    applied = []
    for place, operation in operations(yard):
        change = _applied(yard, place, operation, lattice, after_m)
        moved_m = change.after_m - after_m[change.window]
        applied.append(Applied(place, operation, change, moved_m))
        after_m[change.window] = change.after_m
        disturbed[change.window] = np.maximum(disturbed[change.window], change.share)
    return Graded(
        after_m=after_m,
        disturbed=disturbed,
        shaped=tuple(map(_shaped, applied)),
        clashes=tuple(clashes(yard, lattice, applied)),
        walls=tuple(
            standing(one.place, one.operation.name, one.change.wall, lattice, after_m)
            for one in applied
            if one.change.wall is not None
        ),
        notes=tuple(line for one in applied for line in _notes(yard, one)),
    )


def _notes(yard: Yard, applied: Applied) -> Iterator[str]:
    """What a reader must know of an operation: its flight, and remarks with their place."""
    if applied.change.flight is not None:
        inches = yard.lengths in ("ft", "in", "yd", "us-ft")
        yield f"{applied.title()}: {in_words(applied.change.flight, inches=inches)}"
    for words, at in applied.change.remarks:
        yield f"{applied.title()}: {words} near {point_shown(yard, at)}"


def operations(yard: Yard) -> tuple[tuple[str, Grading], ...]:
    """The yard's grading tables, then its surfaces that have levels, each with its place."""
    written = [(f"grading[{k}]", operation) for k, operation in enumerate(yard.grading, start=1)]
    own = [
        (f"surface[{k}]", _surface_grading(surface))
        for k, surface in enumerate(yard.surface, start=1)
        if surface.levels is not None
    ]
    return (*written, *own)


def _surface_grading(surface: Surface) -> Grading:
    """A surface's own levels as the operation that makes them."""
    if surface.centreline is None:
        return Grading.model_construct(
            name=surface.name, do="pad", outline=surface.outline, levels=surface.levels
        )
    ramps = surface.kind == "ramp" and len(surface.levels or ()) == 2
    return Grading.model_construct(
        name=surface.name,
        do="ramp" if ramps else "ribbon",
        centreline=surface.centreline,
        width=surface.width,
        levels=surface.levels,
    )


def _applied(
    yard: Yard, place: str, operation: Grading, lattice: Lattice, ground_m: Array
) -> Change:
    """What an operation makes of the ground; a SceneError with its place where it cannot."""
    try:
        change = OPERATIONS[operation.do](operation, lattice, ground_m)
    except ValueError as error:
        raise scene_error(yard.path.name, [mistake_of(error, place)]) from None
    moved_m = float(np.abs(change.after_m - ground_m[change.window]).max())
    if not moved_m <= FARTHEST_M:
        wrong = f'"{operation.name}" moves the ground by {length_shown(yard, moved_m)}'
        remedy = "compare its levels with the survey's, and both with their units"
        raise scene_error(yard.path.name, [Mistake(place, wrong, remedy)])
    return change


def _shaped(applied: Applied) -> Shaped:
    return Shaped(
        place=applied.place,
        name=applied.operation.name,
        do=applied.operation.do,
        window=applied.change.window,
        changed=applied.moved_m != 0,
        flight=applied.change.flight,
    )
