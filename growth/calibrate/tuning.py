"""How wide the range is, and where its middle lies: scatter and centre of the class curves.

A tree's size scatters by its growth (see `scatter`) and by the size it was planted at, which
no survey tells; both are fitted at once, to trees foretold with their species left out. The
score to be minimised is that of an interval: its width, and ten times what a tree lies beyond
it, in logarithms; every age band counts alike, and a band that holds too few or too many is
dearer still. Where the size at planting is taken as known, that range is narrower in the first
years; it too must hold nearly as many from four years on, since a nursery names a class of
sizes. The centre lets middle and expected course miss the medians alike, on either side.

To judge it fairly, a fifth of the species at a time is foretold with what the others gave.
Source of the score: Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102:359-378 (from memory).
"""

from dataclasses import dataclass, fields

import numpy as np
from scipy.optimize import minimize
from scipy.special import ndtri

from growth.calibrate.fit import Courses
from growth.calibrate.judge import FIRST_GROWN_BAND, Outcome, bias, misses
from growth.calibrate.trees import FIRST_JUDGED_BAND, BoolArray, IntArray, Trees
from growth.curves import grown_m
from growth.ranges import HIGH_SHARE, LOW_SHARE, Array
from growth.scatter import Scatter, scatter_factor, scattered

FOLDS = 5
ROUNDS = 2
"""Scatter and centre depend on each other a little; after two rounds they stand still."""

INSIDE = HIGH_SHARE - LOW_SHARE
BAND_LEEWAY, KNOWN_LEEWAY, DEARER = 0.02, 0.04, 30.0
"""How far from 80 % a band may lie at no cost, how far below it where the size at planting is
taken as known, and the cost of more. Chosen, not fitted."""

GROWTH_SCORES: Array = ndtri((np.arange(25) + 0.5) / 25)
STOCK_SCORES: Array = ndtri((np.arange(7) + 0.5) / 7)
"""Evenly likely scores of growth and of size at planting."""

_START = (0.2, 0.2, 0.15, 0.5)
_STEP = (0.05, 0.08, 0.1, 0.1)
_BOUNDS = ((0.0, 0.45), (0.0, 0.6), (0.0, 0.35), (0.0, 0.8))
"""The exponent of one plant in a thousand stays within a factor of five."""


@dataclass(frozen=True)
class Tuning:
    """Scatter of growth, deviation of sizes at planting, and factor on all asymptotes."""

    scatter: Scatter
    stock: float
    factor: float


@dataclass(frozen=True)
class Foretold:
    """Sizes in metres of every tree; low and high also for a tree of known size at planting."""

    low_m: Array
    middle_m: Array
    expected_m: Array
    high_m: Array
    known_low_m: Array
    known_high_m: Array
    other_m: Array

    def inside(self, measured_m: Array) -> BoolArray:
        """Whether every tree lies between low and high."""
        return (measured_m >= self.low_m) & (measured_m <= self.high_m)

    def inside_known(self, measured_m: Array) -> BoolArray:
        """Whether it lies between low and high of small stock of exactly its usual size."""
        return (measured_m >= self.known_low_m) & (measured_m <= self.known_high_m)


def tune(trees: Trees, outcome: Outcome, *, rows: BoolArray) -> Tuning:
    """Scatter and centre of the trees in some rows."""
    found, factor = np.array(_START), 1.0
    some, few = trees.only(rows), outcome.only(rows)
    for number in range(ROUNDS):
        centred = few.times(factor)
        found = _fit_scatter(some, centred, start=found, step=np.array(_STEP) / (1 + number))
        tuning = Tuning(Scatter(*(float(part) for part in found[:3])), float(found[3]), factor)
        foretold = foretell(some, few, tuning)
        sizes_m = (foretold.middle_m, foretold.expected_m)
        off = [bias(misses(some, few.measured_m, size_m)) for size_m in sizes_m]
        factor *= 1 - sum(off) / 2
    return Tuning(tuning.scatter, tuning.stock, factor)


def foretell(trees: Trees, outcome: Outcome, tuning: Tuning) -> Foretold:
    """Sizes of every tree, in metres, by the tuned curves."""
    centred = outcome.times(tuning.factor)
    low_m, expected_m, high_m = _sizes_m(centred.courses, trees.age_years, tuning)
    known_low_m, known_high_m = _ends_m(centred.courses, trees.age_years, tuning.scatter)
    return Foretold(
        low_m,
        centred.courses.sizes_m(trees.age_years),
        expected_m,
        high_m,
        known_low_m,
        known_high_m,
        centred.others.sizes_m(trees.age_years),
    )


