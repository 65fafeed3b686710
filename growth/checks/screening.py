"""How much of each view's panel is hidden from its eye, in leaf and bare, year by year.

Crowns, the graded ground and built things hide. The range is that of joint draws: each
draw's crowns are looked through along the same sight lines, in every year; a crown thinned by
lost roots hides less. The sight lines are a regular grid over the panel, about as dense across
as up; each stands for a small tile of the panel, through which ground and built things let a
share of the light.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import Screening
from growth.checks.gaps import gaps_of
from growth.checks.windows import most_seen
from growth.crowns import FORMS, Form
from growth.leafage import SEASONS, densities_per_m
from growth.obstacles import passing
from growth.ranges import range_of_draws
from growth.rays import Crowns, Fan, Floats, fan, measured, within_reach
from growth.stand import DrawArray, Draws, Stand
from scenes.layout import Layout
from scenes.looks import Look, Sighting
from scenes.terrain import Terrain

Array = NDArray[np.float64]

GAP_YEARS = (0, 1, 5, 10, 15)
"""Years whose gaps are told, besides those of requirements."""

LINES, LEAST_LINES = 150, 50
"""Sight lines a view through the crowns, about; of a walk each eye has its part of them, and
not fewer than the least."""

FINER = 4
"""Lines a side by which ground and built things, whose edges are straight, are looked at finer."""


def screening(
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    draws: Draws,
    *,
    gap_years: Sequence[int] = GAP_YEARS,
) -> tuple[Screening, ...]:
    """The share hidden of every computed view, leaf then bare."""
    found = []
    for look in layout.looks:
        blocked, worst = looked_through(look, terrain, layout, stand, draws)
        pictures, panel_m = expected_pictures(look, terrain, layout, stand)
        found += [
            Screening(
                look.name,
                look.purpose,
                season,
                range_of_draws(blocked[number]),
                range_of_draws(worst[number]),
                gaps_of(pictures[number], panel_m, terrain.height_m, gap_years),
            )
            for number, season in enumerate(SEASONS)
        ]
    return tuple(found)


def blocked_draws(
    look: Look, terrain: Terrain, layout: Layout, stand: Stand, draws: Draws
) -> Array:
    """Share of a view's panel that is hidden, by season, draw and year, (2, D, Y)."""
    return looked_through(look, terrain, layout, stand, draws)[0]


def looked_through(
    look: Look, terrain: Terrain, layout: Layout, stand: Stand, draws: Draws
) -> tuple[Array, Array]:
    """Share hidden of a view's panel, and of its worst window, each (2, D, Y).

    Along a walk the eye that fares worst decides, draw by draw.
    """
    found = [
        _hidden(sighting, look, terrain, layout, stand, draws) for sighting in look.looked_from
    ]
    worse = np.max if look.purpose == "keep open" else np.min
    return worse([whole for whole, _ in found], axis=0), np.min(
        [window for _, window in found], axis=0
    )


def _hidden(
    sighting: Sighting, look: Look, terrain: Terrain, layout: Layout, stand: Stand, draws: Draws
) -> tuple[Array, Array]:
    """Share hidden of the panel, and of its worst window, from one eye, each (2, D, Y)."""
    lines, fine = fans(sighting, eyes=len(look.looked_from))
    count, years, _ = draws.height_m.shape
    _, crowns = crowns_in_reach(lines, stand, draws)
    static = standing_share(fine, lines, look, terrain, layout)
    wide_m, high_m = _size_m(sighting.panel_m)

    def seen(pictures: Floats) -> Floats:
        worst = most_seen(pictures, high_m=high_m, wide_m=wide_m)
        return np.stack([pictures.mean(axis=(1, 2)), worst], axis=1)

    hidden = 1 - measured(lines, crowns, seen, static=static)
    whole, worst = hidden.reshape(len(SEASONS), 2, years, count).transpose(1, 0, 3, 2)
    return whole, worst


def expected_pictures(
    look: Look, terrain: Terrain, layout: Layout, stand: Stand
) -> tuple[Array, Array]:
    """Share of light through each fine tile by the expected sizes, (2, nv, nu, Y), and the
    panel; of a walk, from the eye that sees most over the years."""
    middle = expected_sizes(stand)
    found = []
    for sighting in look.looked_from:
        _, fine = fans(sighting, eyes=len(look.looked_from))
        _, crowns = crowns_in_reach(fine, stand, middle)
        static = passing(fine, layout.solids, terrain.height_m, own=look.own)
        pictures = measured(fine, crowns, lambda pictures: pictures, static=static)
        found.append((pictures, sighting.panel_m))
    return max(found, key=lambda one: one[0].mean())


def expected_sizes(stand: Stand) -> Draws:
    """The expected size of every plant in every year, as one draw."""
    sizes = (stand.height_m, stand.spread_m, stand.crown_base_m, stand.vigour)
    return Draws(*(size.expected[None].astype(np.float32) for size in sizes))


def standing_share(fine: Fan, lines: Fan, look: Look, terrain: Terrain, layout: Layout) -> Array:
    """Share of light past ground and built things, (nv, nu) of the coarse lines."""
    static = passing(fine, layout.solids, terrain.height_m, own=look.own)
    return np.asarray(static.reshape(len(lines.rise_m), FINER, -1, FINER).mean(axis=(1, 3)))


def _size_m(panel_m: Array) -> tuple[float, float]:
    """Width and height of a panel, metres."""
    across, up = panel_m[1] - panel_m[0], panel_m[3] - panel_m[0]
    return float(np.linalg.norm(across)), float(np.linalg.norm(up))


def fans(sighting: Sighting, *, eyes: int = 1) -> tuple[Fan, Fan]:
    """Sight lines spread over the panel: for the crowns, and finer ones for what stands."""
    wide, high = _size_m(sighting.panel_m)
    count = max(LEAST_LINES, LINES // eyes)
    columns = int(np.clip(round(np.sqrt(count * wide / high)), 5, count // 5))
    rows = max(5, round(count / columns))
    coarse, fine = (
        fan(
            sighting.eye_m,
            sighting.panel_m,
            rows=rows * finer,
            columns=columns * finer,
            line_m=sighting.line_m,
        )
        for finer in (1, FINER)
    )
    return coarse, fine


def crowns_in_reach(lines: Fan, stand: Stand, draws: Draws) -> tuple[NDArray[np.int64], Crowns]:
    """Plants that some line can meet, and their crowns: one row for each year and draw, year
    by year."""
    present = draws.spread_m > 0
    forms, form = _forms(stand)
    density = densities_per_m(stand.plants)[:, stand.plant]
    extremes = Crowns(
        stand.xyz_m,
        draws.height_m.max(axis=(0, 1))[None],
        draws.spread_m.max(axis=(0, 1))[None],
        np.where(present, draws.crown_base_m, np.inf).min(axis=(0, 1))[None].astype(np.float32),
        forms,
        form,
        density,
    )
    near = within_reach(lines, extremes)
    count = present.shape[0] * present.shape[1]

    def rows(of: DrawArray) -> DrawArray:
        return of[:, :, near].transpose(1, 0, 2).reshape(count, len(near))

    return near, Crowns(
        stand.xyz_m[near],
        rows(draws.height_m),
        rows(draws.spread_m),
        rows(draws.crown_base_m),
        forms,
        form[near],
        density[:, near],
        None if draws.vigour is None else rows(draws.vigour),
    )


def _forms(stand: Stand) -> tuple[tuple[Form, ...], NDArray[np.int64]]:
    """The crown forms in the stand, and each plant's place among them."""
    return tuple(FORMS[plant.form] for plant in stand.plants), stand.plant
