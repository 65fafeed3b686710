"""Plants on the plan: symbols at their spread, like plants linked, keys and counts with leaders.

What fills a bed is drawn as a mass: a small sign for each plant and one label for each kind.
Labels are put where they cover least, the nearest such place first; a leader ties each to its
plants. A plant already taken out in the year drawn is dashed, at its last spread.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from growth.stand import Stand
from scenes.layout import Layout
from viz.planmarks import Array, Line, Mark, Words, width_of
from viz.planschedule import Row
from viz.plansheet import Frame
from viz.plansymbols import sign, symbol

Bools = NDArray[np.bool_]
LABEL = 2.1
RINGS = (3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0)
WAYS = 16
LINKED_MM = 45.0
"""Like plants farther apart than this are not linked."""


@dataclass(frozen=True)
class Placed:
    """A yard's plants on the sheet: places in mm, spreads of the year in metres, who is gone."""

    at: Array
    spread_m: Array
    gone: Bools


def placed(layout: Layout, stand: Stand, frame: Frame, *, year: int) -> Placed:
    """Every plant of the layout, so that the plan's count is the schedule's."""
    present = stand.present[: year + 1]
    last = year - np.argmax(present[::-1], axis=0)
    spread_m = stand.spread_m.expected[last, np.arange(present.shape[1])]
    return Placed(frame.mm(layout.xyz_m), spread_m, ~present[year])


def plant_marks(
    layout: Layout, stand: Stand, rows: Sequence[Row], frame: Frame, *, year: int
) -> Iterator[Mark]:
    """All plants, lowest first, then links, then labels."""
    on = placed(layout, stand, frame, year=year)
    height_m = stand.height_m.expected[year]
    mass = np.array([_fills(layout, source) for source in layout.source], bool)
    for each in np.argsort(height_m, kind="stable"):
        number = int(layout.source[each])
        if mass[each]:
            yield from sign(on.at[each], _nth(layout, number))
        else:
            yield from symbol(
                stand.plants[stand.plant[each]], on.at[each], frame.size(on.spread_m[each] / 2),
                kept=bool(stand.kept[each]), gone=bool(on.gone[each]),
            )  # fmt: skip
    yield from _links(layout, on, mass)
    yield from _labels(layout, on, rows, frame)


def _fills(layout: Layout, number: int) -> bool:
    source = layout.sources[number]
    table = source.planting or source.kept
    return table is not None and table.fill is not None


def _nth(layout: Layout, number: int) -> int:
    """Which kind of its mix a source is."""
    place = layout.sources[number].place
    return [n for n, source in enumerate(layout.sources) if source.place == place].index(number)


def _links(layout: Layout, on: Placed, mass: Bools) -> Iterator[Mark]:
    for number in range(len(layout.sources)):
        mine = on.at[(layout.source == number) & ~mass]
        for start, end in pairwise(mine):
            if np.hypot(*(end - start)) < LINKED_MM:
                yield Line("link", np.array([start, end]), 0.13)


def _labels(layout: Layout, on: Placed, rows: Sequence[Row], frame: Frame) -> Iterator[Mark]:
    keys = {number: row.key for row in rows for number in row.sources}
    boxes: list[Array] = []
    inner = np.array(frame.window) + np.array([2, 2 + frame.low, -2, -2])
    for number in sorted(keys, key=lambda each: int((layout.source == each).sum())):
        mine = on.at[layout.source == number]
        kept = layout.sources[number].kept is not None
        text = f"{len(mine)} {keys[number]}" + (" exist." if kept else "")
        anchor = mine[np.argmin(np.hypot(*(mine - mine.mean(axis=0)).T))]
        box = label_box(text, anchor, on.at, boxes, inner)
        boxes.append(box)
        middle = (box[:2] + box[2:]) / 2
        edge = np.clip(anchor, box[:2], box[2:])
        yield Line("leader", np.array([anchor, edge]), 0.15)
        yield Words("label", text, (middle[0], middle[1]), LABEL, "center", bold=True, backed=True)


def label_box(text: str, anchor: Array, plants: Array, boxes: list[Array], inner: Array) -> Array:
    """The box of a label that costs least: near, in the window, and over nothing else."""
    half = np.array([width_of(text, LABEL) / 2 + 0.8, LABEL / 2 + 0.7])
    angle = 2 * np.pi * np.arange(WAYS) / WAYS + 0.4
    way = np.column_stack([np.cos(angle), np.sin(angle)])
    ring = np.repeat(RINGS, WAYS)
    middles = anchor + ring[:, None] * np.tile(way, (len(RINGS), 1))
    middles[:, 0] += np.tile(way[:, 0] * half[0], len(RINGS))
    tried = np.concatenate([middles - half, middles + half], axis=1)
    cost = ring + _cover(tried, anchor, plants, np.array(boxes).reshape(-1, 4), inner)
    best: Array = tried[np.argmin(cost)]
    return best


def _cover(tried: Array, anchor: Array, plants: Array, others: Array, inner: Array) -> Array:
    """What each box tried (n, 4) would cost besides its distance: what it covers and crosses."""
    low, high = tried[:, None, :2], tried[:, None, 2:]
    outside = ((low < inner[:2]) | (high > inner[2:])).any(axis=(1, 2))
    inside = ((plants > low) & (plants < high)).all(axis=2).sum(axis=1)
    across = ((others[:, :2] < high) & (others[:, 2:] > low)).all(axis=2).sum(axis=1)
    crossed = _crossed(anchor, (tried[:, :2] + tried[:, 2:]) / 2, others)
    cost: Array = 1000.0 * outside + 60 * across + 6 * inside + 25 * crossed
    return cost


def _crossed(start: Array, ends: Array, boxes: Array) -> Array:
    """How many other labels a leader to each of several ends (n, 2) would run through."""
    on = start + np.linspace(0, 1, 12)[:, None, None] * (ends - start)
    point = on[:, :, None]
    inside = ((point > boxes[:, :2]) & (point < boxes[:, 2:])).all(axis=3)
    counted: Array = inside.any(axis=0).sum(axis=1)
    return counted
