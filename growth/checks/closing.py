"""The year in which each spot of a bed closes, by the expected sizes, as a map.

A spot closes in the first year in which some crown that reaches down to it covers it.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from growth.checks.banks import Banks
from growth.checks.coverage import reaches_down
from growth.checks.findings import Closing
from growth.cover import cell_size_m, cells, first_covered, one_layer, painted
from growth.stand import Stand
from scenes.layout import BedShape

Array = NDArray[np.float64]


def closings(
    beds: Sequence[BedShape], stand: Stand, ground: Banks | None = None
) -> tuple[Closing, ...]:
    """The map of every bed, with true areas on `ground`, else those of the plan."""
    radius_m = np.where(reaches_down(stand), stand.spread_m.expected / 2, 0.0).T  # (n, years)
    found = [_closing(bed, stand, radius_m) for bed in beds]
    if ground is None:
        return tuple(found)
    return tuple(replace(one, over=ground.weigh(one.over)) for one in found)


def _closing(bed: BedShape, stand: Stand, radius_m: Array) -> Closing:
    years = radius_m.shape[1]
    over = cells(bed.outline, cell_size_m(bed.outline.area, np.inf))
    rising = (np.diff(radius_m, axis=1) >= 0).all(axis=1)
    xy_m = stand.xyz_m[:, :2]
    first = first_covered(over, one_layer(xy_m[rising], radius_m[rising]))[0]
    leaving = one_layer(xy_m[~rising], radius_m[~rising])
    for year in range(years) if len(leaving.xy_m) else ():
        first[painted(over, leaving, year)[0] & (first > year)] = year
    return Closing(bed.name, over, first, years)
