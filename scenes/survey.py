"""The surveyed ground of a yard: points in metres in the yard's own coordinates.

The points come from a file (text, elevation grid or LandXML surface) or stand in the
document. The same point twice is kept once; points outside the lot are kept, for the
surface runs through them. Nothing is guessed or mended: two heights at one place, a survey
that does not lie over the lot, a file in another unit than the document says, are refused;
one level that stands out among its neighbours is pointed out and kept.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from scipy.spatial import cKDTree

from scenes.badlevels import notes_of_bad_levels
from scenes.breaklines import (
    LEVELS_APART_M,
    SAME_PLACE_M,
    codes_missing,
    lines_by_code,
    lone_points,
    pieces_of,
    set_on_lines,
)
from scenes.document import Yard
from scenes.errors import Mistake, SceneError, mistake_of, scene_error
from scenes.faces import faces_over_faces, with_area
from scenes.files import SURVEY_BYTES, file_inside, read_capped
from scenes.landxml import shots_of_landxml
from scenes.lattice import Array, IntArray
from scenes.lengths import LARGEST_M, METRES
from scenes.overlap import misplaced
from scenes.pointfile import shots_of_text
from scenes.rasters import shots_of_ascii_grid, shots_of_geotiff
from scenes.shots import Shots, place_in_file, survey_unit

READERS: dict[str, Callable[..., Shots]] = {
    ".csv": shots_of_text,
    ".txt": shots_of_text,
    ".asc": shots_of_ascii_grid,
    ".tif": shots_of_geotiff,
    ".tiff": shots_of_geotiff,
    ".xml": shots_of_landxml,
}
"""How a survey file is read, by the end of its name."""

SURVEY_TYPES = tuple(READERS)
LEAST_POINTS = 3
FLATTEST_SHARE = 1e-6
"""Points whose scatter across their line is under this share of that along it are collinear."""


@dataclass(frozen=True)
class Survey:
    """Surveyed points (n, 3) in metres, and those set on breaklines; faces if it brings them."""

    points_m: Array
    faces: IntArray | None = None
    notes: tuple[str, ...] = ()


def read_survey(yard: Yard) -> Survey:
    """The survey in metres, the site's origin taken away; SceneError if it is wrong."""
    shots = _shots(yard)
    unit = survey_unit(yard, shots.unit)
    place = "ground.points" if yard.ground.points else f"ground.survey: {yard.ground.survey}"
    once, number = _once_each(shots.xyz)
    _refuse(yard, _too_far(shots, unit))
    _refuse(yard, _two_heights(shots, once[number]))
    points_m = shots.xyz[once] * METRES[unit] - np.array(yard.site.origin)
    reach = shots.xyz[:, :2] if shots.reach is None else shots.reach
    reach_m = reach * METRES[unit] - np.array(yard.site.origin[:2])
    settled = shots.unit is not None or yard.ground.survey_lengths is not None
    _refuse(yard, misplaced(yard, reach_m, unit=unit, settled=settled))
    _refuse(yard, _no_surface(points_m, place))
    places = [shots.place[row] for row in once]
    _refuse(yard, _next_to_each_other(points_m, places))
    bad_levels = notes_of_bad_levels(points_m, places, yard.lengths)
    faces = None
    if shots.faces is not None:
        faces = with_area(points_m, number[shots.faces])
        _refuse(yard, faces_over_faces(points_m, faces, places))
    lines = lines_by_code(shots.codes, yard.ground.breakline_codes)
    if "breakline_codes" in yard.ground.model_fields_set:
        _refuse(yard, codes_missing(lines, yard.ground.breakline_codes))
    points_m = _with_breaklines(yard, points_m, places, pieces_of(lines, number))
    return Survey(points_m, faces, (*shots.notes, *lone_points(lines, shots.place), *bad_levels))


