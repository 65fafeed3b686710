"""Grading operations: how each shapes the ground it is given.

A pad or a ribbon is a bench (`scenes.benches`): a footprint and a level at each of its
points. A pad's level holds at the middle (centroid) of its outline, so a fall moves no
soil on balance. A ribbon has levels along its centreline, or follows the ground there,
smoothed. Operations not in the register are not applied, and are named as such.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator
from scipy.ndimage import gaussian_filter1d
from shapely.geometry import LinearRing, LineString, Polygon

from scenes.benches import Bench, LevelAt, cut_in
from scenes.document import Grading, Surface, Yard
from scenes.errors import Mistake, scene_error
from scenes.lattice import Array, BoolArray, Lattice, bilinear
from scenes.points import Point


@dataclass(frozen=True)
class Shaped:
    """What one operation did: the part of the lattice, and the nodes it changed there."""

    place: str
    name: str
    do: str
    window: tuple[slice, slice]
    changed: BoolArray


Operation = Callable[[Grading, Lattice, Array], Bench]


def graded(yard: Yard, lattice: Lattice, before_m: Array) -> Array:
    """The ground (ny, nx) in metres after all the yard's operations, in their order."""
    after_m = before_m
    for operation in operations(yard):
        if operation.do in OPERATIONS:
            bench = OPERATIONS[operation.do](operation, lattice, after_m)
            after_m = cut_in(bench, lattice, after_m, batter=operation.batter)
    return after_m


def operations(yard: Yard) -> tuple[Grading, ...]:
    """The yard's grading tables, then its surfaces that have levels of their own."""
    own = [
        _surface_grading(yard, surface, place=f"surface[{k}].levels")
        for k, surface in enumerate(yard.surface, start=1)
        if surface.levels is not None
    ]
    return (*yard.grading, *own)


def not_applied(yard: Yard) -> tuple[str, ...]:
    """One line for each operation that is agreed but not computed yet."""
    return tuple(
        f'grading "{operation.name}": {operation.do} is not computed yet'
        for operation in operations(yard)
        if operation.do not in OPERATIONS
    )


def _surface_grading(yard: Yard, surface: Surface, *, place: str) -> Grading:
    """A surface's own levels as the operation that makes them."""
    levels = surface.levels or ()
    if surface.centreline is not None:
        _check_count(yard, place, levels, points=surface.centreline, fewest=2)
        return Grading.model_construct(
            name=surface.name,
            do="ribbon",
            centreline=surface.centreline,
            width=surface.width,
            levels=levels,
        )
    outline = surface.outline or ()
    _check_count(yard, place, levels, points=outline, fewest=1)
    return Grading.model_construct(name=surface.name, do="pad", outline=outline, levels=levels)


def _check_count(
    yard: Yard, place: str, levels: tuple[float, ...], *, points: tuple[object, ...], fewest: int
) -> None:
    if len(levels) not in (fewest, len(points)):
        wrong = f"{len(levels)} levels for {len(points)} points"
        remedy = f"write {fewest} or {len(points)} levels"
        raise scene_error(yard.path.name, [Mistake(place, wrong, remedy)])


def pad(operation: Grading, lattice: Lattice, ground_m: Array) -> Bench:
    """A flat or evenly falling pad; its level holds at the middle of its outline."""
    footprint = Polygon(operation.outline)
    if operation.levels is not None and len(operation.levels) > 1:
        return Bench(footprint, _through_points(footprint, operation.levels))
    level_m = operation.levels[0] if operation.levels is not None else operation.level
    middle = np.array(footprint.centroid.coords[0])
    azimuth = np.radians(operation.fall_towards_deg or 0.0)
    fall = (operation.fall_percent or 0.0) / 100 * np.array([np.sin(azimuth), np.cos(azimuth)])
    return Bench(footprint, lambda xy_m: level_m - (xy_m - middle) @ fall)


