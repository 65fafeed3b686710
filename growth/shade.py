"""How much direct sun reaches plants through the crowns round them, draw by draw.

Every sight line runs from a point on a plant's own axis towards the sun. Its own crown is left
out; of the others only those that the line can meet at their largest are looked at. Crowns,
density and overlaps are those of `growth.rays`: closed form by piece, Beer-Lambert along the
path, and where crowns overlap the denser leaf counts once. Stems without leaf, light scattered
from leaf to leaf, and sunflecks are left out.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from growth.chords import Lines, meet
from growth.rays import Crowns

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_PAIRS_AT_ONCE = 2048
_CUTS_AT_ONCE = 2**18


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
    lines, place = np.unique(found.line, return_inverse=True)
    reach_m = _reach_m(crowns)
    through = np.empty((len(up_m), len(lines)), np.float32)
    for part in _blocks(place, len(up_m)):
        block, first = found.only(part), place[part.start]
        count = place[part.stop - 1] + 1 - first
        depth = _depth(crowns, up_m, towards * reach_m, block, place[part] - first)
        through[:, first : first + count] = np.exp(-depth * np.float32(reach_m))
    return lines, through


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


def _reach_m(crowns: Crowns) -> float:
    """A length of sight line that leaves every crown behind."""
    across = np.ptp(crowns.foot_m, axis=0) + 2 * crowns.height_m.max(initial=1)
    return float(np.linalg.norm(across) + crowns.spread_m.max(initial=1))


def _blocks(place: IntArray, rows: int) -> Iterator[slice]:
    """Parts of the meetings that fit the cache, each with all meetings of its lines."""
    first = np.flatnonzero(np.diff(place, prepend=-1))
    block = first * rows // _CUTS_AT_ONCE
    edges = [*first[np.flatnonzero(np.diff(block, prepend=-1))].tolist(), len(place)]
    for start, end in pairwise(edges):
        yield slice(start, end)


def _depth(crowns: Crowns, up_m: Floats, suns_m: Array, block: Meetings, line: IntArray) -> Floats:
    """Leaf depth as density times share of the line, (T, lines), per metre.

    One step for the nearest crown of all lines, one for the second, and so on: each adds to
    what those before it left open.
    """
    all_enter, all_through = _cuts(crowns, up_m, suns_m, block)
    start, end, depth, dense = np.zeros((4, len(up_m), line[-1] + 1), np.float32)
    start -= 1
    end -= 1
    for rank in _ranks(line):
        here, enter, through = line[rank], all_enter[:, rank], all_through[:, rank]
        leave, density = enter + through, _density(crowns, block.plant[rank])
        start_here, end_here, dense_here = start[:, here], end[:, here], dense[:, here]
        shared = np.minimum(leave, end_here) - np.maximum(enter, start_here)
        both = np.minimum(density, dense_here) * np.maximum(shared, 0)
        depth[:, here] += density * through - both
        onward = leave > end_here
        joined = np.where(onward, np.minimum(start_here, enter), start_here)
        start[:, here] = np.where(enter > end_here, enter, joined)
        dense[:, here] = np.where(onward, density, dense_here)
        end[:, here] = np.maximum(end_here, leave)
    return np.asarray(depth)


def _ranks(line: IntArray) -> Iterator[IntArray]:
    """Places of the first crown of every line, then of the second, and so on."""
    first = np.flatnonzero(np.diff(line, prepend=-1))
    place = np.arange(len(line)) - np.repeat(first, np.diff(first, append=len(line)))
    order = np.argsort(place, kind="stable")
    yield from np.split(order, np.cumsum(np.bincount(place))[:-1])


def _density(crowns: Crowns, plant: IntArray) -> Floats:
    """Density per metre in leaf, (1, p) or (T, p)."""
    density: Floats = crowns.density_per_m[:1, plant].astype(np.float32)
    return density if crowns.vigour is None else density * crowns.vigour[:, plant]


def _cuts(crowns: Crowns, up_m: Floats, suns_m: Array, block: Meetings) -> tuple[Floats, Floats]:
    """Where each line enters its crown and how far it runs in it, as shares of it, (T, p)."""
    enter, through = np.empty((2, len(up_m), len(block.line)), np.float32)
    form = crowns.form[block.plant]
    for number in np.unique(form):
        here = np.flatnonzero(form == number)
        target, plant = block.target[here], block.plant[here]
        away = crowns.foot_m[plant] - crowns.foot_m[target]
        base_m = crowns.base_m[:, plant]
        body = (
            crowns.spread_m[:, plant] / 2,
            base_m - up_m[:, target] + away[:, 2].astype(np.float32),
            np.maximum(crowns.height_m[:, plant] - base_m, np.float32(1e-3)),
        )
        lines = _lines(away[:, :2], suns_m[block.sun[here]])
        found = meet(crowns.forms[number].pieces, lines, body)
        enter[:, here], through[:, here] = found[0][0], found[1][0]
    return enter, through


def _lines(away_m: Array, line_m: Array) -> Lines:
    """Lines (p, 3) seen from the axes of crowns that stand away_m (p, 2) from their start."""
    dx, dy, dz = line_m.T.astype(np.float32)[:, None]
    ox, oy = -away_m.T.astype(np.float32)[:, None]
    return Lines(
        d2=dx**2 + dy**2, dz=dz, per_dz=1 / dz, dz2=dz**2, along=ox * dx + oy * dy,
        cross2=(ox * dy - oy * dx) ** 2, away2=ox**2 + oy**2, start=np.zeros_like(dz),
    )  # fmt: skip
