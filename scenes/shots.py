"""Surveyed points as a file gives them, before they are moved into the yard's coordinates.

Every kind of survey file becomes this one thing: coordinates in the file's own unit, where
each point is written, its code if it has one, and the triangles if the file brings them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from scenes.document import Yard
from scenes.errors import Mistake, scene_error
from scenes.lattice import Array, IntArray

MOST_POINTS = 400_000
"""A limit of time: this many points were measured to take under fifteen seconds."""


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
    reach: Array | None = None
    """Corners (4, 2) of the whole, where only what lies around the lot was taken."""


def place_in_file(place: str) -> str:
    """The place of a point as a sentence names it that already speaks of the survey."""
    return place.removeprefix("ground.survey: ")


def too_many(place: str, written: str) -> Mistake:
    """The mistake of a survey with more points than are worked out."""
    remedy = f"thin it to {MOST_POINTS:,} or fewer, those near the yard"
    return Mistake(place, f"holds {written}", remedy)


def survey_unit(yard: Yard, own: str | None) -> str:
    """The unit of a survey: the file's own, else the document's; SceneError if they differ."""
    stated = yard.ground.survey_lengths
    otherwise = stated or yard.lengths
    if own is None or own == otherwise:
        return otherwise
    if stated is None and not any(yard.site.origin):
        return own
    wrong = f"the file is in {own}, survey_lengths and site.origin in {otherwise}"
    remedy = f'write survey_lengths = "{own}" and the origin in it'
    raise scene_error(yard.path.name, [Mistake("ground.survey_lengths", wrong, remedy)])
