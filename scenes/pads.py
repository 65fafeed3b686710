"""Pads: levelled areas, flat, evenly falling, or through a level at each corner.

One level holds at the middle (centroid) of the outline, so that a fall moves no soil on
balance. A level at each corner makes flat triangles between them.
"""

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from shapely.geometry import Polygon

from scenes.benches import Bench, LevelAt, cut_in
from scenes.changes import Change
from scenes.document import Grading
from scenes.lattice import Array, Lattice


def pad(operation: Grading, lattice: Lattice, ground_m: Array) -> Change:
    """The ground with a pad and its sides cut in."""
    footprint = Polygon(operation.outline)
    bench = Bench(footprint, _levels(operation, footprint))
    return cut_in(bench, lattice, ground_m, batter=operation.batter)


def _levels(operation: Grading, footprint: Polygon) -> LevelAt:
    if operation.levels is not None and len(operation.levels) > 1:
        return _through_points(footprint, operation.levels)
    level_m = operation.levels[0] if operation.levels is not None else operation.level
    middle = np.array(footprint.centroid.coords[0])
    azimuth = np.radians(operation.fall_towards_deg or 0.0)
    fall = (operation.fall_percent or 0.0) / 100 * np.array([np.sin(azimuth), np.cos(azimuth)])
    return lambda xy_m: level_m - (xy_m - middle) @ fall


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
