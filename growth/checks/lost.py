"""Views to keep open: the year they are lost, and the plant whose loss would open them most.

A view is lost in the first year in which less of its panel is open than a requirement asks
(the strictest of that view), or than half of it where none asks. The year is told by the
expected share, and by either end of its range. The plant is found by taking every plant out,
one at a time, from the view as it is in that year by the expected sizes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import Lost, Screening
from growth.checks.outlook import Prospect
from growth.checks.screening import expected_sizes, in_reach
from growth.checks.takenout import hidden_without, largest
from growth.leafage import SEASONS
from growth.memory import Memory
from growth.stand import Draws, Stand
from scenes.document import Yard
from scenes.layout import Layout

IntArray = NDArray[np.int64]

HALF_OPEN = 0.5
"""The open share that a view needs where no requirement asks for one."""

LEAST_GAIN = 0.005
"""A plant that opens less of the panel than half a percent is not named."""


def asked_open(yard: Yard) -> dict[str, float]:
    """The open share that requirements ask of each view, 0-1."""
    asked: dict[str, float] = {}
    for wanted in yard.requirement:
        limit = None
        if wanted.check == "opening":
            limit = wanted.at_least
        elif wanted.check == "screening" and wanted.at_most is not None:
            limit = 1 - wanted.at_most
        if limit is not None:
            asked[wanted.of] = max(asked.get(wanted.of, 0.0), limit)
    return asked


def with_lost(
    found: tuple[Screening, ...],
    asked: Mapping[str, float],
    prospects: Sequence[Prospect],
    layout: Layout,
    stand: Stand,
    memory: Memory | None = None,
) -> tuple[Screening, ...]:
    """The views, those to keep open with the year they are lost and the plant that does it."""
    memory = memory or Memory()
    by_name = {prospect.look.name: prospect for prospect in prospects}

    def told(view: Screening) -> Screening:
        if view.purpose != "keep open":
            return view
        limit = asked.get(view.view, HALF_OPEN)
        lost = _lost(view, limit, by_name[view.view], layout, stand, memory)
        return replace(view, lost=lost)

    return tuple(told(view) for view in found)


def _lost(
    view: Screening, limit: float, prospect: Prospect, layout: Layout, stand: Stand, memory: Memory
) -> Lost:
    blocked = view.fraction_blocked
    ends = (blocked.expected, blocked.high, blocked.low)
    first, earliest, latest = (_first_year(1 - end < limit - 1e-9) for end in ends)
    lost = Lost(limit, first, earliest, latest)
    if first is None:
        return lost
    season = SEASONS.index(view.season)
    plant, gain = _plant_in_the_way(season, first, prospect, stand, memory)
    if gain < LEAST_GAIN:
        return lost
    return replace(
        lost,
        plant=stand.plants[stand.plant[plant]].name,
        place=layout.sources[stand.source[plant]].place,
        at=(float(stand.xyz_m[plant, 0]), float(stand.xyz_m[plant, 1])),
        opens=gain,
    )


def _first_year(is_lost: NDArray[np.bool_]) -> int | None:
    return int(is_lost.argmax()) if is_lost.any() else None


def _plant_in_the_way(
    season: int, year: int, prospect: Prospect, stand: Stand, memory: Memory
) -> tuple[int, float]:
    """The plant whose loss opens the view most in a year, and by how much of the panel; of
    a walk, as seen from the eye from which most is hidden."""
    now = expected_sizes(stand).only(years=[year])
    bulk = now.height_m[0, 0] * now.spread_m[0, 0]
    seen = [in_reach(outlook.lines, stand, now) for outlook in prospect.outlooks]
    reached = [largest(near, bulk[near]) for near in seen]
    places = [stand.xyz_m[near] for near in reached]
    return memory.of(
        ("lost", now.origin, season, prospect, reached, places),
        lambda: _one_in_the_way(season, prospect, stand, now, reached),
    )


def _one_in_the_way(
    season: int, prospect: Prospect, stand: Stand, now: Draws, reached: Sequence[IntArray]
) -> tuple[int, float]:
    views = [
        (hidden_without(outlook, stand, now, near)[season], near)
        for outlook, near in zip(prospect.outlooks, reached, strict=True)
    ]
    hidden, near = max(views, key=lambda view: float(view[0][0]))
    gains = hidden[0] - hidden[1:]
    if not len(gains):
        return -1, 0.0
    best = int(gains.argmax())
    return int(near[best]), float(gains[best])
