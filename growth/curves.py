"""Sizes as curves of age: Chapman-Richards, S(t) = A (1 - exp(-k t))^p, in metres and years.

Every source of a plant's course ends in such a curve of three figures: it starts at zero,
never falls, stays below A, and turns round in closed form, so that a plant of any size can
enter it and run on, a hundred thousand at once.

Left out here: which curve a plant has (see `basis`), and how plants differ (see `scatter`).

Source: Richards 1959, J. Exp. Bot. 10:290-301 (form of the curve).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

SHAPE = 1.4
"""Exponent p where nothing was fitted: on 261 medians of measured trees (60 species, Urban
tree database, doi 10.2737/RDS-2016-0005) p from 1.0 to 1.7 did equally well."""


@dataclass(frozen=True)
class Curve:
    """A Chapman-Richards curve: asymptote in metres, rate k in 1/year, exponent p."""

    asymptote_m: float
    rate_per_year: float
    shape: float = SHAPE


def size_at_age_m(
    age_years: ArrayLike, *, asymptote_m: ArrayLike, rate: ArrayLike, shape: ArrayLike = SHAPE
) -> Array:
    """Size in metres at an age in years, for a rate k in 1/year."""
    grown = -np.expm1(-np.asarray(rate, dtype=float) * np.asarray(age_years, dtype=float))
    return np.asarray(asymptote_m * grown ** np.asarray(shape), dtype=float)


def age_at_size_years(
    size_m: ArrayLike, *, asymptote_m: ArrayLike, rate: ArrayLike, shape: ArrayLike = SHAPE
) -> Array:
    """Age in years at which the curve has that size; infinite from the asymptote on."""
    share = np.minimum(np.asarray(size_m, dtype=float) / np.asarray(asymptote_m), 1.0)
    with np.errstate(divide="ignore"):
        return np.asarray(-np.log1p(-(share ** (1 / np.asarray(shape)))) / np.asarray(rate))


def grown_m(
    start_m: ArrayLike,
    years: ArrayLike,
    *,
    asymptote_m: ArrayLike,
    rate: ArrayLike,
    shape: ArrayLike = SHAPE,
) -> Array:
    """Size in metres after `years` from `start_m`; a plant above its asymptote keeps its size."""
    age = age_at_size_years(start_m, asymptote_m=asymptote_m, rate=rate, shape=shape)
    size = size_at_age_m(age + np.asarray(years), asymptote_m=asymptote_m, rate=rate, shape=shape)
    return np.asarray(np.maximum(size, start_m), dtype=float)


def steepest_share(shape: float = SHAPE) -> float:
    """Steepest yearly growth over A k, by setting the second derivative of the curve to zero."""
    return float((1 - 1 / shape) ** (shape - 1)) if shape > 1 else 1.0


def rate_from_growth(growth_m_per_year: float, asymptote_m: float) -> float:
    """Rate k in 1/year of the curve of exponent SHAPE whose steepest growth is the given one."""
    return growth_m_per_year / (asymptote_m * steepest_share())
