"""How wide a crown is between two levels: what reaches a window, a path's headroom, a sight band.

The squared radius of every piece of an envelope is a quadratic of the height, so that the
widest place of a band lies at one of the band's ends or at the quadratic's vertex. Nothing
is sampled.
"""

import numpy as np
from numpy.typing import NDArray

from growth.crowns import Form, Piece

Floats = NDArray[np.floating]


def widest_m(
    form: Form, *, height_m: Floats, spread_m: Floats, base_m: Floats, low_m: Floats, high_m: Floats
) -> Floats:
    """Largest radius of crowns between levels above their foot; minus infinity where none is."""
    tall = height_m - base_m
    leafy = tall > 0
    per = 1 / np.where(leafy, tall, 1)
    low, high = (low_m - base_m) * per, (high_m - base_m) * per
    squared = np.full(np.broadcast_shapes(tall.shape, low.shape), -np.inf)
    for piece in form.pieces:
        squared = np.maximum(squared, _widest_square(piece, low, high))
    reached = leafy & (squared >= 0)
    radius = np.sqrt(np.where(reached, squared, 0)) * spread_m / 2
    return np.where(reached, radius, -np.inf)


def _widest_square(piece: Piece, low: Floats, high: Floats) -> Floats:
    """Largest squared relative radius of a piece between two relative heights."""
    start, end = np.maximum(low, piece.lo), np.minimum(high, piece.hi)
    places = [start, end]
    if piece.c < 0:
        places.append(np.clip(-piece.b / (2 * piece.c), start, np.maximum(start, end)))
    largest = np.max([piece.a + piece.b * h + piece.c * h * h for h in places], axis=0)
    return np.where(start <= end, np.maximum(largest, 0), -np.inf)
