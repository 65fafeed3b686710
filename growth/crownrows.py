"""Crowns of a stand's joint draws in rows of sizes, as sight lines and sun lines meet them.

A row holds one draw in one year; rows run year by year, so that rows of like size stand
together. Crowns have the form of their kind and its density, in leaf and bare.
"""

import numpy as np
from numpy.typing import NDArray

from growth.crowns import FORMS
from growth.crownset import Crowns
from growth.leafage import densities_per_m
from growth.stand import DrawArray, Draws, Stand

IntArray = NDArray[np.int64]


def crowns_in_rows(stand: Stand, draws: Draws, plants: IntArray) -> Crowns:
    """The crowns of some plants, one row for each year and draw."""
    some = draws.of(plants)

    def rows(of: DrawArray) -> DrawArray:
        draws, years, count = of.shape
        return of.transpose(1, 0, 2).reshape(years * draws, count)

    sizes = (some.height_m, some.spread_m, some.crown_base_m)
    return _crowns(
        stand,
        plants,
        *(rows(size) for size in sizes),
        vigour=None if some.vigour is None else rows(some.vigour),
    )


def largest_crowns(stand: Stand, draws: Draws) -> Crowns:
    """The room that each plant's crown takes up over all draws and years, in one row."""
    rows = (size[None] for size in draws.room)
    return _crowns(stand, np.arange(len(stand.plant)), *rows, vigour=None)


def _crowns(
    stand: Stand,
    plants: IntArray,
    height_m: DrawArray,
    spread_m: DrawArray,
    base_m: DrawArray,
    *,
    vigour: DrawArray | None,
) -> Crowns:
    kind = stand.plant[plants]
    return Crowns(
        stand.xyz_m[plants],
        height_m,
        spread_m,
        base_m,
        tuple(FORMS[plant.form] for plant in stand.plants),
        kind,
        densities_per_m(stand.plants)[:, kind],
        vigour,
    )
