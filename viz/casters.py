"""What built things cast their shadow with: the triangles that the checks of light meet, too.

Glass, doors and trim lie on walls and add nothing (growth.skyline); a thing lets its open share
through once. Things of one open share stand together, so that the page draws them at once.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.obstacles import ON_WALLS
from scenes.solids import Solid


@dataclass(frozen=True)
class Casters:
    """Corners (triangle, 3, 3) in metres, sorted by the share of the sun let through."""

    corners_m: NDArray[np.float32]
    through: NDArray[np.float32]


def casters(solids: Iterable[Solid]) -> Casters:
    """The triangles of all built things that are not quite open."""
    corners, through = [np.zeros((0, 3, 3))], [np.zeros(0)]
    for solid in sorted(solids, key=lambda one: one.open_share):
        for part in solid.parts if solid.open_share < 1 else ():
            if part.role not in ON_WALLS:
                corners.append(part.points_m[part.triangles])
                through.append(np.full(len(part.triangles), solid.open_share))
    return Casters(
        np.concatenate(corners).astype(np.float32), np.concatenate(through).astype(np.float32)
    )


def casting(things: Casters) -> Mapping[str, Any]:
    """The casters as the page reads them: runs of triangles, each with what it lets through."""
    shares, counts = np.unique(things.through, return_counts=True)
    return {
        "casters": things.corners_m.ravel(),
        "through": shares.astype(np.float32),
        "run": counts.astype(np.uint32),
    }
