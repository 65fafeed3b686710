"""The register of built things: how each kind of structure becomes a solid."""

from collections.abc import Callable

import numpy as np
from shapely.geometry import Polygon

from scenes.document import Structure
from scenes.fences import fence, stone_wall
from scenes.houses import house
from scenes.solids import HeightAt, Solid, prism

BELOW_M = 0.2


def box(structure: Structure, ground_m: HeightAt) -> Solid:
    """A plain box: its height above its floor, or above the ground at its middle."""
    outline = Polygon(structure.outline)
    edge = np.array(outline.exterior.coords)
    middle = np.array(outline.centroid.coords)
    foot_m = float(ground_m(middle)[0]) if structure.floor is None else structure.floor
    low_m = min(float(ground_m(edge).min()), foot_m) - BELOW_M
    body = prism("box", outline, low_m=low_m, high_m=foot_m + (structure.height or 0.0))
    return Solid(structure.name, "box", structure.open, (body,))


STRUCTURES: dict[str, Callable[[Structure, HeightAt], Solid]] = {
    "house": house,
    "garage": house,
    "shed": house,
    "fence": fence,
    "wall": stone_wall,
    "box": box,
}
"""The kinds computed so far, by the word of the document."""