def _through_points(footprint: Polygon, levels_m: tuple[float, ...]) -> LevelAt:
    """Levels between the corners of an outline: flat triangles through the levels there."""
    corners = np.array(footprint.exterior.coords[: len(levels_m)])
    middle = corners.mean(axis=0)
    surface = LinearNDInterpolator(corners - middle, np.array(levels_m))

    def level_at(xy_m: Array) -> Array:
        level_m = surface((xy_m - middle) * (1 - 1e-9))
        nearest = np.linalg.norm(xy_m[:, None] - corners, axis=-1).argmin(axis=1)
        return np.asarray(np.where(np.isnan(level_m), np.array(levels_m)[nearest], level_m))

    return level_at


def ribbon(operation: Grading, lattice: Lattice, ground_m: Array) -> Bench:
    """A band along a line; without levels it follows the ground there, smoothed along it."""
    line = LineString(operation.centreline or ())
    width_m = operation.width or 0.0
    chainage_m, level_m = _profile(operation, line, lattice, ground_m)
    crossfall = (operation.crossfall_percent or 0.0) / 100
    crown = (operation.crown_percent or 0.0) / 100

    def level_at(xy_m: Array) -> Array:
        along_m, right_m = _along_and_right_m(line, xy_m)
        middle_m = np.interp(along_m, chainage_m, level_m)
        return np.asarray(middle_m - crossfall * right_m - crown * np.abs(right_m))

    return Bench(band(operation.centreline or (), width_m=width_m), level_at)


def band(centreline: Sequence[Point], *, width_m: float) -> Polygon:
    """The area along a line; a line that ends where it starts goes round without a seam."""
    closed = len(centreline) > 3 and centreline[0] == centreline[-1]
    line = LinearRing(centreline) if closed else LineString(centreline)
    return line.buffer(width_m / 2, cap_style="flat", join_style="mitre", mitre_limit=2)


def _profile(
    operation: Grading, line: LineString, lattice: Lattice, ground_m: Array
) -> tuple[Array, Array]:
    """Chainages and levels in metres along a ribbon's centreline."""
    levels = operation.levels
    if levels is None:
        chainage_m = np.linspace(0, line.length, max(2, int(line.length / lattice.cell_m) + 1))
        points = shapely.get_coordinates(shapely.line_interpolate_point(line, chainage_m))
        spread = (operation.width or 0.0) / (chainage_m[1] - chainage_m[0])
        return chainage_m, smoothed(bilinear(lattice, ground_m, points), spread=spread)
    if len(levels) == len(line.coords):
        steps = np.linalg.norm(np.diff(line.coords, axis=0), axis=1)
        return np.concatenate([[0.0], np.cumsum(steps)]), np.array(levels)
    return np.array([0.0, line.length]), np.array([levels[0], levels[-1]])


def smoothed(level_m: Array, *, spread: float) -> Array:
    """Levels (n,) smoothed over `spread` steps; both ends and an even slope stay as they are."""
    chord_m = np.linspace(level_m[0], level_m[-1], len(level_m))
    out_m = level_m - chord_m
    mirrored = np.concatenate([-out_m[:0:-1], out_m, -out_m[-2::-1]])
    even = gaussian_filter1d(mirrored, spread, mode="nearest")
    return np.asarray(chord_m + even[len(out_m) - 1 : 2 * len(out_m) - 1])


def _along_and_right_m(line: LineString, xy_m: Array) -> tuple[Array, Array]:
    """Distance along a line of each point, and how far it lies to the right of the line."""
    points = shapely.points(xy_m)
    along_m = shapely.line_locate_point(line, points)
    corners = np.array(line.coords)
    steps = np.diff(corners, axis=0)
    ends_m = np.cumsum(np.linalg.norm(steps, axis=1))
    segment = np.minimum(np.searchsorted(ends_m, along_m), len(steps) - 1)
    out = xy_m - corners[segment]
    right = steps[segment, 1] * out[:, 0] - steps[segment, 0] * out[:, 1]
    return along_m, np.sign(right) * shapely.distance(line, points)


OPERATIONS: dict[str, Operation] = {"pad": pad, "ribbon": ribbon}
"""The operations computed so far, by the word of the document."""
