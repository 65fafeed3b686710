"""Slope of the ground: how steep it is at every node.

Horn's weighted differences over the eight nodes around; at the lattice's edge the ground is
taken to go on as it does inside, so that a plane has its slope everywhere.

Source: Horn 1981, Proc. IEEE 69:14-47, doi 10.1109/PROC.1981.11918.
"""

import numpy as np

from scenes.lattice import Array, Lattice


def slopes(lattice: Lattice, heights_m: Array) -> Array:
    """Steepest slope (ny, nx) at each node, rise over run."""
    z = np.pad(heights_m, 1, mode="reflect", reflect_type="odd")
    along_x = z[:, 2:] - z[:, :-2]
    along_y = z[2:, :] - z[:-2, :]
    east = along_x[:-2] + 2 * along_x[1:-1] + along_x[2:]
    north = along_y[:, :-2] + 2 * along_y[:, 1:-1] + along_y[:, 2:]
    return np.asarray(np.hypot(east, north) / (8 * lattice.cell_m))
