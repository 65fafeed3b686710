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
from growth.memory import Memory, tokens

if TYPE_CHECKING:
    from growth.beams import Bodies

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
Marks = NDArray[np.uint64]


SLACK_M = 0.01
"""Room for what single precision rounds away."""


@dataclass(frozen=True)
class Grove:
    """Crowns of n plants in T rows as the sun meets them, and their extremes over the rows."""

    token: Marks  # (n,) by all that makes a plant, its place included
    foot_m: Array  # (n, 3)
    bodies: "Bodies"
    rows: int  # T
    up_m: Floats  # (n, T and more) how far above its foot each plant is looked from
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
        token=tokens(origin, range(len(crowns.foot_m)), crowns.foot_m),
        foot_m=crowns.foot_m,
        bodies=beams.bodies(replace(crowns, density_per_m=crowns.density_per_m[:1])),
        rows=len(up_m),
        up_m=beams.by_plant(up_m),
        radius_m=crowns.spread_m.max(axis=0) / 2,
        top_m=foot + crowns.height_m.max(axis=0),
        eye_m=foot + up_m.min(axis=0),
    )


def level_ways(towards: Array) -> Floats:
    """Level unit vectors of directions (m, 3), and their rise per level metre, (3, m)."""
    level = np.hypot(towards[:, 0], towards[:, 1])
    return np.ascontiguousarray((towards / level[:, None]).T, np.float32)


def meetings(grove: Grove, targets: IntArray, towards: Array) -> Meetings:
    """Lines from plants towards the sun (m, 3) and the crowns each may meet in some row."""
    from growth import sunward  # loads the compiler

    ways = level_ways(towards)
    order = np.argsort(ways[2], kind="stable")
    lines = (
        (grove.foot_m, grove.radius_m, grove.top_m, grove.eye_m), targets,
        _tall_enough(grove, targets, ways[2]), np.ascontiguousarray(ways[:, order]), order,
    )  # fmt: skip
    count = np.zeros((len(targets), len(towards)), np.int64)

    def count_some(first: int, end: int) -> None:
        sunward.count_met(*lines, first, end, np.empty(len(order), np.float32), count)

    in_parts(count_some, len(targets))
    ends = np.cumsum(count)
    met = np.empty(int(count.sum()), np.int64)
    away = np.empty(len(met))

    def list_some(first: int, end: int) -> None:
        room = np.empty(len(order), np.float32), np.empty((2, len(order)), np.int64)
        sunward.list_met(*lines, first, end, *room, ends, met, away)

    in_parts(list_some, len(targets))
    return Meetings(targets, towards, ends, met)


def _tall_enough(grove: Grove, targets: IntArray, rise: Floats) -> IntArray:
    """Plants that can stand before the lowest sun for some target: tall enough for how far off
    they stand from the rectangle round all targets."""
    if not (len(targets) and len(rise)):
        return np.zeros(0, np.int64)
    places = grove.foot_m[targets, :2]
    aside = np.maximum(places.min(axis=0) - grove.foot_m[:, :2], 0)
    aside += np.maximum(grove.foot_m[:, :2] - places.max(axis=0), 0)
    apart_m = np.hypot(*aside.T) - grove.radius_m
    taller_m = grove.top_m - grove.eye_m[targets].min()
    return np.flatnonzero(apart_m * float(rise.min()) <= taller_m + SLACK_M)


def sun_lost(
    grove: Grove, found: Meetings, bright: Floats, slot: IntArray, memory: Memory | None = None, *,
    part: str = "",
) -> Floats:  # fmt: skip
    """What the crowns take of the suns at k targets, (k, slots, T).

    bright (k, Y, m) is what each sun is worth there, for rows in Y equal runs; slot (m,) says
    where it is added.
    """
    memory = memory or Memory()
    slots = int(slot.max(initial=-1)) + 1
    marks = _marks(grove, found, bright)
    shape = (len(found.targets), slots, grove.rows)
    rows = memory.rows(part, marks, lambda few: _lost(grove, found, bright, slot, few, shape))
    return rows.reshape(shape)


def _lost(
    grove: Grove, found: Meetings, bright: Floats, slot: IntArray, few: IntArray,
    shape: tuple[int, int, int],
) -> Floats:  # fmt: skip
    """What is lost at a few of the targets, (few, slots T)."""
    from growth import beams

    lost = np.zeros(shape, np.float32)
    lines = (
        grove.bodies, grove.foot_m, grove.up_m, found.towards, found.targets, bright, slot,
        found.ends, found.plant,
    )  # fmt: skip

    def work(first: int, end: int) -> None:
        room = np.empty((9, grove.up_m.shape[1]), np.float32)
        for number in few[first:end]:
            beams.sun_lost(*lines, number, number + 1, room, lost)

    in_parts(work, len(few))
    return lost[few].reshape(len(few), shape[1] * shape[2])


def _marks(grove: Grove, found: Meetings, bright: Floats) -> Marks:
    """Targets by what they are made from; two in a million yards share a mark by chance."""
    from growth import sunward

    mark = tokens(b"worth", bright)
    lines = grove.token, found.targets, len(found.towards), found.ends, found.plant
    in_parts(lambda first, end: sunward.mark_targets(*lines, first, end, mark), len(mark))
    return mark
