"""How plants of a kind differ: one normal score z a plant, for the whole of its life.

A plant's asymptote is A (1 + a z / 2)^2, its rate k (1 + r z / 2)^2 and its exponent
p / (1 + q z / 2)^2, so that its course rises with z in every year, and all of one size at
planting agree on that day (growth at a given size rises with A and k and falls with p). That
square roots scatter evenly was measured: sizes themselves are skewed, and their logarithms the
other way (`python -m growth.calibrate --report` prints both). Deviations a, r and q of trees
and palms were fitted so that low to high (z = -1.28 to 1.28) holds 80 % of measured trees of
species left out of the fit, in every age band, with the size they were planted at unknown; they
stand in coefficients.csv. A species with a curve of its own has only the part within a species.
Shrubs and all soft plants were hardly measured: their range is assumed, and wider.
"""

import math
from dataclasses import dataclass
from typing import TypedDict

import numpy as np
from numpy.typing import ArrayLike

from growth.coefficients import coefficient_rows
from growth.ranges import Array

_LEAST_ROOT = 0.1
"""Roots of factors end here, far beyond any score in use, lest they turn round at zero."""


@dataclass(frozen=True)
class Scatter:
    """Deviations of asymptote, rate and exponent, as shares of them."""

    asymptote: float
    rate: float
    shape: float = 0.0


class Scattered(TypedDict):
    """Asymptotes in metres, rates in 1/year and exponents of scattered plants."""

    asymptote_m: Array
    rate: Array
    shape: Array


ASSUMED_SCATTER = Scatter(asymptote=0.30, rate=0.50)
"""Assumed for all that was not measured: the year of planting alone can double or halve the
size of a shrub at year 3 (inference from few shrub trials)."""


def class_scatter(of: str) -> Scatter:
    """Scatter of "height" or "spread" of trees and palms about a class curve."""
    found = coefficient_rows()
    return Scatter(*(found[of, "scatter", part] for part in ("asymptote", "rate", "shape")))


def within_kind(scatter: Scatter) -> Scatter:
    """The part of a scatter that plants of one kind have among themselves."""
    share = math.sqrt(1 - between_kinds())
    return Scatter(scatter.asymptote * share, scatter.rate * share, scatter.shape * share)


def between_kinds() -> float:
    """Share of the variance of scores that plants of a kind have in common, as measured."""
    return coefficient_rows()["both", "between kinds", "share of variance"]


def scatter_factor(deviation: ArrayLike, score: ArrayLike) -> Array:
    """What a plant of some normal score has, over what the middle plant has; its root is even."""
    root = 1 + np.asarray(deviation, dtype=float) * np.asarray(score, dtype=float) / 2
    return np.asarray(np.maximum(root, _LEAST_ROOT) ** 2)


def scattered(
    asymptote_m: ArrayLike,
    rate: ArrayLike,
    shape: ArrayLike,
    *,
    scatter: Scatter,
    score: ArrayLike,
) -> Scattered:
    """Asymptote, rate and exponent of plants of some normal scores."""
    return {
        "asymptote_m": np.asarray(asymptote_m) * scatter_factor(scatter.asymptote, score),
        "rate": np.asarray(rate) * scatter_factor(scatter.rate, score),
        "shape": np.asarray(shape) / scatter_factor(scatter.shape, score),
    }
