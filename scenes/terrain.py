"""The yard's ground before and after grading, on one lattice, and the soil that moves.

The lattice reaches three metres beyond everything the document places: boundary, built
things, kept plants, eyes and panels. The ground is surveyed points joined by flat
triangles; the grading operations then shape it one after another. Settling, swell and
soil layers are left out.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from scenes.document import Panel, Yard
from scenes.earthwork import Earthwork, earthwork
from scenes.errors import Mistake, scene_error
from scenes.grading import Shaped, graded, operations
from scenes.lattice import (
    MOST_NODES,
    Array,
    BoolArray,
    Lattice,
    bilinear,
    lattice_over,
    node_count,
    rounded_up,
    smallest_cell_m,
)
from scenes.lengths import METRES
from scenes.masks import nodes_inside
from scenes.points import Point, points_of
from scenes.survey import read_survey
from scenes.tin import share_beyond, surveyed_ground
from scenes.walls import GroundWall

MARGIN_M = 3.0
MOVED_M = 1e-3
LEAST_SHARE = 1e-4
"""A change of the ground below a millimetre, or a ten-thousandth of the lot: no note."""


@dataclass(frozen=True)
class Terrain:
    """The ground (ny, nx) before and after grading, and what is known about it."""

    lattice: Lattice
    before_m: Array
    after_m: Array
    extrapolated: BoolArray
    boundary: Polygon
    earth: Earthwork
    notes: tuple[str, ...]
    shaped: tuple[Shaped, ...] = ()
    clashes: tuple[str, ...] = ()
    walls: tuple[GroundWall, ...] = ()

    def height_m(self, xy_m: Array) -> Array:
        """Height (n,) of the graded ground at points (n, 2), in metres."""
        return bilinear(self.lattice, self.after_m, np.asarray(xy_m, dtype=float))


def grade(yard: Yard) -> Terrain:
    """The yard's ground before and after its grading operations."""
    boundary = Polygon(yard.site.boundary)
    lattice = _lattice(yard)
    survey = read_survey(yard)
    before_m, extrapolated = surveyed_ground(survey, lattice)
    shaping = graded(yard, lattice, before_m)
    _check_on_survey(yard, shaping.shaped, extrapolated)
    earth = earthwork(
        lattice,
        before_m=before_m,
        after_m=shaping.after_m,
        disturbed=shaping.disturbed,
        outline=boundary,
        ground=yard.ground,
        soil_words=yard.site.soil,
    )
    moved = np.abs(shaping.after_m - before_m) > MOVED_M
    inside = nodes_inside(lattice, boundary)
    beyond = share_beyond(boundary, survey)
    notes = (
        *survey.notes,
        *shaping.notes,
        *_notes(beyond, moved_outside=bool((moved & ~inside).any())),
    )
    return Terrain(
        lattice=lattice,
        before_m=before_m,
        after_m=shaping.after_m,
        extrapolated=extrapolated,
        boundary=boundary,
        earth=earth,
        notes=notes,
        shaped=shaping.shaped,
        clashes=shaping.clashes,
        walls=shaping.walls,
    )


def _check_on_survey(yard: Yard, shaped: tuple[Shaped, ...], extrapolated: BoolArray) -> None:
    """A SceneError for operations that change nothing but ground that was not surveyed."""
    adrift = [
        Mistake(
            one.place, f'"{one.name}" lies wholly beyond the survey', "move it, or survey there"
        )
        for one in shaped
        if one.changed.any() and extrapolated[one.window][one.changed].all()
    ]
    if adrift:
        raise scene_error(yard.path.name, adrift)


def _lattice(yard: Yard) -> Lattice:
    """The lattice over everything placed; a SceneError with a cell that works if too fine."""
    corners_m = np.array(list(_placed(yard)), dtype=float)
    cell_m = yard.ground.cell
    if node_count(corners_m, cell_m=cell_m, margin_m=MARGIN_M) > MOST_NODES:
        unit = METRES[yard.lengths]
        works = rounded_up(smallest_cell_m(corners_m, margin_m=MARGIN_M) / unit)
        wrong = f"{cell_m / unit:g} {yard.lengths} makes more than {MOST_NODES:,} nodes"
        remedy = f"write {works:.2g} or more"
        raise scene_error(yard.path.name, [Mistake("ground.cell", wrong, remedy)])
    corner_m = np.min(yard.site.boundary, axis=0)  # tied to the lot, wherever it lies
    return lattice_over(corners_m, cell_m=cell_m, margin_m=MARGIN_M, through_m=corner_m)


def _placed(yard: Yard) -> Iterator[Point]:
    """Every point of the document that the ground must reach."""
    yield from yard.site.boundary
    for _, operation in operations(yard):
        yield from operation.outline or operation.centreline or operation.line or ()
        yield from ((x, y) for x, y, _ in operation.points or ())
    for structure in yard.structure:
        yield from structure.outline or structure.line or ()
        yield from [structure.at] if structure.at else []
    for kept in yard.kept:
        yield from points_of(kept.at)
        yield from kept.along or ()
    for view in yard.view:
        yield from points_of(view.eye)
        if isinstance(view.target, Panel):
            yield from (view.target.from_, view.target.to)


def _notes(beyond: float, *, moved_outside: bool) -> tuple[str, ...]:
    """What a reader must know of the ground before relying on it."""
    notes = []
    if beyond > LEAST_SHARE:
        notes.append(
            f"{_percent(beyond)} of the lot lies beyond the survey; its ground is extrapolated"
        )
    if moved_outside:
        notes.append("the grading's sides run past the boundary, where no soil is counted")
    return tuple(notes)


def _percent(share: float) -> str:
    return "less than 1 %" if share < 0.005 else f"{share:.0%}".replace("%", " %")