def foretell_unseen(trees: Trees, outcome: Outcome) -> Foretold:
    """Sizes of every tree, in metres, with scatter and centre of four fifths of other species."""
    sizes_m = np.zeros((len(fields(Foretold)), len(trees.kind)))
    for fold in range(FOLDS):
        mine = trees.kind % FOLDS == fold
        foretold = foretell(trees.only(mine), outcome.only(mine), tune(trees, outcome, rows=~mine))
        sizes_m[:, mine] = [getattr(foretold, field.name) for field in fields(Foretold)]
    return Foretold(*sizes_m)


def _fit_scatter(trees: Trees, outcome: Outcome, *, start: Array, step: Array) -> Array:
    """Deviations of asymptote, rate, exponent and size at planting with the least score."""
    first, back = trees.alike()
    ages, courses = trees.age_years[first], outcome.courses.only(first)
    usable = outcome.measured_m > 0
    measured_m, bands = outcome.measured_m[usable], trees.band()[usable]

    def cost(found: Array) -> float:
        tuning = Tuning(Scatter(*found[:3]), float(found[3]), 1.0)
        low_m, _, high_m = _sizes_m(courses, ages, tuning)
        known_low_m, known_high_m = _ends_m(courses, ages, tuning.scatter)
        ends = (size_m[back][usable] for size_m in (low_m, high_m, known_low_m, known_high_m))
        return range_cost(measured_m, *ends, bands=bands)

    simplex = np.vstack([start, start + np.diag(step)])
    best = minimize(
        cost,
        start,
        method="Nelder-Mead",
        bounds=_BOUNDS,
        options={"initial_simplex": simplex, "xatol": 3e-3, "fatol": 2e-4},
    )
    return np.asarray(best.x)


def range_cost(
    measured_m: Array,
    low_m: Array,
    high_m: Array,
    known_low_m: Array,
    known_high_m: Array,
    *,
    bands: IntArray,
) -> float:
    """Mean interval score over the age bands, and the cost of bands that miss 80 %."""
    beyond = np.maximum(np.log(low_m / measured_m), 0) + np.maximum(np.log(measured_m / high_m), 0)
    score = np.log(high_m / low_m) + beyond * 2 / (1 - INSIDE)
    off = (beyond == 0) - INSIDE
    known_off = ((measured_m >= known_low_m) & (measured_m <= known_high_m)) - INSIDE
    costs = []
    for band in np.unique(bands):
        mine = bands == band
        beyond_leeway = 0.0
        if band >= FIRST_JUDGED_BAND:
            beyond_leeway += max(abs(off[mine].mean()) - BAND_LEEWAY, 0)
        if band >= FIRST_GROWN_BAND:
            beyond_leeway += max(-known_off[mine].mean() - KNOWN_LEEWAY, 0)
        costs.append(score[mine].mean() + DEARER * beyond_leeway)
    return float(np.mean(costs))


def _sizes_m(courses: Courses, age_years: Array, tuning: Tuning) -> tuple[Array, Array, Array]:
    """Low, mean and high over growth and size at planting, in metres."""
    stock_m = courses.stock_m * scatter_factor(tuning.stock, STOCK_SCORES[:, None])
    sizes_m = np.concatenate(
        [
            _scattered_m(courses, age_years, tuning.scatter, score=score, stock_m=stock_m)
            for score in GROWTH_SCORES
        ]
    )
    low_m, high_m = np.quantile(sizes_m, [LOW_SHARE, HIGH_SHARE], axis=0, method="hazen")
    return low_m, sizes_m.mean(axis=0), high_m


def _ends_m(courses: Courses, age_years: Array, scatter: Scatter) -> tuple[Array, Array]:
    """Low and high over growth alone, in metres, from small stock of its usual size."""
    low_m, high_m = (
        _scattered_m(courses, age_years, scatter, score=score)
        for score in ndtri([LOW_SHARE, HIGH_SHARE])
    )
    return low_m, high_m


def _scattered_m(
    courses: Courses,
    age_years: Array,
    scatter: Scatter,
    *,
    score: float,
    stock_m: Array | None = None,
) -> Array:
    """Sizes in metres of plants of one score of growth, from small stock or other sizes."""
    plants = scattered(
        courses.asymptote_m, courses.rate, courses.shape, scatter=scatter, score=score
    )
    return grown_m(courses.stock_m if stock_m is None else stock_m, age_years, **plants)
