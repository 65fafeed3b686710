"""Grading operations: how each shapes the ground it is given.

A pad or a ribbon is a footprint and a level at each of its points. Beyond the footprint
its sides rise or fall from the nearest edge at the batter (run to rise) until they meet
the ground; only the part joined to the footprint counts. A vertical side (batter 0) is
spread over one cell, half within and half beyond the outline, so that its volume is exact.
A pad's level holds at the middle (centroid) of its outline, so a fall moves no soil on
balance. Operations not in the register are not applied, and are named as such.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator
from scipy.ndimage import gaussian_filter1d, label
from shapely.geometry import LinearRing, LineString, Polygon

from scenes.document import Grading, Surface, Yard
from scenes.errors import Mistake, scene_error
from scenes.lattice import Array, BoolArray, Lattice, bilinear, part, within
from scenes.points import Point

LevelAt = Callable[[Array], Array]


@dataclass(frozen=True)
class Bench:
    """A shaped piece of ground: where it is and its level (n,) in metres at points (n, 2)."""

    footprint: Polygon
    level_at: LevelAt


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


def cut_in(
    bench: Bench, lattice: Lattice, ground_m: Array, *, batter: float | tuple[float, float]
) -> Array:
    """The ground (ny, nx) in metres with a bench cut into it and its sides brought to meet it."""
    cut, fill = batter if isinstance(batter, tuple) else (batter, batter)
    window = _window(bench, lattice, ground_m, batter=max(cut, fill))
    after_m = ground_m.copy()
    after_m[window] = _cut_in_part(bench, part(lattice, window), ground_m[window], cut, fill)
    return after_m


def _window(
    bench: Bench, lattice: Lattice, ground_m: Array, *, batter: float
) -> tuple[slice, slice]:
    """The rows and columns that the bench and its sides can reach at the most."""
    edge = shapely.get_coordinates(bench.footprint.segmentize(lattice.cell_m))
    level_m = bench.level_at(edge)
    most_m = max(level_m.max() - ground_m.min(), ground_m.max() - level_m.min(), 0.0)
    reach_m = most_m * batter + 2 * lattice.cell_m
    return within(lattice, edge.min(axis=0) - reach_m, edge.max(axis=0) + reach_m)


def _cut_in_part(bench: Bench, lattice: Lattice, ground_m: Array, cut: float, fill: float) -> Array:
    """As `cut_in`, on the part of the lattice that the bench can reach."""
    nodes = shapely.points(lattice.nodes_m())
    shapely.prepare(bench.footprint)
    away_m = shapely.distance(bench.footprint, nodes)
    level_m = _nearest_level_m(bench, nodes, away_m)
    cover = _cover(bench.footprint, nodes, away_m, cell_m=lattice.cell_m) if not cut * fill else 0
    raised = _raised(ground_m, level_m, away_m, batter=fill, cover=cover)
    lowered = -_raised(-ground_m, -level_m, away_m, batter=cut, cover=cover)
    after_m = np.where(level_m > ground_m, raised, lowered)
    joined = _joined(after_m != ground_m, away_m == 0)
    return np.where(joined, after_m, ground_m)


def _nearest_level_m(bench: Bench, nodes: Array, away_m: Array) -> Array:
    """The bench's level at each node, or at the nearest point of its edge for nodes beyond."""
    beyond = away_m > 0
    points = shapely.get_coordinates(nodes).reshape(*nodes.shape, 2)
    across = shapely.shortest_line(bench.footprint, nodes[beyond])
    points[beyond] = shapely.get_coordinates(across)[::2]
    return bench.level_at(points.reshape(-1, 2)).reshape(away_m.shape)


def _raised(
    ground_m: Array, level_m: Array, away_m: Array, *, batter: float, cover: Array | int
) -> Array:
    """The ground filled up to a level, with sides that fall at the batter (0: vertical)."""
    if batter == 0:
        return ground_m + cover * (level_m - ground_m)
    return np.maximum(ground_m, level_m - away_m / batter)


def _cover(footprint: Polygon, nodes: Array, away_m: Array, *, cell_m: float) -> Array:
    """The share of each node's own square cell that lies inside the footprint."""
    to_edge_m = shapely.distance(footprint.boundary, nodes)
    cover = (away_m == 0).astype(float)
    near = to_edge_m < cell_m
    x, y = shapely.get_x(nodes[near]), shapely.get_y(nodes[near])
    half = cell_m / 2
    squares = shapely.box(x - half, y - half, x + half, y + half)
    cover[near] = shapely.area(shapely.intersection(squares, footprint)) / cell_m**2
    return np.asarray(cover)


def _joined(changed: BoolArray, inside: BoolArray) -> BoolArray:
    """Nodes of changed ground that are joined to the footprint itself."""
    pieces, _ = label(changed | inside, structure=np.ones((3, 3)))
    return np.asarray(np.isin(pieces, np.unique(pieces[inside])) & changed)


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
