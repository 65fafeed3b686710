"""How much direct sun reaches plants through the crowns round them, draw by draw.

Every sight line runs from a point on a plant's own axis towards the sun. Its own crown is left
out; of the others only those that the line can meet at their largest are looked at, as
`growth.beams` says. Stems without leaf, light scattered from leaf to leaf, and sunflecks are
left out.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.crownset import Crowns
from growth.memory import Memory, digest

if TYPE_CHECKING:
    from growth.beams import Bodies

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
Marks = NDArray[np.uint64]


@dataclass(frozen=True)
class Grove:
    """Crowns of n plants in T rows as the sun meets them, and their extremes over the rows."""

    origin: bytes  # a digest of all but the places
    foot_m: Array  # (n, 3)
    bodies: "Bodies"
    up_m: Floats  # (n, T) how far above its foot each plant is looked from
    radius_m: Floats  # (n,) largest
    top_m: Floats  # (n,) highest
    eye_m: Floats  # (n,) lowest


@dataclass(frozen=True)
class Meetings:
    """Lines from k targets towards m suns, and the crowns each may meet, from near to far.

    Line i runs from target i // m towards sun i % m and may meet plant[ends[i - 1]:ends[i]].
    """

    targets: IntArray  # (k,) plants
    towards: Array  # (m, 3)
    ends: IntArray  # (k m,)
    plant: IntArray


def grove(crowns: Crowns, up_m: Floats, origin: bytes = b"") -> Grove:
    """Crowns in leaf; up_m (T, n) is how far above its foot each plant is looked from."""
    from growth import beams  # loads the compiler, a quarter of a second

    foot = crowns.foot_m[:, 2].astype(np.float32)
    return Grove(
        origin=origin,
        foot_m=crowns.foot_m,
        bodies=beams.bodies(replace(crowns, density_per_m=crowns.density_per_m[:1])),
        up_m=beams.by_plant(up_m),
        radius_m=crowns.spread_m.max(axis=0) / 2,
        top_m=foot + crowns.height_m.max(axis=0),
        eye_m=foot + up_m.min(axis=0),
    )


def level_ways(towards: Array) -> Floats:
    """Level unit vectors of directions (m, 3), and their rise per level metre, (3, m)."""
    level = np.hypot(towards[:, 0], towards[:, 1])
    return np.ascontiguousarray((towards / level[:, None]).T, np.float32)


def neighbours(grove: Grove, targets: IntArray, towards: Array) -> tuple[IntArray, IntArray]:
    """Targets, by their number, and the other plants that can stand before the lowest sun."""
    lowest = (towards[:, 2] / np.hypot(towards[:, 0], towards[:, 1])).min()
    foot = grove.foot_m[:, :2]
    away = np.hypot(*(foot - foot[targets, None]).transpose(2, 0, 1)) - grove.radius_m
    rise = grove.top_m - grove.eye_m[targets, None]
    near = (np.maximum(away, 0) * lowest < rise) & (grove.radius_m > 0)
    near[np.arange(len(targets)), targets] = False
    number, plant = np.nonzero(near)
    return number, plant


def meetings(grove: Grove, targets: IntArray, towards: Array) -> Meetings:
    """Lines from plants towards the sun (m, 3) and the crowns each may meet in some row."""
    from growth import sunward  # loads the compiler

    number, others = neighbours(grove, targets, towards)
    lines = (
        grove.foot_m, grove.radius_m, grove.top_m, grove.eye_m, targets,
        np.searchsorted(number, np.arange(len(targets) + 1)), others,
        level_ways(towards),
    )  # fmt: skip
    count = np.zeros((len(targets), len(towards)), np.int64)
    in_parts(lambda first, end: sunward.count_met(*lines, first, end, count), len(targets))
    ends = np.cumsum(count)
    met = np.empty(int(count.sum()), np.int64)
    near = np.empty(len(met))
    in_parts(lambda first, end: sunward.list_met(*lines, first, end, ends, met, near), len(targets))
    return Meetings(targets, towards, ends, met)


def sun_through_crowns(
    grove: Grove, found: Meetings, memory: Memory | None = None, *, part: str = ""
) -> tuple[IntArray, Floats]:
    """The lines that may meet a crown, and the share of sun it lets through, (lines, T)."""
    memory = memory or Memory()
    line = np.flatnonzero(np.diff(found.ends, prepend=0))
    marks = _marks(grove, found, line)
    return line, memory.rows(part, marks, lambda few: _through(grove, found, line[few]))


def _through(grove: Grove, found: Meetings, line: IntArray) -> Floats:
    from growth import beams

    depth = np.empty((len(line), grove.up_m.shape[1]), np.float32)
    lines = (
        grove.bodies, grove.foot_m, grove.up_m, found.towards, found.targets, line, found.ends,
        found.plant,
    )  # fmt: skip
    in_parts(lambda first, end: beams.sun_through(*lines, first, end, depth), len(line))
    return np.exp(-depth)


def _marks(grove: Grove, found: Meetings, line: IntArray) -> Marks:
    """Lines by what they are made from; two in a million yards share a mark by chance."""
    from growth import sunward

    token = np.array([digest(grove.origin, n, foot)[:8] for n, foot in enumerate(grove.foot_m)])
    mark = np.empty(len(line), np.uint64)
    lines = (
        token.view(np.uint64), found.targets, len(found.towards), line, found.ends, found.plant
    )  # fmt: skip
    in_parts(lambda first, end: sunward.mark_lines(*lines, first, end, mark), len(line))
    return mark
