"""How well the class curves foretell trees of a species they have not seen.

Every species is left out once, the curves are fitted to the others, and its trees foretold
from their region, the species' traits and the size of small stock. Error: how far the median
foretold misses the median measured, for each species and age band of five or more trees;
bias: the median of that miss with its sign. Coverage: the share of single trees between the
low and the high foretold; width: high less low over the middle, in the median.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from scipy.special import ndtri

from growth.calibrate.fit import (
    STEPS,
    STEPS_AGAIN,
    Design,
    curves,
    design,
    fit,
    other_design,
    plain_design,
    prior,
)
from growth.calibrate.trees import (
    AGE_BANDS,
    FEWEST_TREES,
    FIRST_JUDGED_BAND,
    BoolArray,
    IntArray,
    Trees,
)
from growth.curves import grown_m
from growth.ranges import HIGH_SHARE, LOW_SHARE, Array
from growth.scatter import Scatter, scattered

FIRST_RANGED_BAND = 2
"""Coverage is judged from four years on: before, sizes at planting rule, which a user knows."""

BAND_LEEWAY, POOLED_LEEWAY = 0.045, 0.02
"""How far from 80 % the share of trees inside may lie, in a band and over all."""

_TRIED_ASYMPTOTE = np.arange(0.1, 0.26, 0.0125)
_TRIED_RATE = np.arange(0.1, 0.61, 0.05)
_TRIED_SHAPE = np.arange(0.1, 0.36, 0.05)


@dataclass(frozen=True)
class Outcome:
    """Curves of every tree from fits without its species, by either source of mature size."""

    of: str
    measured_m: Array
    asymptote_m: Array
    rate: Array
    shape: Array
    foretold_m: Array
    other_foretold_m: Array
    stock_m: float
    found: Array


@dataclass(frozen=True)
class Miss:
    """One species and age band: indices, trees, foretold over measured median less one."""

    species: int
    band: int
    trees: int
    share: float


def leave_out(trees: Trees, *, of: str) -> Outcome:
    """Every species foretold by a fit to the others; and the fit to all."""
    rows, plain, other = (make(trees, of=of) for make in (design, plain_design, other_design))
    found = fit(rows, prior(rows.stock_m)[0], steps=STEPS)
    shape = np.ones(len(plain.species))
    asymptote_m, rate, foretold_m, other_m = (np.ones(len(plain.species)) for _ in range(4))
    for number in np.unique(trees.kind):
        without = fit(rows.only(rows.species != number), found, steps=STEPS_AGAIN)
        mine = plain.species == number
        asymptote_m[mine], rate[mine], shape[mine] = curves(plain.only(mine), without)
        foretold_m[mine] = _foretold_m(plain.only(mine), without)
        other_m[mine] = _foretold_m(other.only(mine), without)
    measured_m = trees.height_m if of == "height" else trees.spread_m
    return Outcome(
        of, measured_m, asymptote_m, rate, shape, foretold_m, other_m, rows.stock_m, found
    )


def misses(
    trees: Trees,
    measured_m: Array,
    foretold_m: Array,
    *,
    by: Callable[[Array], np.floating] = np.median,
) -> list[Miss]:
    """The miss of every species and age band of enough trees, by medians or by means."""
    found = []
    bands = trees.band()
    for species in np.unique(trees.kind):
        for band in range(FIRST_JUDGED_BAND, len(AGE_BANDS)):
            mine = (trees.kind == species) & (bands == band) & (measured_m > 0)
            if mine.sum() >= FEWEST_TREES:
                share = by(foretold_m[mine]) / by(measured_m[mine]) - 1
                found.append(Miss(int(species), band, int(mine.sum()), float(share)))
    return found


def ends_m(outcome: Outcome, age_years: Array, scatter: Scatter) -> tuple[Array, Array]:
    """Low and high size in metres of every tree, from small stock."""
    low, high = (
        grown_m(
            outcome.stock_m,
            age_years,
            **scattered(
                outcome.asymptote_m, outcome.rate, outcome.shape, scatter=scatter, score=score
            ),
        )
        for score in ndtri([LOW_SHARE, HIGH_SHARE])
    )
    return low, high


def fit_scatter(trees: Trees, outcome: Outcome) -> Scatter:
    """The narrowest scatter whose low and high hold about 80 % of trees, in all and by band."""
    bands = trees.band()
    judged = (bands >= FIRST_RANGED_BAND) & (outcome.measured_m > 0)
    age, measured_m, band = trees.age_years[judged], outcome.measured_m[judged], bands[judged]
    few = _only(outcome, judged)

    def fault(scatter: Scatter) -> float:
        low_m, high_m = ends_m(few, age, scatter)
        inside = (measured_m >= low_m) & (measured_m <= high_m)
        each = [inside[band == b].mean() - 0.8 for b in range(FIRST_RANGED_BAND, len(AGE_BANDS))]
        beyond = np.maximum(np.abs(each) - BAND_LEEWAY, 0).sum()
        beyond += max(abs(inside.mean() - 0.8) - POOLED_LEEWAY, 0.0)
        return float(100 * beyond + np.log(high_m / low_m).mean())

    tried = itertools.product(_TRIED_ASYMPTOTE, _TRIED_RATE, _TRIED_SHAPE)
    return min((Scatter(*(float(part) for part in parts)) for parts in tried), key=fault)


def centred(trees: Trees, outcome: Outcome, scatter: Scatter) -> Outcome:
    """The outcome moved so that the middle misses medians by what the expected misses means.

    The scatter is skewed more than the trees are, so the two cannot both be met; they are
    missed by the same share, on either side.
    """
    expected_m = expected_sizes_m(outcome, trees.age_years, scatter)
    of_medians = misses(trees, outcome.measured_m, outcome.foretold_m)
    of_means = misses(trees, outcome.measured_m, expected_m, by=np.mean)
    biases = [float(np.median([miss.share for miss in found])) for found in (of_medians, of_means)]
    factor = 1 - sum(biases) / 2
    asymptote_m = outcome.asymptote_m * factor
    found = outcome.found.copy()
    found[0] += np.log(factor)
    foretold_m = grown_m(
        outcome.stock_m,
        trees.age_years,
        asymptote_m=asymptote_m,
        rate=outcome.rate,
        shape=outcome.shape,
    )
    return replace(outcome, asymptote_m=asymptote_m, foretold_m=foretold_m, found=found)


def expected_sizes_m(outcome: Outcome, age_years: Array, scatter: Scatter) -> Array:
    """Mean sizes in metres over the scatter, from small stock."""
    nodes, weights = hermegauss(12)
    mean_m = np.zeros(len(age_years))
    for node, weight in zip(nodes, weights / weights.sum(), strict=True):
        plants = scattered(
            outcome.asymptote_m, outcome.rate, outcome.shape, scatter=scatter, score=node
        )
        mean_m += weight * grown_m(outcome.stock_m, age_years, **plants)
    return mean_m


def between_share(trees: Trees, outcome: Outcome) -> tuple[float, float]:
    """Deviations of ln size between and within species of a region, from four years on.

    One-way analysis of variance of the misses in each age band, pooled by degrees of freedom.
    """
    bands = trees.band()
    between, within, weight = [], [], []
    for band in range(FIRST_RANGED_BAND, len(AGE_BANDS)):
        mine = (bands == band) & (outcome.measured_m > 0)
        miss = np.log(outcome.measured_m[mine] / outcome.foretold_m[mine])
        cell = trees.kind[mine] * 100 + trees.region[mine]
        of_cells, of_single = _variances(miss, cell)
        between.append(of_cells)
        within.append(of_single)
        weight.append(mine.sum())
    return (
        float(np.sqrt(np.average(between, weights=weight))),
        float(np.sqrt(np.average(within, weights=weight))),
    )


def _variances(miss: Array, cell: IntArray) -> tuple[float, float]:
    """Variance between cells and within them."""
    _, number, count = np.unique(cell, return_inverse=True, return_counts=True)
    mean = np.bincount(number, miss) / count
    within = float(((miss - mean[number]) ** 2).sum() / (len(miss) - len(count)))
    usual = (len(miss) - (count**2).sum() / len(miss)) / (len(count) - 1)
    of_means = float((count * (mean - miss.mean()) ** 2).sum() / (len(count) - 1))
    return max((of_means - within) / usual, 0.0), within


def _foretold_m(rows: Design, found: Array) -> Array:
    asymptote_m, rate, shape = curves(rows, found)
    return grown_m(rows.stock_m, rows.age_years, asymptote_m=asymptote_m, rate=rate, shape=shape)


def _only(outcome: Outcome, rows: BoolArray) -> Outcome:
    return replace(
        outcome,
        measured_m=outcome.measured_m[rows],
        asymptote_m=outcome.asymptote_m[rows],
        rate=outcome.rate[rows],
        shape=outcome.shape[rows],
        foretold_m=outcome.foretold_m[rows],
        other_foretold_m=outcome.other_foretold_m[rows],
    )
