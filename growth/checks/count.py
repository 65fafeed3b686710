"""Counts that officers use: evergreen share, share of one kind or genus, plants per 100 ft.

Counted are the trees and shrubs (palms with trees, bamboo and cycads with shrubs) that stand
inside the lot in a year, kept ones too; dead and removed ones are not. Evergreen excludes
semi-evergreen. Lengths of reference are the lot line all round, and a bed's longest stretch:
the long side of the narrowest rectangle around it.

Source: plants per 100 ft of line, as buffer rules of towns count them (for instance Franklin
County ID: 5 major trees or 10 shrubs; Morrisville NC: 3 shade trees, both second hand).
"""

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from growth.ranges import Range, range_of_draws
from growth.stand import Draws, Stand
from scenes.countwords import EVERGREEN, GROUPS, LOT_LINE, OF_ONE_GENUS, OF_ONE_KIND, per_100_ft
from scenes.layout import BedShape
from scenes.lengths import METRES

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

HUNDRED_FEET_M = 100 * METRES["ft"]


def counts(
    boundary: Polygon, beds: Sequence[BedShape], stand: Stand, draws: Draws
) -> Mapping[str, Range]:
    """Every count by the words a requirement names it with; shares are 0-1."""
    standing = _standing(stand, draws) & _inside(boundary, stand)
    lines = {LOT_LINE: (boundary.length, np.ones(len(stand.plant), bool))}
    lines |= {bed.name: (stretch_m(bed.outline), _inside(bed.outline, stand)) for bed in beds}
    found = _shares(standing, stand)
    for group, kinds in GROUPS.items():
        counted = _of_kinds(stand, kinds)
        for line, (length_m, within) in lines.items():
            number = (standing & counted & within).sum(axis=2)
            density = number * (HUNDRED_FEET_M / length_m)
            found[per_100_ft(group, line)] = range_of_draws(density)
    return found


def stretch_m(outline: Polygon) -> float:
    """Length in metres of an outline: the long side of the narrowest rectangle around it."""
    corners = np.array(shapely.minimum_rotated_rectangle(outline).exterior.coords)
    return float(np.linalg.norm(np.diff(corners, axis=0), axis=1).max())


def genus(name: str) -> str:
    """The genus of a botanical name, a sign of hybrid left out."""
    return next(word for word in name.split() if word not in ("x", "×"))


def _shares(standing: BoolArray, stand: Stand) -> dict[str, Range]:
    """Shares of the trees and shrubs that stand; none in years when none do."""
    woody = standing & _of_kinds(stand, [kind for kinds in GROUPS.values() for kind in kinds])
    if not woody.any():
        return {}
    every = np.maximum(woody.sum(axis=2), 1)
    leaf = np.array([plant.leaf for plant in stand.plants])[stand.plant]
    kinds = np.array([plant.name for plant in stand.plants])[stand.plant]
    genera = np.array([genus(plant.name) for plant in stand.plants])[stand.plant]
    return {
        EVERGREEN: range_of_draws((woody & (leaf == "evergreen")).sum(axis=2) / every),
        OF_ONE_KIND: range_of_draws(_largest(woody, kinds) / every),
        OF_ONE_GENUS: range_of_draws(_largest(woody, genera) / every),
    }


def _largest(woody: BoolArray, names: NDArray[np.str_]) -> Array:
    """The number of plants of the name that most of them have, (D, Y)."""
    numbers = [woody[:, :, names == name].sum(axis=2) for name in np.unique(names)]
    return np.asarray(np.max(numbers, axis=0), float)


def _of_kinds(stand: Stand, kinds: Sequence[str]) -> BoolArray:
    """Which plants are of some kinds, (n,)."""
    return np.isin([plant.kind for plant in stand.plants], kinds)[stand.plant]


def _inside(outline: Polygon, stand: Stand) -> BoolArray:
    return np.asarray(shapely.intersects_xy(outline, *stand.xyz_m[:, :2].T), bool)


def _standing(stand: Stand, draws: Draws) -> BoolArray:
    """Which plants stand alive, (D, Y, n); one draw where none can die."""
    if draws.vigour is None:
        return stand.present[None]
    return stand.present & (draws.vigour > 0)
