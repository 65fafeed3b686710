"""Views made ready to be looked at: sight lines from every eye, and what already hides there.

The sight lines are a regular grid over the panel, about as dense across as up; each stands for
a small tile of the panel. Ground and built things do not change with the years: the share of
light they let through each tile is found once, on finer lines, since their edges are straight.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from growth.memory import Memory
from growth.obstacles import passing
from growth.rays import Fan, fan
from scenes.layout import Layout
from scenes.looks import Look, Sighting
from scenes.terrain import Terrain

Array = NDArray[np.float64]

LINES, LEAST_LINES = 150, 50
"""Sight lines a view through the crowns, about; of a walk each eye has its part of them, and
not fewer than the least."""

FINER = 4
"""Lines a side by which ground and built things, whose edges are straight, are looked at finer."""


@dataclass(frozen=True)
class Outlook:
    """One eye of a view: sight lines for crowns and finer ones; `fine_static` is the share of
    light that ground and built things let through the finer, (nv, nu)."""

    panel_m: Array
    lines: Fan
    fine: Fan
    fine_static: Array

    @property
    def static(self) -> Array:
        """Share of light past ground and built things for each of the coarse lines, (nv, nu)."""
        tiles = self.fine_static.reshape(len(self.lines.rise_m), FINER, -1, FINER)
        return np.asarray(tiles.mean(axis=(1, 3)))


@dataclass(frozen=True)
class Prospect:
    """A view with the outlook from each of its eyes."""

    look: Look
    outlooks: tuple[Outlook, ...]


def prospects(
    terrain: Terrain, layout: Layout, memory: Memory | None = None
) -> tuple[Prospect, ...]:
    """Every computed view of a yard."""
    memory = memory or Memory()
    return memory.of(
        ("prospects", terrain.lattice, terrain.after_m, layout.looks, layout.solids),
        lambda: _prospects(terrain, layout),
    )


def _prospects(terrain: Terrain, layout: Layout) -> tuple[Prospect, ...]:
    return tuple(
        Prospect(
            look,
            tuple(_outlook(sighting, look, terrain, layout) for sighting in look.looked_from),
        )
        for look in layout.looks
    )


def _outlook(sighting: Sighting, look: Look, terrain: Terrain, layout: Layout) -> Outlook:
    lines, fine = fans(sighting, eyes=len(look.looked_from))
    static = passing(fine, layout.solids, terrain.height_m, own=look.own)
    return Outlook(sighting.panel_m, lines, fine, static)


def fans(sighting: Sighting, *, eyes: int) -> tuple[Fan, Fan]:
    """Sight lines spread over the panel: for the crowns, and finer ones for what stands."""
    wide, high = size_m(sighting.panel_m)
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


def size_m(panel_m: Array) -> tuple[float, float]:
    """Width and height of a panel, metres."""
    across, up = panel_m[1] - panel_m[0], panel_m[3] - panel_m[0]
    return float(np.linalg.norm(across)), float(np.linalg.norm(up))
