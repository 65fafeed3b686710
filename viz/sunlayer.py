"""The layer of the sun: hours of direct sun a day on the open ground of the growing season.

The hours are those of `growth.checks.lotlight` in the years it maps. Reckoning them takes
seconds, so a served page asks for them when the layer is first chosen, and they are found in
a process of their own; a packed page has them in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from growth.checks.lotlight import light_over_lot
from growth.checks.sunmap import LotLight
from growth.memory import Memory
from scenes.document import Yard
from viz.grown import grown

STEPS_AN_HOUR = 10


def sun_layer(found: LotLight | None) -> Mapping[str, Any]:
    """Tenths of hours on every cell, south row first, one row of `tenths` for each mapped year;
    nothing without a latitude. Lengths are metres; `corner` is the middle of the first cell."""
    if found is None:
        return {}
    tenths = [np.round(STEPS_AN_HOUR * filled(year_h)) for year_h in found.season_h]
    return {
        "corner": list(found.corner_m),
        "cell": found.cell_m,
        "columns": found.season_h.shape[2],
        "years": list(found.sampled_years),
        "tenths": [each.astype(np.uint8).ravel() for each in tenths],
    }


def filled(hours: NDArray[np.float32]) -> NDArray[np.float32]:
    """The hours (ny, nx), those of the nearest cell where there are none: under buildings, which
    hide it, and beyond the lot, whose edge cuts it off."""
    missing = np.isnan(hours)
    nearest = distance_transform_edt(missing, return_distances=False, return_indices=True)
    return np.asarray(np.nan_to_num(hours[tuple(nearest)]))


def reckoned(yard: Yard) -> dict[str, Any]:
    """The layer of a yard, its arrays as lists, from its document alone.

    Raises SceneError or GrowthError for a wrong yard.
    """
    terrain, layout, stand = grown(yard)
    layer = dict(sun_layer(light_over_lot(yard, terrain, layout, stand, Memory())))
    return {**layer, "tenths": [each.tolist() for each in layer.get("tenths", ())]}
