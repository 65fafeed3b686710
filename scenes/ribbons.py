"""Ground graded along a line: walks and drives, swales, steps and ramps.

A ribbon has levels along its centreline, or follows the ground there, smoothed. Steps and
ramps lie between two levels, or between the ground at both ends of their line. A swale is a
parabola across, as deep in its middle as written; it starts that deep under the ground at
its first point and falls at its own fall along the line, or follows the ground where none is
written. A swale only cuts: ground below its bottom stays, and is told with its place.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.ndimage import gaussian_filter1d
from shapely.geometry import LinearRing, LineString, Polygon

from scenes.benches import Bench, LevelAt, cut_in
from scenes.changes import Change
from scenes.document import Grading
from scenes.edges import beside, corners_along_m, edges_of, lengths_along_m, nearest_on
from scenes.flights import LANDING_M, ramp_flight, ramp_runs, steps_flight
from scenes.lattice import Array, Lattice, bilinear
from scenes.points import Point

LEAST_RISE_M = 1e-3

Profile = tuple[Array, Array]
"""Lengths along a line and the levels there, in metres."""


def ribbon(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """A band along a line; without levels it follows the ground there, smoothed along it."""
    line = LineString(operation.centreline or ())
    if operation.levels is None:
        profile = _followed(operation, line, lattice, ground_m)
    else:
        profile = _between(operation.levels, line)
    return _along(operation, line, profile, lattice, ground_m)


def steps(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """The even slope under steps, between two levels or the ground at both ends."""
    line = LineString(operation.centreline or ())
    ends_m = _ends_m(operation, lattice, ground_m)
    flight = steps_flight(
        rise_m=abs(ends_m[1] - ends_m[0]), length_m=line.length, risers=operation.risers or 1
    )
    change = _along(operation, line, _between(ends_m, line), lattice, ground_m)
    return replace(change, flight=flight)


def ramp(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """Runs of one slope between two levels, with a landing after each rise of 30 inches."""
    line = LineString(operation.centreline or ())
    low_m, high_m = _ends_m(operation, lattice, ground_m)
    runs = ramp_runs(abs(high_m - low_m))
    run_m = (line.length - (runs - 1) * LANDING_M) / runs
    if run_m < LANDING_M:
        raise ValueError(f"too short for {runs} runs and their landings; make the line longer")
    starts_m = (run_m + LANDING_M) * np.arange(runs)
    along_m = np.stack([starts_m, starts_m + run_m], axis=-1).ravel()
    share = np.repeat(np.arange(runs + 1) / runs, 2)[1:-1]
    flight = ramp_flight(rise_m=abs(high_m - low_m), length_m=line.length)
    profile = along_m, low_m + share * (high_m - low_m)
    return replace(_along(operation, line, profile, lattice, ground_m), flight=flight)


def swale(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """A parabolic channel cut along a line."""
    line = LineString(operation.centreline or ())
    half_m, depth_m = (operation.width or 0.0) / 2, operation.depth or 0.0
    if operation.fall_percent is None:
        along_m, level_m = _followed(operation, line, lattice, ground_m)
    else:
        along_m = np.array([0.0, line.length])
        start_m = bilinear(lattice, ground_m, np.array(line.coords[:1]))[0]
        level_m = start_m - operation.fall_percent / 100 * along_m
    edges_m = edges_of(line)

    def level_at(xy_m: Array) -> Array:
        near = nearest_on(edges_m, xy_m)
        bottom_m = np.interp(near.along_m, along_m, level_m) - depth_m
        return np.asarray(bottom_m + depth_m * (near.right_m / half_m) ** 2)

    bench = Bench(band(operation.centreline or (), width_m=2 * half_m), level_at)
    change = cut_in(bench, lattice, ground_m, batter=operation.batter, raises=False)
    return replace(change, remarks=_stranded(line, level_at, lattice, ground_m))


def _stranded(
    line: LineString, level_at: LevelAt, lattice: Lattice, ground_m: Array
) -> tuple[tuple[str, Point], ...]:
    """Where a swale's bottom lies highest above the ground, if it does anywhere."""
    points = beside(line, lengths_along_m(line, step_m=lattice.cell_m))
    above_m = level_at(points) - bilinear(lattice, ground_m, points)
    worst = int(above_m.argmax())
    if above_m[worst] <= 0:
        return ()
    return (("the ground is lower than the swale's bottom", tuple(points[worst].tolist())),)


def band(centreline: Sequence[Point], *, width_m: float) -> Polygon:
    """The area along a line; a line that ends where it starts goes round without a seam."""
    closed = len(centreline) > 3 and centreline[0] == centreline[-1]
    line = LinearRing(centreline) if closed else LineString(centreline)
    return line.buffer(width_m / 2, cap_style="flat", join_style="mitre", mitre_limit=2)


def _along(
    operation: Grading, line: LineString, profile: Profile, lattice: Lattice, ground_m: Array
) -> Change:
    """The ground with a band of a profile along a line, and its sides, cut in."""
    crossfall = (operation.crossfall_percent or 0.0) / 100
    crown = (operation.crown_percent or 0.0) / 100
    edges_m = edges_of(line)

    def level_at(xy_m: Array) -> Array:
        near = nearest_on(edges_m, xy_m)
        middle_m = np.interp(near.along_m, *profile)
        right_m = near.right_m
        return np.asarray(middle_m - crossfall * right_m - crown * np.abs(right_m))

    footprint = band(operation.centreline or (), width_m=operation.width or 0.0)
    return cut_in(Bench(footprint, level_at), lattice, ground_m, batter=operation.batter)


def _ends_m(operation: Grading, lattice: Lattice, ground_m: Array) -> tuple[float, float]:
    """The levels at both ends of steps or a ramp, as written or of the ground there."""
    ends = np.array(operation.centreline or ())[[0, -1]]
    first_m, last_m = operation.levels or bilinear(lattice, ground_m, ends)
    if abs(last_m - first_m) < LEAST_RISE_M:
        raise ValueError("both ends are at one level; give steps and ramps a rise")
    return float(first_m), float(last_m)


def _between(levels_m: Sequence[float], line: LineString) -> Profile:
    """Levels at each point of a line, or at its two ends."""
    if len(levels_m) == len(line.coords):
        return corners_along_m(edges_of(line)), np.array(levels_m)
    return np.array([0.0, line.length]), np.array([levels_m[0], levels_m[-1]])


def _followed(operation: Grading, line: LineString, lattice: Lattice, ground_m: Array) -> Profile:
    """The ground along a line, smoothed over the width of its band."""
    along_m = lengths_along_m(line, step_m=lattice.cell_m)
    spread = (operation.width or 0.0) / along_m[1]
    return along_m, smoothed(bilinear(lattice, ground_m, beside(line, along_m)), spread=spread)


def smoothed(level_m: Array, *, spread: float) -> Array:
    """Levels (n,) smoothed over `spread` steps; both ends and an even slope stay as they are."""
    chord_m = np.linspace(level_m[0], level_m[-1], len(level_m))
    out_m = level_m - chord_m
    mirrored = np.concatenate([-out_m[:0:-1], out_m, -out_m[-2::-1]])
    even = gaussian_filter1d(mirrored, min(spread, len(out_m)), mode="nearest")
    return np.asarray(chord_m + even[len(out_m) - 1 : 2 * len(out_m) - 1])
