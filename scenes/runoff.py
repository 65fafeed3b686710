"""Peak flow at drains and outlets by the rational method: Q = C i A.

The share of rain that runs off (C) goes by what lies there, and each node's share is added up
along the way its water takes. Valid for: small areas (under 80 ha), rain as long as water takes
from the farthest point. Roofs are left out, as their water is in `scenes.drainage`.

Source: rational method as in drainage handbooks; one acre at 1 in/h sheds 1.008 cubic feet a
second. Coefficients: middle of the usual textbook ranges, from memory.
"""

from dataclasses import dataclass

import numpy as np

from scenes.drainage import Drainage, drained_nodes
from scenes.flow import accumulated
from scenes.lattice import Array
from scenes.layout import Layout
from scenes.masks import nodes_inside
from scenes.points import Point
from scenes.surfaces import PAVING
from scenes.terrain import Terrain

OPEN_SHARE, BED_SHARE, GRAVEL_SHARE, PAVED_SHARE, WATER_SHARE = 0.25, 0.20, 0.50, 0.90, 1.0
MM_PER_HOUR_M2_TO_M3_PER_S = 1 / 3.6e6


@dataclass(frozen=True)
class Peak:
    """The most water a place gets from a rain: what drains to it, its mean C, and the flow."""

    place: str
    at: Point
    catchment_m2: float
    runoff_share: float
    litres_per_s: float


def peak_m3_per_s(share: float, rain_mm_per_h: float, area_m2: float) -> float:
    """The rational method: peak flow in cubic metres a second."""
    return share * rain_mm_per_h * area_m2 * MM_PER_HOUR_M2_TO_M3_PER_S


def peaks(
    terrain: Terrain, layout: Layout, drainage: Drainage, *, rain_mm_per_h: float
) -> tuple[Peak, ...]:
    """The peak at every drain and at every outlet of the lot."""
    lattice = terrain.lattice
    shares = runoff_shares(terrain, layout)
    shed_m2 = np.where(drainage.blocked, 0.0, shares * lattice.cell_m**2)
    gathered_m2 = accumulated(drainage.to, shed_m2.ravel()).reshape(shares.shape)
    found = []
    for inlet in drainage.inlets:
        shed = gathered_m2[drained_nodes(lattice, inlet.at)].sum()
        found.append((f"drain {inlet.name}", inlet.at, inlet.catchment_m2, shed))
    for outlet in drainage.outlets:
        row = round((outlet.at[1] - lattice.y0_m) / lattice.cell_m)
        column = round((outlet.at[0] - lattice.x0_m) / lattice.cell_m)
        found.append(("outlet", outlet.at, outlet.catchment_m2, gathered_m2[row, column]))
    return tuple(
        Peak(
            place=place,
            at=at,
            catchment_m2=area_m2,
            runoff_share=float(shed / area_m2) if area_m2 else 0.0,
            litres_per_s=1000 * peak_m3_per_s(1.0, rain_mm_per_h, float(shed)),
        )
        for place, at, area_m2, shed in found
    )


def runoff_shares(terrain: Terrain, layout: Layout) -> Array:
    """The share (ny, nx) of rain that runs off at each node, by what lies there."""
    shares = np.full((terrain.lattice.ny, terrain.lattice.nx), OPEN_SHARE)
    for bed in layout.beds:
        shares[nodes_inside(terrain.lattice, bed.outline)] = BED_SHARE
    of_kind = dict.fromkeys(PAVING, PAVED_SHARE) | {"gravel": GRAVEL_SHARE, "water": WATER_SHARE}
    for surface in layout.surfaces:
        inside = nodes_inside(terrain.lattice, surface.outline)
        shares[inside] = of_kind.get(surface.kind, OPEN_SHARE)
    return shares