def _shots(yard: Yard) -> Shots:
    ground = yard.ground
    if ground.points is not None:
        unit_m = METRES[ground.survey_lengths or yard.lengths]
        places = [f"ground.points[{number}]" for number in range(1, len(ground.points) + 1)]
        return Shots(np.array(ground.points, dtype=float) / unit_m, places)
    name = ground.survey or ""
    try:
        folder = yard.path.parent
        path = file_inside(folder, name, types=SURVEY_TYPES, most_bytes=SURVEY_BYTES)
        data = read_capped(path, most_bytes=SURVEY_BYTES)
        return READERS[path.suffix.lower()](data, f"ground.survey: {name}", yard=yard)
    except SceneError:
        raise
    except ValueError as error:
        mistake = mistake_of(error, "ground.survey", value=name)
        raise scene_error(yard.path.name, [mistake]) from None


def _once_each(xyz: Array) -> tuple[IntArray, IntArray]:
    """The first row of every place, in the order of the file, and each row's place in that."""
    _, first, number = np.unique(xyz[:, :2] + 0.0, axis=0, return_index=True, return_inverse=True)
    order = np.argsort(first)
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    return first[order], rank[number.ravel()]


def _too_far(shots: Shots, unit: str) -> Iterator[Mistake]:
    """Points farther than any length may be."""
    largest = LARGEST_M / METRES[unit]
    for row in map(int, np.flatnonzero((np.abs(shots.xyz) > largest).any(axis=1))):
        value = f"{np.abs(shots.xyz[row]).max():.6g}"
        wrong = f"{value} is longer than {LARGEST_M:,.0f} m"
        yield Mistake(shots.place[row], wrong, "write a smaller number")


def _two_heights(shots: Shots, first: IntArray) -> Iterator[Mistake]:
    """Points at a place whose first point has another height."""
    for row in map(int, np.flatnonzero(shots.xyz[:, 2] != shots.xyz[first, 2])):
        before = int(first[row])
        other = place_in_file(shots.place[before])
        here, there = shots.xyz[[row, before], 2]
        wrong = f"height {here:.9g} where {other} has {there:.9g}"
        yield Mistake(shots.place[row], wrong, "keep the right one")


def _next_to_each_other(points_m: Array, places: Sequence[str]) -> Iterator[Mistake]:
    """Points within a millimetre of another that has another height: a face without a run."""
    apart_m, near = cKDTree(points_m[:, :2]).query(points_m[:, :2], k=2)
    steps_m = np.abs(points_m[near[:, 1], 2] - points_m[near[:, 0], 2])
    steep = (apart_m[:, 1] < SAME_PLACE_M) & (steps_m > LEVELS_APART_M)
    for one, other in near[steep]:
        there = place_in_file(places[int(other)])
        wrong = f"less than a millimetre from {there}, at another height"
        yield Mistake(places[int(one)], wrong, "move one of them a little, or keep the right one")


def _no_surface(points_m: Array, place: str) -> Iterator[Mistake]:
    """Too few points for a surface, or all on one line."""
    if len(points_m) < LEAST_POINTS:
        yield Mistake(place, f"holds {len(points_m)} points", "give three or more")
        return
    spread = np.linalg.svd(points_m[:, :2] - points_m[:, :2].mean(axis=0), compute_uv=False)
    if spread[1] <= FLATTEST_SHARE * spread[0]:
        wrong = f"all {len(points_m)} points lie on one line"
        yield Mistake(place, wrong, "add a point to the side")


def _with_breaklines(yard: Yard, points_m: Array, places: Sequence[str], pieces: IntArray) -> Array:
    """The points (n, 3) and those set on breaklines; SceneError where lines clash."""
    try:
        points_m, clashes = set_on_lines(points_m, pieces)
    except ValueError as error:
        _refuse(yard, [mistake_of(error, "ground.survey")])
        raise
    _refuse(yard, (clash.mistake(places, yard.lengths) for clash in clashes))
    return points_m


def _refuse(yard: Yard, mistakes: Iterable[Mistake]) -> None:
    """SceneError if there is a mistake."""
    mistakes = iter(mistakes)
    first = next(mistakes, None)
    if first is not None:
        raise scene_error(yard.path.name, chain([first], mistakes))
