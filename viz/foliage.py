"""The register of drawn plants: which builder draws which form, and at which sizes.

Every kind of plant is drawn at one to three metric sizes (young, middle, mature); each plant
in the yard takes the nearest and is stretched by the rest, so leaves keep their size. A plant
that drops its leaves has a second drawing for the bare season. Sizes in metres.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from growth.plants import Plant
from viz.atlas import cell_uv
from viz.body import Body
from viz.cards import Array, BoolArray, Quads
from viz.foliage_blades import fern, grass, palm, rosette, strap
from viz.foliage_conifer import plumed, spruce
from viz.foliage_low import climber, mat, sheet
from viz.foliage_weeping import weeping
from viz.foliage_woody import perennial, shrub, tree

Builder = Callable[..., Quads]

FLOWER_CELLS = ("floral", "bloom", "spike")
"""Pieces of the atlas that are flowers."""


@dataclass(frozen=True)
class Drawing:
    """One metric size of a kind of plant, in leaf with its flowers and, if it differs, bare."""

    height_m: float
    spread_m: float
    leaf: Quads
    bare: Quads | None


BY_FORM: dict[str, Builder] = {
    "weeping": weeping,
    "palm": palm,
    "rosette": rosette,
    "strap": strap,
    "mat": mat,
    "sheet": sheet,
    "climber": climber,
}
"""Forms that are drawn one way whatever the kind of plant."""

NEEDLES: dict[str, Builder] = {"needle": spruce, "scale": plumed}
"""Evergreen trees and upright shrubs by their leaf card."""


def builder(plant: Plant) -> Builder:
    """The function that draws a plant of this form, kind and leaf card."""
    if plant.form in BY_FORM:
        return BY_FORM[plant.form]
    if plant.kind == "fern":
        return fern
    if plant.kind in ("grass", "bamboo") or plant.card == "blade":
        return grass
    if plant.kind == "tree" and plant.form == "columnar" and plant.card in NEEDLES:
        return plumed
    if plant.kind == "tree":
        return NEEDLES.get(plant.card, tree)
    if plant.form == "upright" and plant.card in NEEDLES:
        return plumed
    return shrub if plant.kind == "shrub" else perennial


def drawing(plant: Plant, *, height_m: float, spread_m: float) -> Drawing:
    """The plant at one size; only what drops its leaves has a bare drawing."""
    grown = min(1.0, height_m / (sum(plant.height_m) / 2))
    flowering = bool(plant.colour_flower and plant.flower_months)
    body = Body(plant, height_m, spread_m, grown, flowering)
    draw = builder(plant)
    bare = None
    if plant.leaf == "deciduous":
        bare = draw(replace(body, flowering=False), bare=True)
    return Drawing(height_m, spread_m, draw(body, bare=False), bare)


def flowers(quads: Quads) -> BoolArray:
    """Which pieces (n,) are flowers."""
    middle = quads.uv.mean(axis=1)
    flower = np.zeros(len(middle), dtype=bool)
    for name in FLOWER_CELLS:
        corners = cell_uv(name)
        inside = (middle > corners.min(axis=0)) & (middle < corners.max(axis=0))
        flower |= inside.all(axis=1)
    return flower


def without_flowers(quads: Quads) -> Quads:
    """The pieces that are not flowers."""
    return chosen(quads, ~flowers(quads))


def chosen(quads: Quads, which: BoolArray) -> Quads:
    """Some of the pieces."""
    return Quads(*(part[which] for part in (quads.points_m, quads.normals, quads.uv, quads.tint)))


def stage_sizes_m(height_m: Array, spread_m: Array) -> list[tuple[float, float]]:
    """Native (height, spread) of one to three stages that cover all sizes of a kind.

    Stages lie evenly in the logarithm of the size, so a plant is stretched as little as
    possible: by the sixth root of largest over smallest at the most.
    """
    bulk = np.log(height_m * spread_m**2) / 3
    reach = float(np.ptp(bulk))
    count = 1 if reach < 0.35 else 2 if reach < 0.9 else 3
    order = np.argsort(bulk)
    wanted = bulk.min() + (np.arange(count) + 0.5) / count * reach
    native = [
        np.exp(np.interp(wanted, bulk[order], np.log(size[order]))) for size in (height_m, spread_m)
    ]
    return list(zip(*(sizes.tolist() for sizes in native), strict=True))
