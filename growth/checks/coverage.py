"""How much of each bed is closed, year by year, with its range over joint draws.

A bed is closed by crowns that reach down to it. Trees and palms on a bare stem, a crown base
above a tenth of the height when mature, shade a bed and do not close it; all others count by
the union of their crowns seen from above, inside the bed's outline. All beds together are
the sum of the covered areas in each draw, so the range of the whole is joint as well.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.banks import Banks
from growth.checks.findings import BedCover
from growth.checks.patches import Canvas, share_in_patches
from growth.cover import Discs, cell_size_m, cells, covered_share
from growth.crowns import FORMS, base_share
from growth.memory import Memory
from growth.ranges import range_of_draws
from growth.stand import Draws, Stand
from scenes.layout import BedShape

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

CLOSED_SHARE = 0.95
"""A bed counts as closed from this cover on (ruling on years)."""

RAISED_SHARE = 0.1
"""A mature crown based above this share of the height shades a bed, and does not close it."""


def coverage(
    beds: Sequence[BedShape],
    stand: Stand,
    draws: Draws,
    memory: Memory | None = None,
    *,
    ground: Banks | None = None,
) -> tuple[tuple[BedCover, ...], BedCover | None]:
    """Cover of every bed, and of all beds together (None where there are no beds).

    On `ground` areas are true ones, measured along its slope; else those of the plan.
    """
    memory = memory or Memory()
    shares = [_share_of_bed(bed.outline, stand, draws, memory, ground) for bed in beds]
    covers = tuple(
        _cover(bed.name, _area_m2(bed.outline, ground), share)
        for bed, share in zip(beds, shares, strict=True)
    )
    if not covers:
        return (), None
    areas = [cover.area_m2 for cover in covers]
    together = np.average(np.array(shares), axis=0, weights=areas)
    return covers, _cover("lot", sum(areas), together)


def _area_m2(outline: BaseGeometry, ground: Banks | None) -> float:
    if ground is None:
        return float(outline.area)
    return ground.weigh(cells(outline, cell_size_m(outline.area, np.inf))).area_m2


def _share_of_bed(
    outline: BaseGeometry, stand: Stand, draws: Draws, memory: Memory, ground: Banks | None
) -> Array:
    """Share of a bed under crowns that reach down to it, (D, Y)."""
    low = np.flatnonzero(reaches_down(stand))
    crowns = Canvas(
        stand.xyz_m[low, :2],
        draws.room.spread_m[low] / 2,
        draws.marks[low],
        draws.shape[:2],
        lambda some: draws.of(low[some]).spread_m / 2,
    )
    return share_in_patches(outline, crowns, memory, ground=ground)


def may_cover(outline: BaseGeometry, stand: Stand, draws: Draws) -> BoolArray:
    """Plants whose crown reaches over an outline in some draw and year, (n,)."""
    largest_m = draws.room.spread_m / 2
    away_m = shapely.distance(outline, shapely.points(stand.xyz_m[:, :2]))
    return np.asarray((largest_m > 0) & (away_m < largest_m))


def reaches_down(stand: Stand) -> BoolArray:
    """Whether each plant's mature crown starts low enough to close a bed, (n,)."""
    grown = np.ones(1)
    low = [
        base_share(FORMS[plant.form], kind=plant.kind, grown=grown)[0] <= RAISED_SHARE
        for plant in stand.plants
    ]
    return np.array(low, bool)[stand.plant]


def share_under(
    outline: BaseGeometry,
    xy_m: Array,
    radius_m: NDArray[np.floating],
) -> Array:
    """Share of an outline under crowns of radius (D, Y, n) at points (n, 2), (D, Y)."""
    draws, years, _ = radius_m.shape
    largest = radius_m.max(axis=(0, 1), initial=0)
    near = (largest > 0) & (shapely.distance(outline, shapely.points(xy_m)) < largest)
    if not near.any():
        return np.zeros((draws, years))
    count = int(near.sum())
    cell_m = cell_size_m(outline.area, 2 * float(largest[near].min()), layers=draws)
    discs = Discs(
        xy_m=np.tile(xy_m[near], (draws, 1)),
        radius_m=radius_m[:, :, near].transpose(0, 2, 1).reshape(draws * count, years),
        layer=np.repeat(np.arange(draws), count),
        layers=draws,
    )
    return covered_share(cells(outline, cell_m), discs)


def _cover(name: str, area_m2: float, share: Array) -> BedCover:
    fraction = range_of_draws(share)
    closed = np.flatnonzero(fraction.expected >= CLOSED_SHARE)
    return BedCover(name, area_m2, fraction, int(closed[0]) if len(closed) else None)
