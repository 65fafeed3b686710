"""Height and spread as curves of age: Chapman-Richards, H(t) = A (1 - exp(-k t))^p.

A is the middle of the mature range. A class of rate, or a document's growth_per_year, is
the steepest yearly growth of the curve (of the spread for plants that creep). p = 1.4 for
all: on 261 medians of measured trees (60 species) p from 1.0 to 1.7 did equally well.
How well it does is stated at `FIT`. Left out: climate, soil, water, crowding, and the
standstill of a first year apart from the curve (the measured trees carry it in theirs).

Source: Richards 1959, J. Exp. Bot. 10:290-301 (form of the curve).
Source of the tree classes: McPherson, van Doorn & Peper 2016, Urban tree database,
RDS-2016-0005, doi 10.2737/RDS-2016-0005; classes and mature heights of USDA NRCS PLANTS.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from growth.plants import Plant

Array = NDArray[np.float64]

SHAPE = 1.4
"""Exponent p of every curve."""

STEEPEST_SHARE: float = (1 - 1 / SHAPE) ** (SHAPE - 1)
"""Steepest yearly growth over A k, by setting the second derivative of the curve to zero."""

TREE_GROWTH_M_PER_YEAR = {"slow": 0.42, "moderate": 0.45, "fast": 0.62}
"""Steepest yearly height growth of trees by class, fitted to the medians named above.

