"""How much of each view's panel is hidden from its eye, in leaf and bare, year by year.

Crowns, the graded ground and built things hide. The range is that of joint draws: each
draw's crowns are looked through along the same sight lines, in every year; a crown thinned by
lost roots hides less.
"""

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import PanelPicture, Screening
from growth.checks.gaps import gaps_of
from growth.checks.outlook import Outlook, Prospect, size_m
from growth.checks.windows import most_seen
from growth.crownrows import crowns_in_rows, largest_crowns
from growth.crownset import Crowns
from growth.leafage import SEASONS
from growth.linememory import remembered
from growth.memory import Memory, digest, tokens
from growth.ranges import range_of_draws
from growth.rays import Fan, Floats, measured, within_reach
from growth.stand import Draws, Stand
from scenes.solids import HeightAt

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

GAP_YEARS = (0, 1, 5, 10, 15)
"""Years whose gaps are told, besides those of requirements."""


def screening(
    prospects: Sequence[Prospect],
    ground_m: HeightAt,
    stand: Stand,
    draws: Draws,
    memory: Memory | None = None,
    *,
    gap_years: Sequence[int] = GAP_YEARS,
) -> tuple[Screening, ...]:
    """The share hidden of every computed view, leaf then bare."""
    memory = memory or Memory()
    found, middle = [], expected_sizes(stand)
    for prospect in prospects:
        blocked, worst = _looked_through(prospect, stand, draws, memory)
        pictures, panel_m = _expected_pictures(prospect, stand, middle, memory)
        found += [
            Screening(
                prospect.look.name,
                prospect.look.purpose,
                season,
                range_of_draws(blocked[number]),
                range_of_draws(worst[number]),
                gaps_of(pictures[number], panel_m, ground_m, gap_years),
                picture=PanelPicture(
                    *size_m(panel_m), np.round(255 * pictures[number]).astype(np.uint8)
                ),
            )
            for number, season in enumerate(SEASONS)
        ]
    return tuple(found)


def _looked_through(
    prospect: Prospect, stand: Stand, draws: Draws, memory: Memory
) -> tuple[Array, Array]:
    """Share hidden of a view's panel, and of its worst window, each (2, D, Y).

    Along a walk the eye that fares worst decides, draw by draw.
    """
    found = [_hidden(outlook, stand, draws, memory) for outlook in prospect.outlooks]
    worse = np.max if prospect.look.purpose == "keep open" else np.min
    return worse([whole for whole, _ in found], axis=0), np.min(
        [window for _, window in found], axis=0
    )


def _hidden(outlook: Outlook, stand: Stand, draws: Draws, memory: Memory) -> tuple[Array, Array]:
    """Share hidden of the panel, and of its worst window, from one eye, each (2, D, Y)."""
    near = in_reach(outlook.lines, stand, draws)
    return memory.whole(
        ("hidden", draws.origin, outlook, near, stand.xyz_m[near]),
        lambda: _hidden_by(near, outlook, stand, draws, memory),
    )


def _hidden_by(
    near: IntArray, outlook: Outlook, stand: Stand, draws: Draws, memory: Memory
) -> tuple[Array, Array]:
    count, years, _ = draws.shape
    crowns = crowns_in_rows(stand, draws, near)
    wide_m, high_m = size_m(outlook.panel_m)

    def seen(pictures: Floats) -> Floats:
        worst = most_seen(pictures, high_m=high_m, wide_m=wide_m)
        return np.stack([pictures.mean(axis=(1, 2)), worst], axis=1)

    all_of = f"lines {digest(outlook.lines, draws.drawn_from).hex()}"
    part = all_of if draws.origin == draws.drawn_from else f"{all_of} of some"
    made_from = draws.marks[near], stand.xyz_m[near]

    def pictures(lines: Fan, met: Crowns) -> Iterator[tuple[int, Floats]]:
        token = tokens(b"crowns", *made_from, met.density_per_m.T)
        return remembered(lines, met, token, memory, part, beside=all_of)

    hidden = 1 - measured(outlook.lines, crowns, seen, static=outlook.static, pictures=pictures)
    whole, worst = hidden.reshape(len(SEASONS), 2, years, count).transpose(1, 0, 3, 2)
    return whole, worst


def _expected_pictures(
    prospect: Prospect, stand: Stand, middle: Draws, memory: Memory
) -> tuple[Array, Array]:
    """Share of light through each fine tile by the expected sizes, (2, nv, nu, Y), and the
    panel; of a walk, from the eye that sees most over the years."""
    found = []
    for outlook in prospect.outlooks:
        near = in_reach(outlook.fine, stand, middle)
        pictures = memory.of(
            ("picture", middle.origin, outlook, near, stand.xyz_m[near]),
            partial(_picture, near, outlook, stand, middle),
        )
        found.append((pictures, outlook.panel_m))
    return max(found, key=lambda one: one[0].mean())


def _picture(near: IntArray, outlook: Outlook, stand: Stand, middle: Draws) -> Array:
    crowns = crowns_in_rows(stand, middle, near)
    return measured(outlook.fine, crowns, lambda pictures: pictures, static=outlook.fine_static)


def expected_sizes(stand: Stand) -> Draws:
    """The expected size of every plant in every year, as one draw."""
    sizes = (stand.height_m, stand.spread_m, stand.crown_base_m, stand.vigour)
    height, spread, base, vigour = (size.expected[None].astype(np.float32) for size in sizes)
    origin = digest("expected", repr(stand.plants), stand.plant, sizes)
    return Draws(height, spread, base, vigour, origin)


def in_reach(lines: Fan, stand: Stand, draws: Draws) -> IntArray:
    """Plants that some line can meet."""
    return within_reach(lines, largest_crowns(stand, draws))
