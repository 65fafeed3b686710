"""The smallest sizes at planting, as officers check them: caliper and height of trees, height of
shrubs, over all that is planted. Kept plants are not among it; sizes are those of the nursery
stock that is written (`growth.nursery`), so they have no range.

Source: least sizes at planting as town codes write them, for instance Montgomery County,
Maryland, zoning 6.4: canopy trees of 2 in caliper or 14 ft, understory trees of 1.5 in or 10 ft
(second hand).
"""

from collections.abc import Mapping, Sequence

import numpy as np

from growth.nursery import PlantedSize, planted_size
from growth.plants import Plant
from growth.ranges import Range
from growth.stand import Stand
from scenes.countwords import CALIPER, GROUPS, SHRUB_HEIGHT, SIZE_UNITS, TREE_HEIGHT
from scenes.layout import Source


def smallest_sizes(stand: Stand, sources: Sequence[Source]) -> Mapping[str, Range]:
    """The smallest sizes at planting by the words a count names them with; none of what is not
    planted."""
    planted = _planted(stand, sources)
    of_what: dict[str, list[float | None]] = {
        CALIPER: [size.caliper_m for plant, size in planted if plant.kind in GROUPS["trees"]],
        TREE_HEIGHT: [size.height_m for plant, size in planted if plant.kind in GROUPS["trees"]],
        SHRUB_HEIGHT: [size.height_m for plant, size in planted if plant.kind in GROUPS["shrubs"]],
    }
    found = {}
    for words, sizes_m in of_what.items():
        known_m = [size_m for size_m in sizes_m if size_m is not None]
        for unit, metres in SIZE_UNITS[words].items() if known_m else ():
            same = np.full(len(stand.years), min(known_m) / metres)
            found[f"{words} in {unit}"] = Range(low=same, expected=same, high=same)
    return found


def _planted(stand: Stand, sources: Sequence[Source]) -> list[tuple[Plant, PlantedSize]]:
    """Each table of plantings that has plants: its kind and their size."""
    found = []
    for number in np.unique(stand.source):
        planting = sources[number].planting
        plant = stand.plants[stand.plant[np.argmax(stand.source == number)]]
        if planting is not None:
            found.append((plant, planted_size(planting, plant)))
    return found
