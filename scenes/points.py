"""Points, lines and outlines as a document writes them, in metres.

An outline may be written closed or not: a last point that repeats the first is dropped.
Neighbouring points that are the same are refused, for numbers of points (`bed.corners`,
levels along a line) would shift if they were dropped. Whether an outline crosses itself is
in `scenes.outlines`.
"""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag

from scenes.errors import shown
from scenes.lengths import Length, SurveyLength

SAME_POINT_M = 0.001
"""Neighbouring points of an outline or a line closer than this are the same point."""


def _list_of(count: int, words: str) -> Callable[[Any], Any]:
    """A check that a value is a list of `count`; `words` is how to write it."""

    def check(value: Any) -> Any:
        if not isinstance(value, list | tuple) or len(value) != count:
            raise ValueError(f"{shown(value)} is not {words}")
        return value

    return check


_POINT = BeforeValidator(_list_of(2, "a point; write [x, y]"))
_SPOT = BeforeValidator(_list_of(3, "a point with its level; write [x, y, z]"))

Point = Annotated[tuple[Length, Length], _POINT]
Spot = Annotated[tuple[Length, Length, Length], _SPOT]
SurveySpot = Annotated[tuple[SurveyLength, SurveyLength, SurveyLength], _SPOT]


def _no_repeats(points: tuple[Point, ...]) -> tuple[Point, ...]:
    for i, (here, there) in enumerate(pairwise(points), 1):
        if math.dist(here, there) < SAME_POINT_M:
            raise ValueError(f"points {i} and {i + 1} are the same; remove one")
    return points


def _open_ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """An outline without its first point repeated at the end."""
    closed = len(points) > 1 and math.dist(points[0], points[-1]) < SAME_POINT_M
    ring = points[:-1] if closed else points
    if len(ring) < 3:
        raise ValueError(f"an outline of {len(ring)} points; write three or more")
    return _no_repeats(ring)


def _long_enough(points: tuple[Point, ...]) -> tuple[Point, ...]:
    if len(points) < 2:
        raise ValueError(f"a line of {len(points)} points; write two or more")
    return _no_repeats(points)


Outline = Annotated[tuple[Point, ...], AfterValidator(_open_ring)]
Line = Annotated[tuple[Point, ...], AfterValidator(_long_enough)]
Points = Annotated[tuple[Point, ...], Field(min_length=1)]


def _points_written(value: Any) -> str:
    nested = isinstance(value, list | tuple) and value and isinstance(value[0], list | tuple)
    return "<points>" if nested else "<point>"


PointOrPoints = Annotated[
    Annotated[Point, Tag("<point>")] | Annotated[Points, Tag("<points>")],
    Discriminator(_points_written),
]
"""One point or several, by how it was written; so a mistake is told once."""


def points_of(at: Point | tuple[Point, ...] | None) -> tuple[Point, ...]:
    """One point, several or none, as a tuple of points."""
    if at is None:
        return ()
    return (at,) if isinstance(at[0], float | int) else at
