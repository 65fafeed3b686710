"""Retaining walls."""

from dataclasses import dataclass

from shapely.geometry import LineString


@dataclass(frozen=True)
class GroundWall:
    """A retaining wall as graded: its greatest height above the ground at its foot.

    `with_footing_m` is from the bottom of the footing, None where no footing is written.
    """

    place: str
    name: str
    line: LineString
    highest_m: float
    with_footing_m: float | None
