"""How much direct sun reaches plants through the crowns round them, draw by draw.

Every sight line runs from a point on a plant's own axis towards the sun. Its own crown is left
out; of the others only those that the line can meet at their largest are looked at, as
`growth.beams` says. Stems without leaf, light scattered from leaf to leaf, and sunflecks are
left out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

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

SLACK_M = 0.01
"""Room for what single precision rounds away."""


@dataclass(frozen=True)
class Room:
    """What the crowns of n plants fill at most, and where they are looked at from; metres."""

    foot_m: Array  # (n, 3)
    radius_m: Floats  # (n,) largest
    top_m: Floats  # (n,) highest
    eye_m: Floats  # (n,) lowest


@dataclass(frozen=True)
class Grove:
    """Crowns of n plants in T rows as the sun meets them."""

    room: Room
    bodies: "Bodies"
    rows: int  # T
    up_m: Floats  # (n, T and more) how far above its foot each plant is looked from


@dataclass(frozen=True)
class Meetings:
    """Lines from k targets towards m suns, and the crowns each may meet, from near to far.

    Line i runs from target i // m towards sun i % m and may meet plant[ends[i - 1]:ends[i]].
    """

    targets: IntArray  # (k,) plants
    towards: Array  # (m, 3)
    ends: IntArray  # (k m,)
    plant: IntArray


def grove(crowns: Crowns, up_m: Floats) -> Grove:
    """Crowns in leaf; up_m (T, n) is how far above its foot each plant is looked from."""
    from growth import beams  # loads the compiler, a quarter of a second

    foot = crowns.foot_m[:, 2].astype(np.float32)
    return Grove(
        room=Room(
            foot_m=crowns.foot_m,
            radius_m=crowns.spread_m.max(axis=0) / 2,
            top_m=foot + crowns.height_m.max(axis=0),
            eye_m=foot + up_m.min(axis=0),
        ),
        bodies=beams.bodies(replace(crowns, density_per_m=crowns.density_per_m[:1])),
        rows=len(up_m),
        up_m=beams.by_plant(up_m),
    )


def room_of_all(rooms: Sequence[Room]) -> Room:
    """What the same plants fill at most in any of some rooms."""
    return Room(
        rooms[0].foot_m,
        np.max([room.radius_m for room in rooms], axis=0),
        np.max([room.top_m for room in rooms], axis=0),
        np.min([room.eye_m for room in rooms], axis=0),
    )


def level_ways(towards: Array) -> Floats:
    """Level unit vectors of directions (m, 3), and their rise per level metre, (3, m)."""
    level = np.hypot(towards[:, 0], towards[:, 1])
    return np.ascontiguousarray((towards / level[:, None]).T, np.float32)


def meetings(room: Room, targets: IntArray, towards: Array) -> Meetings:
    """Lines from plants towards the sun (m, 3) and the crowns each may meet in some row."""
    from growth import sunward  # loads the compiler

    near = _tall_enough(room, targets, level_ways(towards)[2])
    lines = _lines(room, targets, near, towards)
    count = _counted(room, targets, near, towards)
    ends = np.cumsum(count)
    met = np.empty(int(count.sum()), np.int64)
    away = np.empty(len(met))

    def list_some(first: int, end: int) -> None:
        room = np.empty(len(towards), np.float32), np.empty((2, len(towards)), np.int64)
        sunward.list_met(*lines, first, end, *room, ends, met, away)

    in_parts(list_some, len(targets))
    return Meetings(targets, towards, ends, met)


def crossed(before: Room, now: Room, targets: IntArray, towards: Array) -> BoolArray:
    """Lines from plants that stay towards the sun (m, 3) that may meet one of those that stand
    elsewhere now, where it stood or where it stands, (k, m).

    The others meet what they met before, in the same order.
    """
    moved = np.flatnonzero((before.foot_m != now.foot_m).any(axis=1))
    met = [_counted(room, targets, moved, towards) for room in (before, now)]
    return np.asarray(met[0] + met[1] > 0)


def _counted(room: Room, targets: IntArray, near: IntArray, towards: Array) -> IntArray:
    """How many crowns of the plants near (c,) each line may meet in some row, (k, m)."""
    from growth import sunward

    lines = _lines(room, targets, near, towards)
    count = np.zeros((len(targets), len(towards)), np.int64)

    def count_some(first: int, end: int) -> None:
        sunward.count_met(*lines, first, end, np.empty(len(towards), np.float32), count)

    in_parts(count_some, len(targets))
    return count


def _lines(room: Room, targets: IntArray, near: IntArray, towards: Array) -> tuple[Any, ...]:
    """Lines towards the sun, the lowest first, as the kernels read them."""
    ways = level_ways(towards)
    order = np.argsort(ways[2], kind="stable")
    filled = room.foot_m, room.radius_m, room.top_m, room.eye_m
    return filled, targets, near, np.ascontiguousarray(ways[:, order]), order


def _tall_enough(room: Room, targets: IntArray, rise: Floats) -> IntArray:
    """Plants that can stand before the lowest sun for some target: tall enough for how far off
    they stand from the rectangle round all targets."""
    if not (len(targets) and len(rise)):
        return np.zeros(0, np.int64)
    places = room.foot_m[targets, :2]
    aside = np.maximum(places.min(axis=0) - room.foot_m[:, :2], 0)
    aside += np.maximum(room.foot_m[:, :2] - places.max(axis=0), 0)
    apart_m = np.hypot(*aside.T) - room.radius_m
    taller_m = room.top_m - room.eye_m[targets].min()
    return np.flatnonzero(apart_m * float(rise.min()) <= taller_m + SLACK_M)


def sun_lost(
    grove: Grove, found: Meetings, bright: Floats, slot: IntArray, *,
    suns: IntArray | None = None, wanted: BoolArray | None = None,
) -> Floats:  # fmt: skip
    """What the crowns take of s of the suns, of all m by default, at k targets, (k, slots, T).

    bright (k, Y, s) is what each sun is worth there, for rows in Y equal runs; slot (s,) says
    where it is added, and suns (s,) which of the m it is. What is not wanted (k, slots) is 0.
    """
    from growth import beams

    order = np.argsort(slot, kind="stable")
    slots = int(slot.max(initial=-1)) + 1
    shape = len(found.targets), slots
    units = np.flatnonzero(np.ones(shape, bool) if wanted is None else wanted)
    lost = np.zeros((len(units), grove.rows), np.float32)
    lines = (
        grove.bodies, grove.room.foot_m, grove.up_m, found.towards, found.targets,
        np.ascontiguousarray(bright[..., order]), order if suns is None else suns[order],
        np.searchsorted(slot[order], np.arange(slots + 1)), found.ends, found.plant, units,
    )  # fmt: skip

    def work(first: int, end: int) -> None:
        room = np.empty((9, grove.up_m.shape[1]), np.float32)
        beams.sun_lost(*lines, first, end, room, lost)

    in_parts(work, len(units))
    every = np.zeros((shape[0] * slots, grove.rows), np.float32)
    every[units] = lost
    return every.reshape(*shape, grove.rows)
