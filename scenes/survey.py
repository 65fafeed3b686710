"""The surveyed points of a yard: x, y, z in metres, in the yard's own coordinates.

A survey is a text file of rows x, y, z and optionally a code, with or without a header,
parted by commas, semicolons or tabs; or the points stand in the document. Nothing is
guessed: a row that is not three finite numbers is told with its line, and so are two
heights at one place. The same point twice is kept once.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scenes.document import Yard
from scenes.errors import Mistake, SceneError, scene_error, shown
from scenes.files import SURVEY_BYTES, file_inside, read_capped, text_of
from scenes.lengths import METRES, parse_length_m

SURVEY_TYPES = (".csv", ".txt")
LEAST_POINTS = 3
FLATTEST_SHARE = 1e-6
"""Points whose scatter across their line is under this share of that along it are collinear."""

_HEADERS = (
    {"x", "easting", "east", "e"},
    {"y", "northing", "north", "n"},
    {"z", "elevation", "elev", "level", "height"},
)
Row = tuple[float, float, float]
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Spot:
    """A surveyed point and where it is written."""

    place: str
    xyz: Row


def read_survey(yard: Yard) -> Array:
    """Surveyed points (n, 3) in metres, the site's origin taken away; SceneError if wrong."""
    ground = yard.ground
    unit_m = METRES[ground.survey_lengths or yard.lengths]
    if ground.points is not None:
        numbered = enumerate(ground.points, 1)
        spots = [Spot(f"ground.points[{number}]", xyz) for number, xyz in numbered]
        kept = _once_each(spots, yard.path.name, unit_shown=unit_m)
        return _points_m(kept, yard, place="ground.points", unit_m=1.0)
    place = f"ground.survey: {ground.survey}"
    found = list(_rows(_survey_text(yard), place))
    mistakes = [item for item in found if isinstance(item, Mistake)]
    if mistakes:
        raise scene_error(yard.path.name, mistakes)
    spots = [item for item in found if isinstance(item, Spot)]
    kept = _once_each(spots, yard.path.name, unit_shown=1.0)
    return _points_m(kept, yard, place=place, unit_m=unit_m)


def _survey_text(yard: Yard) -> str:
    name = yard.ground.survey or ""
    try:
        folder = yard.path.parent
        path = file_inside(folder, name, types=SURVEY_TYPES, most_bytes=SURVEY_BYTES)
        return text_of(read_capped(path, most_bytes=SURVEY_BYTES))
    except ValueError as error:
        wrong, _, remedy = str(error).partition("; ")
        mistake = Mistake("ground.survey", f"{shown(name)} {wrong}", remedy)
        raise SceneError(mistake.line(yard.path.name)) from None


def _rows(text: str, place: str) -> Iterator[Spot | Mistake]:
    """Each row of the file as a point, or as what is wrong with it."""
    lines = [(i, line.strip()) for i, line in enumerate(text.splitlines(), 1)]
    rows = [(i, line) for i, line in lines if line and not line.startswith("#")]
    parted_by = next((mark for mark in ";\t," if rows and mark in rows[0][1]), ",")
    for order, (number, line) in enumerate(rows):
        at = f"{place} line {number}"
        values = [value.strip().strip('"') for value in line.split(parted_by)]
        try:
            if order == 0 and _is_header(values):
                continue
            yield Spot(at, _row(values))
        except ValueError as error:
            wrong, _, remedy = str(error).partition("; ")
            yield Mistake(at, wrong, remedy)


def _is_header(values: list[str]) -> bool:
    if not values[0] or values[0][0] in "+-.0123456789":
        return False
    names = [*(value.lower() for value in values[:3]), "", ""]
    if any(name not in known for name, known in zip(names, _HEADERS, strict=False)):
        raise ValueError(f"the header {shown(', '.join(values))} is not known; write x, y, z first")
    return True


def _row(values: list[str]) -> Row:
    if not 3 <= len(values) <= 4:
        raise ValueError(f"has {len(values)} values; write x, y, z and optionally a code")
    x, y, z = (_number(value) for value in values[:3])
    return x, y, z


def _number(text: str) -> float:
    try:
        value = float(text) if "_" not in text else math.nan
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(f"{shown(text)} is not a finite number; write it like 102.35")
    return parse_length_m(value, unit="m")


def _points_m(kept: list[Row], yard: Yard, *, place: str, unit_m: float) -> Array:
    file = yard.path.name
    if len(kept) < LEAST_POINTS:
        wrong = f"holds {len(kept)} points"
        raise SceneError(Mistake(place, wrong, "give three or more").line(file))
    points_m: Array = np.array(kept, dtype=float) * unit_m - np.array(yard.site.origin)
    spread = np.linalg.svd(points_m[:, :2] - points_m[:, :2].mean(axis=0), compute_uv=False)
    if spread[1] <= FLATTEST_SHARE * spread[0]:
        wrong = f"all {len(kept)} points lie on one line"
        raise SceneError(Mistake(place, wrong, "add a point to the side").line(file))
    return points_m


def _once_each(spots: Iterable[Spot], file: str, *, unit_shown: float) -> list[Row]:
    """The points without repeats; SceneError where one place has two heights."""
    first: dict[tuple[float, float], Spot] = {}
    clashes = []
    for spot in spots:
        before = first.setdefault(spot.xyz[:2], spot)
        if before.xyz[2] != spot.xyz[2]:
            other = before.place.removeprefix("ground.survey: ")
            here, there = (one.xyz[2] / unit_shown for one in (spot, before))
            wrong = f"height {here:.9g} where {other} has {there:.9g}"
            clashes.append(Mistake(spot.place, wrong, "keep the right one"))
    if clashes:
        raise scene_error(file, clashes)
    return [spot.xyz for spot in first.values()]
