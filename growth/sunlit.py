"""Hours of direct sun on the ground, cell by cell, through the crowns that stand round it.

For every direction of the sun each crown darkens only the cells in its shadow: those whose
line towards the sun passes within its radius, between its base and its top. The paths through
crowns are those of `growth.beams`, closed form and Beer-Lambert, the denser leaf counted once
where crowns overlap. What ground and built things leave of the sun comes in from outside.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from growth.beams import bodies
from growth.cast import AT_ONCE, shine, want
from growth.compiled import in_parts
from growth.crownset import Crowns
from growth.memory import Marks, Memory, digest, tokens

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
Marked = NDArray[np.bool_]


@dataclass(frozen=True)
class Sky:
    """Directions of the sun over a ground laid out in cells, and what each is worth there."""

    ground_m: Array  # (ny, nx, 3)
    cell_m: float
    towards: Array  # (m, 3)
    hours: Array  # (m,)
    standing: Floats | None = None  # (m, ny, nx) what ground and built things leave

    def seen(self) -> tuple[Floats, tuple[Floats, Floats], Array]:
        """Heights above the first cell, the least and most of them, and corner and cell."""
        height = self.ground_m[..., 2] - self.ground_m[0, 0, 2]
        height = np.ascontiguousarray(height, np.float32)
        corner = np.append(self.ground_m[0, 0, :2], self.cell_m)
        return height, (height.min(), height.max()), corner

    def feet(self, crowns: Crowns) -> Array:
        """Feet of crowns above the first cell, (n, 3)."""
        return np.asarray(crowns.foot_m - [0, 0, self.ground_m[0, 0, 2]])


def sunlit_hours(
    sky: Sky, crowns: Crowns, *, share: Floats | None = None, wanted: Marked | None = None
) -> Array:
    """Hours of sun on cells (T, ny, nx), for crowns of T rows in one season.

    share (T, m, ny nx) keeps what is left of each sun at every
    cell; where it comes with `wanted` (m, ny nx) only the wanted ones are found anew.
    """
    found: dict[int, Array] = {}
    body, (height, levels, corner) = bodies(crowns), sky.seen()
    feet, many, rows = sky.feet(crowns), len(sky.towards), len(crowns.height_m)
    edge_m = _edges_m(sky, crowns)
    reach, full = crowns.reach_m, np.ones((1, 1), np.float32)
    left = full if sky.standing is None else sky.standing.reshape(many, -1)
    asked = np.ones((1, 1), bool) if wanted is None else wanted

    def work(first: int, end: int) -> None:
        lit, state = np.zeros((rows, height.size)), np.empty((4, height.size), np.float32)
        room = np.empty((5, max(AT_ONCE, height.shape[1])), np.float32), state
        lists = np.empty(edge_m.shape[1], np.int64), *np.empty((2, len(height), 2), np.int64)
        kept = np.empty((1, 1, height.size), np.float32) if share is None else share
        shine(
            height, levels, corner, body, reach, feet, edge_m, sky.towards, sky.hours,
            left, asked, first, end, *room, *lists, kept, lit,
        )  # fmt: skip
        found[first] = lit

    in_parts(work, many)
    parts = [found[first] for first in sorted(found)]  # in one order: sums then agree bit by bit
    return np.asarray(np.sum(parts, axis=0).reshape(rows, *height.shape))


def remembered_share(sky: Sky, crowns: Crowns, token: Marks, memory: Memory, part: str) -> Floats:
    """What is left of each sun on cells (T, m, ny nx), for crowns with tokens (n,). Of what was
    found in the round before under the name `part`, only those lines are looked along anew that
    other crowns may meet now."""
    made_from = digest(sky), len(crowns.height_m)
    old = memory.last(part)
    if old is None or old[0] != made_from:
        share, wanted = np.empty((len(crowns.height_m), *_lines(sky)), np.float32), None
    else:
        share, wanted = old[3].copy(), _changed(sky, (old[1], old[2]), (crowns, token))
    sunlit_hours(sky, crowns, share=share, wanted=wanted)
    memory.keep(part, (made_from, crowns, token, share))
    return share


def _lines(sky: Sky) -> tuple[int, int]:
    """How many suns and cells there are."""
    return len(sky.towards), sky.ground_m.shape[0] * sky.ground_m.shape[1]


def _changed(sky: Sky, before: tuple[Crowns, Marks], now: tuple[Crowns, Marks]) -> Marked | None:
    """Cells (m, ny nx) that the shadow of a crown may hold that came or went; None for all,
    where those that stayed do not stand in the same order."""
    (_, old), (_, new) = before, now
    gone, come = ~np.isin(old, new), ~np.isin(new, old)
    if not np.array_equal(old[~gone], new[~come]):
        return None
    wanted = np.zeros(_lines(sky), bool)
    for (crowns, _), which in ((before, gone), (now, come)):
        _want(sky, crowns, np.flatnonzero(which), wanted)
    return wanted


def _want(sky: Sky, crowns: Crowns, plants: IntArray, wanted: Marked) -> None:
    """Mark the cells that the shadow of some plants may hold, (m, ny nx)."""
    height, levels, corner = sky.seen()
    lines = corner, levels, crowns.reach_m, sky.feet(crowns), plants, sky.towards

    def work(first: int, end: int) -> None:
        want(*lines, first, end, height.shape[1], wanted)

    in_parts(work, len(wanted))


def crown_tokens(crowns: Crowns) -> Marks:
    """Numbers of 64 bits of crowns, by all that they are, (n,)."""
    kinds = np.array([int.from_bytes(digest(form)[:8]) for form in crowns.forms], np.uint64)
    sizes = (crowns.height_m.T, crowns.spread_m.T, crowns.base_m.T, crowns.density_per_m.T)
    vigour = () if crowns.vigour is None else (crowns.vigour.T,)
    return tokens(b"", kinds[crowns.form], crowns.foot_m, *sizes, *vigour)


def _edges_m(sky: Sky, crowns: Crowns) -> Array:
    """How far off the near edge of each crown at its largest stands towards each sun, (m, n).

    Each is reckoned by itself, so that two crowns stand in the same order whatever others
    there are.
    """
    x, y = (sky.towards[:, :2] / np.hypot(*sky.towards[:, :2].T)[:, None]).T[..., None]
    feet = sky.feet(crowns)
    return np.asarray(x * feet[:, 0] + y * feet[:, 1] - crowns.spread_m.max(axis=0, initial=0) / 2)
