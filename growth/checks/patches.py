"""Cover of an outline patch by patch: after an edit only patches within reach of it are painted.

Cells of the outline come in square patches; what is covered of one is remembered by the plants
whose crowns can reach it, and where they stand.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.banks import Banks
from growth.cover import Cells, cell_size_m, cells, covered_patches
from growth.memory import Marks, Memory, digest

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

PATCHES, LEAST_PATCH_M = 16, 2.5
"""Patches of an outline, about, and the smallest side of one: each is 60 kB of memory."""


@dataclass(frozen=True)
class Canvas:
    """Crowns of n plants seen from above, in joint draws over the years."""

    xy_m: Array  # (n, 2)
    largest_m: NDArray[np.floating]  # (n,) largest radius
    marks: Marks  # (n,) all that the radii are made from
    shape: tuple[int, int]  # draws and years
    radius_m: Callable[[IntArray], NDArray[np.floating]]
    """Radii of some of them, (D, Y, few)."""


def share_in_patches(
    outline: BaseGeometry, crowns: Canvas, memory: Memory, *, ground: Banks | None = None
) -> Array:
    """Share of an outline under crowns, (D, Y); on `ground` by true areas."""
    near = np.flatnonzero(
        (crowns.largest_m > 0)
        & (shapely.distance(outline, shapely.points(crowns.xy_m)) < crowns.largest_m)
    )
    if not len(near):
        return np.zeros(crowns.shape)
    made_from = digest(outline, ground and ground.name, crowns.shape)
    return memory.whole(
        ("cover", made_from, crowns.marks[near], crowns.xy_m[near]),
        lambda: _painted(outline, near, crowns, memory, ground, made_from),
    )


def _painted(
    outline: BaseGeometry, near: IntArray, crowns: Canvas, memory: Memory, ground: Banks | None,
    made_from: bytes,
) -> Array:  # fmt: skip
    narrowest_m = 2 * float(crowns.largest_m[near].min())
    over = cells(outline, cell_size_m(outline.area, narrowest_m, layers=crowns.shape[0]))
    over = over if ground is None else ground.weigh(over)
    patches = _patches(over)
    held = [near[_reach(patch, crowns, near)] for patch in patches]
    names = [
        ("patch", made_from, (patch.x0_m, patch.y0_m, patch.cell_m), crowns.marks[some],
         crowns.xy_m[some])
        for patch, some in zip(patches, held, strict=True)
    ]  # fmt: skip

    def make(missing: list[int]) -> list[Array]:
        some = np.unique(np.concatenate([held[number] for number in missing]))
        few = [np.searchsorted(some, held[number]) for number in missing]
        wanted = [patches[number] for number in missing]
        return list(covered_patches(wanted, crowns.xy_m[some], crowns.radius_m(some), few))

    return np.asarray(np.sum(memory.each(names, make), axis=0) / over.weight.sum())


def _patches(over: Cells) -> list[Cells]:
    """The cells in squares, those without any weight left out."""
    rows, columns = over.weight.shape
    side = max(LEAST_PATCH_M / over.cell_m, np.sqrt(rows * columns / PATCHES))
    side = int(np.ceil(side))
    parts = [
        over.part(row, column, side)
        for row in range(0, rows, side)
        for column in range(0, columns, side)
    ]
    return [part for part in parts if part.weight.any()]


def _reach(patch: Cells, crowns: Canvas, near: IntArray) -> NDArray[np.bool_]:
    """Which of some crowns can reach a patch."""
    low = np.array([patch.x0_m, patch.y0_m])
    high = low + patch.cell_m * np.array(patch.weight.shape[::-1])
    xy = crowns.xy_m[near]
    away = np.maximum(0, np.maximum(low - xy, xy - high))
    return np.asarray(np.hypot(*away.T) < crowns.largest_m[near])
