"""A forecast quantity as three arrays of one shape: low, expected, high."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LOW_SHARE, HIGH_SHARE = 0.1, 0.9
"""Low and high are the 10th and the 90th percentile (ruling on ranges)."""


@dataclass(frozen=True)
class Range:
    """Low, expected and high values; low is always the smaller value of the quantity."""

    low: Array
    expected: Array
    high: Array


def range_of_draws(draws: NDArray[np.floating]) -> Range:
    """10th percentile, mean and 90th percentile over the first axis of `draws`."""
    low, high = np.quantile(draws, [LOW_SHARE, HIGH_SHARE], axis=0)
    expected = draws.mean(axis=0)
    return Range(
        low=np.minimum(low, expected).astype(float),
        expected=np.asarray(expected, dtype=float),
        high=np.maximum(high, expected).astype(float),
    )
