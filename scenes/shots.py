"""Surveyed points as a file gives them, before they are moved into the yard's coordinates.

Every kind of survey file becomes this one thing: coordinates in the file's own unit, where
each point is written, its code if it has one, and the triangles if the file brings them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from scenes.errors import Mistake
from scenes.lattice import Array, IntArray

MOST_POINTS = 400_000
"""A limit of time: this many points were measured to take under ten seconds."""


@dataclass(frozen=True)
class Shots:
    """Points (n, 3) in the unit of the file, and where each is written."""

    xyz: Array
    place: Sequence[str]
    codes: Sequence[str] = ()
    faces: IntArray | None = None
    unit: str | None = None
    """The unit the file itself says it is in."""
    notes: tuple[str, ...] = ()


def too_many(place: str, written: str) -> Mistake:
    """The mistake of a survey with more points than are worked out."""
    remedy = f"thin it to {MOST_POINTS:,} or fewer, those near the yard"
    return Mistake(place, f"holds {written}", remedy)
