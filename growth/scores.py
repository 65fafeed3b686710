"""Normal scores of kinds and of plants for joint draws: plain ones, and two that fill their space
more evenly, so that fewer draws do for a range."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtri

from growth.ranges import Array
from growth.sobol import sobol_points

if TYPE_CHECKING:
    from growth.stand import Stand

LARGEST = 16
"""Plants whose own scores share the even sequence of the kinds."""

Scores = Callable[[np.random.Generator, int, "Stand"], tuple[Array, Array]]
"""From a source of chance, a number of draws and a stand."""


def plain_scores(rng: np.random.Generator, count: int, stand: "Stand") -> tuple[Array, Array]:
    """Independent normal scores of kinds (count, K) and of plants (count, n)."""
    kinds = rng.standard_normal((count, len(stand.plants)))
    return kinds, rng.standard_normal((count, len(stand.plant)))


def even_scores(rng: np.random.Generator, count: int, stand: "Stand") -> tuple[Array, Array]:
    """Normal scores of kinds (count, K) and of plants (count, n) that fill their space evenly.

    Kinds and the largest plants, which matter most, share a scrambled Sobol sequence; the
    other plants are a Latin hypercube.
    Source: Owen 1998, J. Complexity 14:466-489 (from memory).
    """
    kinds = len(stand.plants)
    bulk = stand.height_m.expected.max(axis=0) * stand.spread_m.expected.max(axis=0)
    largest = np.argsort(-bulk, kind="stable")[:LARGEST]
    power = (max(1, count) - 1).bit_length()
    points = sobol_points(rng, max(1, kinds + len(largest)), power)[:count]
    even = np.asarray(ndtri(np.clip(points, 1e-12, 1 - 1e-12)), dtype=float)
    single = _stratified_scores(rng, count, len(stand.plant))
    single[:, largest] = even[:, kinds : kinds + len(largest)]
    return even[:, :kinds], single


def layered_scores(rng: np.random.Generator, count: int, stand: "Stand") -> tuple[Array, Array]:
    """Normal scores of kinds (count, K) and of plants (count, n), each a Latin hypercube: even
    for each kind and plant alone, which does for sums over plants, and loads no statistics."""
    kinds = _stratified_scores(rng, count, len(stand.plants))
    return kinds, _stratified_scores(rng, count, len(stand.plant))


def _stratified_scores(rng: np.random.Generator, count: int, columns: int) -> Array:
    """Normal scores with one in each of `count` equal strata a column, in random order."""
    strata = np.repeat(np.arange(count)[:, None], columns, axis=1)
    share = (rng.permuted(strata, axis=0) + rng.random((count, columns))) / count
    return np.asarray(ndtri(np.clip(share, 1e-12, 1 - 1e-12)), dtype=float)
