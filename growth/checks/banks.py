"""Banks by their true area: ground on a slope is larger than its plan, by 1 / cos of the slope.

Source: plan area understates the area of a bank; 3:1 adds 5.4 %, 2:1 adds 11.8 % (geometry).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from growth.cover import Cells
from growth.memory import digest
from scenes.lattice import Lattice, bilinear
from scenes.slopes import slopes
from scenes.terrain import Terrain

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Banks:
    """True area over plan area at the nodes of the ground, (ny, nx); its name as a digest."""

    lattice: Lattice
    stretch: Array
    name: bytes

    def weigh(self, over: Cells) -> Cells:
        """The same cells with their true area as weight."""
        ny, nx = over.weight.shape
        x = over.x0_m + (np.arange(nx) + 0.5) * over.cell_m
        y = over.y0_m + (np.arange(ny) + 0.5) * over.cell_m
        at = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        stretch = bilinear(self.lattice, self.stretch, at).reshape(ny, nx)
        return Cells(over.x0_m, over.y0_m, over.cell_m, over.weight * stretch)


def banks(terrain: Terrain) -> Banks:
    """The stretch of the graded ground."""
    slope = slopes(terrain.lattice, terrain.after_m)
    name = digest(terrain.lattice, terrain.after_m)
    return Banks(terrain.lattice, np.sqrt(1 + slope**2), name)
