"""Pictures of crowns remembered sight line by sight line: after an edit only those are looked
along anew that meet what moved.

A line is named by the crowns whose windows hold it, from near to far; what they are is said by
a number of 64 bits each.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from growth.crownset import Crowns
from growth.memory import STIR, Marks, Memory
from growth.rays import Fan, Floats, IntArray, depth_of, near_to_far, rows_at_once, windows_of


def remembered(
    fan: Fan, crowns: Crowns, token: Marks, memory: Memory, part: str, *, beside: str = ""
) -> Iterator[tuple[int, Floats]]:
    """As `growth.rays.transmitted`, for crowns of n plants with tokens (n,).

    part: a name for the eye and panel, and all that the tokens leave out; beside: one under
    which some of the lines may have been kept already.
    """
    shape, seasons, rows = fan.rise_m.shape, len(crowns.density_per_m), len(crowns.height_m)
    name, other = (f"{one} {seasons} {rows}" for one in (part, beside))
    marks = _marks(fan, crowns, token)
    seen = memory.rows(
        name, marks, lambda few: _seen_along(few, fan, crowns), beside=other
    ).reshape(*shape, seasons, rows)
    step = rows_at_once(fan)
    for first in range(0, rows, step):
        block = seen[..., first : first + step].transpose(2, 0, 1, 3)
        yield first, np.ascontiguousarray(block)


def _marks(fan: Fan, crowns: Crowns, token: Marks) -> Marks:
    """Numbers of 64 bits of the lines, row by row, (nv nu,)."""
    shape = fan.rise_m.shape
    mark = np.arange(fan.rise_m.size, dtype=np.uint64).reshape(shape)
    windows = windows_of(fan, crowns)
    for plant in near_to_far(fan, crowns):
        row, end_row, column, end_column = windows[plant]
        held = mark[row:end_row, column:end_column]
        held[...] = (held ^ (held >> np.uint64(29)) ^ token[plant]) * STIR
    return mark.ravel()


def _seen_along(few: IntArray, fan: Fan, crowns: Crowns) -> Floats:
    """Share of light through a few of the lines, (few, S T)."""
    count, rows = fan.rise_m.size, len(crowns.height_m)
    found = np.empty((len(few), len(crowns.density_per_m), rows), np.float32)
    wanted: NDArray[np.bool_] = np.zeros(count, bool)
    wanted[few] = True
    length = fan.length_m.astype(np.float32).ravel()[few, None]
    step = rows_at_once(fan)
    for first in range(0, rows if len(few) else 0, step):
        depth = depth_of(fan, crowns.rows(first, first + step), wanted.reshape(fan.rise_m.shape))
        some = depth.reshape(len(depth), count, -1)[:, few]
        found[..., first : first + step] = np.exp(-some * length).transpose(1, 0, 2)
    return found.reshape(len(few), len(crowns.density_per_m) * rows)
