"""How plants of a kind differ: one normal score z a plant, for the whole of its life.

A plant's asymptote is A exp(a z), its rate k exp(r z) and its exponent p exp(-q z), so that its
course rises with z in every year, and all of one size at planting agree on that day (growth
at a given size rises with A and k and falls with p). Deviations a, r and q of trees and
palms were fitted so that low to high (z = -1.28 to 1.28) holds 80 % of measured trees of
species left out of the fit, in the age bands from four years on; they stand in
coefficients.csv. A species with a curve of its own has only the part within a species.
Shrubs and all soft plants were hardly measured: their range is assumed, and wider.
"""

import math
from dataclasses import dataclass
from typing import TypedDict

import numpy as np
from numpy.typing import ArrayLike

from growth.coefficients import coefficient_rows
from growth.ranges import Array


@dataclass(frozen=True)
class Scatter:
    """Deviations of the logarithms of asymptote, rate and exponent."""

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
    return Scatter(*(found[of, "scatter", f"ln {part}"] for part in ("asymptote", "rate", "shape")))


def within_kind(scatter: Scatter) -> Scatter:
    """The part of a scatter that plants of one kind have among themselves."""
    share = math.sqrt(1 - between_kinds())
    return Scatter(scatter.asymptote * share, scatter.rate * share, scatter.shape * share)


def between_kinds() -> float:
    """Share of the variance of scores that plants of a kind have in common, as measured."""
    return coefficient_rows()["both", "between kinds", "share of variance"]


def scattered(
    asymptote_m: ArrayLike,
    rate: ArrayLike,
    shape: ArrayLike,
    *,
    scatter: Scatter,
    score: ArrayLike,
) -> Scattered:
    """Asymptote, rate and exponent of plants of some normal scores."""
    z = np.asarray(score, dtype=float)
    return {
        "asymptote_m": np.asarray(asymptote_m * np.exp(scatter.asymptote * z), dtype=float),
        "rate": np.asarray(rate * np.exp(scatter.rate * z), dtype=float),
        "shape": np.asarray(shape * np.exp(-scatter.shape * z), dtype=float),
    }
