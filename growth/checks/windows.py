"""The worst window of a view: the small square of its panel through which most is seen.

Officers judge a screen by its worst part. Every place of a window of two square yards on the
panel is looked at. Tiles of a picture are even inside, so the share seen through a window that
slides over them is extreme where one of its sides lies on the side of a tile: only those
places are tried, and nothing is missed. A panel lower or narrower than the square takes a
longer window of the same area, or is the window itself.
"""

import numpy as np
from numpy.typing import NDArray

from growth.rays import Floats
from scenes.lengths import METRES

Array = NDArray[np.float64]

WINDOW_M2 = 2 * METRES["yd"] ** 2
"""Two square yards, the area by which older buffer rules of Ohio judge (from memory)."""


def most_seen(
    passing: Floats, *, high_m: float, wide_m: float, area_m2: float = WINDOW_M2
) -> Floats:
    """Largest share of light through any window, (S, T), of pictures (S, nv, nu, T)."""
    up_m = min(high_m, max(area_m2**0.5, area_m2 / wide_m))
    across_m = min(wide_m, area_m2 / up_m)
    seasons, rows, columns, count = passing.shape
    over_columns = _window_means(columns, columns * across_m / wide_m)
    over_rows = _window_means(rows, rows * up_m / high_m)
    means = np.matmul(over_columns, passing).reshape(seasons, rows, -1)
    places = np.matmul(over_rows, means).reshape(seasons, -1, count)
    return np.asarray(places.max(axis=1))


def _window_means(tiles: int, length: float) -> Floats:
    """Weights (places, tiles) of the mean over windows of `length` tiles that start or end
    on the side of a tile."""
    edges = np.arange(tiles + 1.0)
    start = np.unique(np.clip(np.concatenate([edges, edges - length]), 0, tiles - length))
    overlap = np.minimum(edges[1:], start[:, None] + length) - np.maximum(
        edges[:-1], start[:, None]
    )
    return np.asarray(np.clip(overlap, 0, None) / length, np.float32)