The words hardly part slow from moderate: free fits gave 0.47, 0.43 and 0.62; the first two
were moved by under 0.05 so that a faster word is never slower. The class limits usually
printed (under 12 in, 13-24 in, over 25 in a year) are higher for fast trees than measured.
"""

PALM_GROWTH_M_PER_YEAR = {"slow": 0.15, "moderate": 0.30, "fast": 0.60}
"""Steepest yearly height growth of palms and cycads by class. From memory, save that fast
lies near the 0.62 m a year of Washingtonia robusta in the Urban tree database."""

SHRUB_RATE_PER_YEAR = {"slow": 0.08, "moderate": 0.16, "fast": 0.24}
"""k of shrubs and bamboo by class: moderate reaches half its height in about 4 years from a
fifth of it, and 80 % in about 10; slow takes twice as long. Inference from few shrub trials."""

SOFT_RATE_PER_YEAR = {"slow": 0.5, "moderate": 0.8, "fast": 1.2}
"""k of groundcovers, perennials, grasses, ferns and vines: grown in one to four years
(gardeners' first-year-sleep, third-year-leap saying; common practice)."""

FIT = (
    "Trees: the middle course misses the measured medians by age (3-40 years, 61 of the eight "
    "measured species of the catalogue) by 16 % of height and 15 % of spread in the median, "
    "the expected one by 18 % and 20 %; the fit of the classes used 60 species, these among "
    "them. Other plants: not measured, assumed."
)
"""How well the curves agree with measured plants, as far as was checked."""

_SPREAD_PACE = {"tree": 1.2, "shrub": 0.85, "bamboo": 0.85}
"""k of spread over k of height: fitted for trees; shrubs' spread lags their height
(inference from few trials)."""

_SOFT_SPREAD_PACE = 0.8
_FROND_SPREAD_RATE_PER_YEAR = {"palm": 0.30, "cycad": 0.10}
"""k of spread of plants whose spread is that of their fronds. From memory."""

_CREEPING_FORMS = ("mat", "sheet", "climber")


@dataclass(frozen=True)
class Curve:
    """A Chapman-Richards curve: asymptote in metres, rate k in 1/year."""

    asymptote_m: float
    rate_per_year: float


@dataclass(frozen=True)
class Scatter:
    """How plants of a kind differ: A exp(asymptote z), k exp(rate z) for a normal score z."""

    asymptote: float
    rate: float


TREE_SCATTER = Scatter(asymptote=0.25, rate=0.35)
"""Chosen so that low to high holds about 80 % of single measured trees about the curve of
their species, sites and species' errors included (Urban tree database, ages 4-60, 1,308
trees of the catalogue's species planted at 2.5 m: 81 % by height, 86 % by spread; by species
39 % for Quercus alba to 89 %). In the first three years 40 % only, since sizes at planting
differ there and are known here. Within one species and age band the 10th to 90th percentile
alone would give a deviation of the logarithm of 0.20-0.25."""

ASSUMED_SCATTER = Scatter(asymptote=0.30, rate=0.50)
"""Wider and assumed for all that is not a tree: few such plants were measured, and the year
of planting alone can double or halve their size at year 3."""


def size_at_age_m(age_years: ArrayLike, *, asymptote_m: ArrayLike, rate: ArrayLike) -> Array:
    """Size in metres at an age in years, for a rate k in 1/year."""
    grown = -np.expm1(-np.asarray(rate, dtype=float) * np.asarray(age_years, dtype=float))
    return np.asarray(asymptote_m * grown**SHAPE, dtype=float)


def age_at_size_years(size_m: ArrayLike, *, asymptote_m: ArrayLike, rate: ArrayLike) -> Array:
    """Age in years at which the curve has that size; infinite from the asymptote on."""
    share = np.minimum(np.asarray(size_m, dtype=float) / np.asarray(asymptote_m), 1.0)
    with np.errstate(divide="ignore"):
        return np.asarray(-np.log1p(-(share ** (1 / SHAPE))) / np.asarray(rate), dtype=float)


def grown_m(
    start_m: ArrayLike, years: ArrayLike, *, asymptote_m: ArrayLike, rate: ArrayLike
) -> Array:
    """Size in metres after `years` from `start_m`; a plant above its asymptote keeps its size."""
    age = age_at_size_years(start_m, asymptote_m=asymptote_m, rate=rate)
    size = size_at_age_m(age + np.asarray(years), asymptote_m=asymptote_m, rate=rate)
    return np.asarray(np.maximum(size, start_m), dtype=float)


def rate_from_growth(growth_m_per_year: float, asymptote_m: float) -> float:
    """Rate k in 1/year of the curve whose steepest yearly growth is the given one."""
    return growth_m_per_year / (asymptote_m * STEEPEST_SHARE)


def height_curve(plant: Plant) -> Curve:
    """The curve of a plant's height."""
    asymptote_m = _middle(plant.height_m)
    return Curve(asymptote_m, _height_rate(plant, asymptote_m))


def spread_curve(plant: Plant) -> Curve:
    """The curve of a plant's spread."""
    asymptote_m = _middle(plant.spread_m)
    if plant.kind in _FROND_SPREAD_RATE_PER_YEAR:
        return Curve(asymptote_m, _FROND_SPREAD_RATE_PER_YEAR[plant.kind])
    return Curve(asymptote_m, _spread_pace(plant) * height_curve(plant).rate_per_year)


def scatter(plant: Plant) -> Scatter:
    """How far plants of that kind differ from one another."""
    return TREE_SCATTER if plant.kind == "tree" else ASSUMED_SCATTER


def _height_rate(plant: Plant, asymptote_m: float) -> float:
    """Rate k in 1/year of the height: from the stated yearly growth, else from the class."""
    if plant.growth_m_per_year is not None:
        if plant.form in _CREEPING_FORMS:
            creep = rate_from_growth(plant.growth_m_per_year, _middle(plant.spread_m))
            return creep / _spread_pace(plant)
        return rate_from_growth(plant.growth_m_per_year, asymptote_m)
    if plant.kind == "tree":
        return rate_from_growth(TREE_GROWTH_M_PER_YEAR[plant.rate], asymptote_m)
    if plant.kind in ("palm", "cycad"):
        return rate_from_growth(PALM_GROWTH_M_PER_YEAR[plant.rate], asymptote_m)
    if plant.kind in ("shrub", "bamboo"):
        return SHRUB_RATE_PER_YEAR[plant.rate]
    return SOFT_RATE_PER_YEAR[plant.rate]


def _spread_pace(plant: Plant) -> float:
    return _SPREAD_PACE.get(plant.kind, _SOFT_SPREAD_PACE)


def _middle(pair: tuple[float, float]) -> float:
    return (pair[0] + pair[1]) / 2
