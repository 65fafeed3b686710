"""How much direct sun reaches plants through the crowns round them, draw by draw.

Every sight line runs from a point on a plant's own axis towards the sun. Its own crown is left
out; of the others only those that the line can meet at their largest are looked at, as
`growth.beams` says. Stems without leaf, light scattered from leaf to leaf, and sunflecks are
left out.
"""

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.crownset import Crowns

if TYPE_CHECKING:
    from growth.beams import Bodies

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_PAIRS_AT_ONCE = 2048


@dataclass(frozen=True)
class Grove:
    """Crowns of n plants in T rows as the sun meets them, and their extremes over the rows."""

    foot_m: Array  # (n, 3)
    bodies: "Bodies"
    up_m: Floats  # (n, T) how far above its foot each plant is looked from
    radius_m: Floats  # (n,) largest
    top_m: Floats  # (n,) highest
    eye_m: Floats  # (n,) lowest


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


def grove(crowns: Crowns, up_m: Floats) -> Grove:
    """Crowns in leaf; up_m (T, n) is how far above its foot each plant is looked from."""
    from growth import beams  # loads the compiler, a quarter of a second

    foot = crowns.foot_m[:, 2].astype(np.float32)
    return Grove(
        foot_m=crowns.foot_m,
        bodies=beams.bodies(replace(crowns, density_per_m=crowns.density_per_m[:1])),
        up_m=beams.by_plant(up_m),
        radius_m=crowns.spread_m.max(axis=0) / 2,
        top_m=foot + crowns.height_m.max(axis=0),
        eye_m=foot + up_m.min(axis=0),
    )


def meetings(grove: Grove, targets: IntArray, towards: Array) -> Meetings:
    """Lines from plants towards the sun (m, 3) and the crowns each may meet in some row."""
    radius, top, eye = grove.radius_m, grove.top_m, grove.eye_m
    level = np.hypot(towards[:, 0], towards[:, 1])
    unit = (towards[:, :2] / level[:, None]).astype(np.float32)
    slope = (towards[:, 2] / level).astype(np.float32)
    number, plant = _pairs(grove.foot_m, radius, top - eye[targets, None], targets, slope.min())
    away = (grove.foot_m[plant] - grove.foot_m[targets[number]])[:, :2].astype(np.float32)
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


def sun_through_crowns(grove: Grove, towards: Array, found: Meetings) -> tuple[IntArray, Floats]:
    """The lines that may meet a crown, and the share of sun it lets through, (lines, T)."""
    from growth import beams

    first = np.flatnonzero(np.diff(found.line, prepend=-1))
    depth = np.empty((len(first), grove.up_m.shape[1]), np.float32)
    lines = (
        grove.bodies, grove.foot_m, grove.up_m, towards, found.target, found.sun, found.plant,
        np.append(first, len(found.line)),
    )  # fmt: skip
    in_parts(lambda start, end: beams.sun_through(*lines, start, end, depth), len(first))
    return found.line[first], np.exp(-depth)


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
