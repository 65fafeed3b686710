"""How much direct sun reaches plants through the crowns round them, draw by draw.

Every sight line runs from a point on a plant's own axis towards the sun. Its own crown is left
out; of the others only those that the line can meet at their largest are looked at, as
`growth.beams` says. Stems without leaf, light scattered from leaf to leaf, and sunflecks are
left out.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.crownset import Crowns

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_PAIRS_AT_ONCE = 2048


@dataclass(frozen=True)
class Meetings:
    """Lines and the crowns each may meet, by line and from near to far; all (p,)."""

    line: IntArray
    """Number of the target among the targets times directions, plus that of the direction."""
    target: IntArray
    plant: IntArray
    sun: IntArray
    along_m: Floats
    """Level distance from the target to where the line passes the crown's axis."""
    aside_m: Floats

    def only(self, chosen: BoolArray | IntArray | slice) -> "Meetings":
        """Some of them, in their order."""
        return Meetings(*(getattr(self, field.name)[chosen] for field in fields(self)))


def meetings(crowns: Crowns, up_m: Floats, targets: IntArray, towards: Array) -> Meetings:
    """Lines from plants towards the sun (m, 3) and the crowns each may meet in some row.

    up_m (T, n) is how far above its foot each plant is looked from.
    """
    radius, top, eye = _extremes(crowns, up_m)
    level = np.hypot(towards[:, 0], towards[:, 1])
    unit = (towards[:, :2] / level[:, None]).astype(np.float32)
    slope = (towards[:, 2] / level).astype(np.float32)
    number, plant = _pairs(crowns.foot_m, radius, top - eye[targets, None], targets, slope.min())
    away = (crowns.foot_m[plant] - crowns.foot_m[targets[number]])[:, :2].astype(np.float32)
    kept = []
    for first in range(0, max(1, len(number)), _PAIRS_AT_ONCE):
        part = slice(first, first + _PAIRS_AT_ONCE)
        along, aside = away[part] @ unit.T, away[part] @ np.stack([unit[:, 1], -unit[:, 0]])
        target, other = targets[number[part]], plant[part]
        rise = (top[other] - eye[target])[:, None]
        pair, sun = np.nonzero(_can_meet(along, aside, radius[other, None], rise, slope))
        line = number[part][pair] * len(towards) + sun
        kept.append((line, target[pair], other[pair], sun, along[pair, sun], aside[pair, sun]))
    found = Meetings(*(np.concatenate(column) for column in zip(*kept, strict=True)))
    return found.only(np.lexsort((found.along_m - radius[found.plant], found.line)))


def sun_through_crowns(
    crowns: Crowns, up_m: Floats, towards: Array, found: Meetings
) -> tuple[IntArray, Floats]:
    """The lines that meet a crown in some row, and the share of sun they let through (T, lines)."""
    radius, top, eye = _extremes(crowns, up_m)
    slope = (towards[:, 2] / np.hypot(towards[:, 0], towards[:, 1])).astype(np.float32)
    rise = top[found.plant] - eye[found.target]
    found = found.only(
        _can_meet(found.along_m, found.aside_m, radius[found.plant], rise, slope[found.sun])
    )
    first = np.flatnonzero(np.diff(found.line, prepend=-1))
    return found.line[first], np.exp(-_depth(crowns, up_m, towards, found, first)).T


def _extremes(crowns: Crowns, up_m: Floats) -> tuple[Floats, Floats, Floats]:
    """Largest radius, highest top and lowest eye of every plant over the rows, (n,)."""
    foot = crowns.foot_m[:, 2].astype(np.float32)
    radius = crowns.spread_m.max(axis=0) / 2
    return radius, foot + crowns.height_m.max(axis=0), foot + up_m.min(axis=0)


def _can_meet(
    along: Floats, aside: Floats, radius: Floats, rise: Floats, slope: Floats
) -> BoolArray:
    """Whether lines pass over the upright cylinder round a crown, and below its top."""
    half = np.sqrt(np.maximum(radius**2 - aside**2, 0))
    met: BoolArray = (half > 0) & (along + half > 0) & (np.maximum(along - half, 0) * slope < rise)
    return met


def _pairs(
    foot: Array, radius: Floats, rise: Floats, targets: IntArray, lowest: float
) -> tuple[IntArray, IntArray]:
    """Targets, by their number, and the other plants whose top can stand before the lowest sun."""
    away = np.hypot(*(foot[None, :, :2] - foot[targets, None, :2]).transpose(2, 0, 1))
    near = (np.maximum(away - radius, 0) * lowest < rise) & (radius > 0)
    near[np.arange(len(targets)), targets] = False
    number, plant = np.nonzero(near)
    return number, plant


def _depth(
    crowns: Crowns, up_m: Floats, towards: Array, found: Meetings, first: IntArray
) -> Floats:
    """Leaf depth, density times metres, of lines whose meetings start at `first`, (lines, T)."""
    from growth import beams  # loads the compiler, a quarter of a second

    in_leaf = replace(crowns, density_per_m=crowns.density_per_m[:1])
    bodies, up = beams.bodies(in_leaf), beams.by_plant(up_m)
    depth = np.empty((len(first), up.shape[1]), np.float32)
    lines = (
        bodies, crowns.foot_m, up, towards, found.target, found.sun, found.plant,
        np.append(first, len(found.line)),
    )  # fmt: skip
    in_parts(lambda start, end: beams.sun_through(*lines, start, end, depth), len(first))
    return depth[:, : len(up_m)]
