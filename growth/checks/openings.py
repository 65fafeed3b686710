"""Where one plant more would help most: in line with a gap, or in the middle of bare ground.

A gap of a view is hidden by a plant anywhere between eye and panel; the place is taken at the
distance at which the plants of the row stand that hides there already. Bare ground is
helped at the point that is farthest from all crowns and from the edge.
"""

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage
from shapely.geometry.base import BaseGeometry

from growth.checks.measured import Measured
from growth.cover import cells, one_layer, painted
from growth.stand import Stand
from scenes.document import Requirement
from scenes.points import Point
from scenes.surfaces import building_outlines

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

CELLS = 4_000
"""Cells of an outline in which the barest point is looked for."""


def before_gap(
    requirement: Requirement, season: str, measured: Measured, plants: IntArray
) -> Point | None:
    """The place in line with the largest gap of a view, as far from the eye as some plants."""
    look = next((one for one in measured.layout.looks if one.name == requirement.of), None)
    views = (v for v in measured.screening if (v.view, v.season) == (requirement.of, season))
    gaps = [gap for view in views for gap in view.gaps if gap.year == requirement.year]
    if look is None or not gaps or not len(plants):
        return None
    left, right = look.panel_m[0, :2], look.panel_m[1, :2]
    along = (gaps[0].along_m + gaps[0].width_m / 2) / np.linalg.norm(right - left)
    sight = left + along * (right - left) - look.eye_m[:2]
    away = (measured.stand.xyz_m[plants, :2] - look.eye_m[:2]) @ sight / (sight @ sight)
    at = look.eye_m[:2] + float(np.median(away)) * sight
    return float(at[0]), float(at[1])


def barest(outline: BaseGeometry, stand: Stand, radius_m: Array) -> Point | None:
    """The point inside an outline that is farthest from all crowns of radius (n,)."""
    if outline.is_empty:
        return None
    over = cells(outline, float(np.sqrt(outline.area / CELLS)))
    discs = one_layer(stand.xyz_m[:, :2], radius_m[:, None])
    bare = np.pad((over.weight > 0.5) & ~painted(over, discs, 0)[0], 1)
    away = ndimage.distance_transform_edt(bare)
    row, column = np.unravel_index(away.argmax(), away.shape)
    if away[row, column] < 1:
        return None
    return over.x0_m + (column - 0.5) * over.cell_m, over.y0_m + (row - 0.5) * over.cell_m


def plantable(measured: Measured) -> BaseGeometry:
    """The lot without what is built or paved on it."""
    hard = [s.outline for s in measured.layout.surfaces if s.kind != "lawn"]
    built = building_outlines(measured.yard).values()
    return shapely.difference(measured.terrain.boundary, shapely.union_all([*hard, *built]))
