"""How well the class curves foretell trees of a species they have not seen.

Every species is left out once, the curves are fitted to the others, and its trees foretold
from their region, the species' traits and the size of small stock. Error: how far the median
foretold misses the median measured, for each species and age band of five or more trees;
bias: the median of that miss with its sign. How single trees differ, between species and
within them, is measured on the same misses.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from growth.calibrate.fit import (
    STEPS,
    STEPS_AGAIN,
    Courses,
    courses,
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
from growth.ranges import Array

FIRST_GROWN_BAND = 2
"""Before four years sizes at planting rule, and say little of how growth differs."""


@dataclass(frozen=True)
class Outcome:
    """Courses of every tree from fits without its species, by either source of mature size."""

    of: str
    measured_m: Array
    courses: Courses
    others: Courses
    found: Array

    def only(self, rows: BoolArray) -> "Outcome":
        """Those of some trees."""
        return replace(
            self,
            measured_m=self.measured_m[rows],
            courses=self.courses.only(rows),
            others=self.others.only(rows),
        )

    def times(self, factor: float) -> "Outcome":
        """The same with every asymptote times the factor."""
        found = self.found.copy()
        found[0] += np.log(factor)
        return replace(
            self, courses=self.courses.times(factor), others=self.others.times(factor), found=found
        )


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
    found = fit(rows, prior(of), steps=STEPS)
    first, second = courses(plain, found), courses(other, found)
    for number in np.unique(trees.kind):
        mine = plain.species == number
        without = fit(rows.only(rows.species != number), found, steps=STEPS_AGAIN)
        first = first.where(mine, courses(plain, without))
        second = second.where(mine, courses(other, without))
    return Outcome(of, trees.size_m(of), first, second, found)


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


def bias(found: list[Miss]) -> float:
    """The median of the misses with their signs."""
    return float(np.median([miss.share for miss in found]))


@dataclass(frozen=True)
class Deviations:
    """Standard deviations of ln size between and within species of a region."""

    between: float
    within: float

    @property
    def share_between(self) -> float:
        """Share of the variance that lies between species."""
        return self.between**2 / (self.between**2 + self.within**2)


def deviations(trees: Trees, outcome: Outcome) -> Deviations:
    """How far species, and trees within them, lie off their course, from four years on.

    One-way analysis of variance of the misses in each age band, pooled by degrees of freedom.
    """
    bands = trees.band()
    foretold_m = outcome.courses.sizes_m(trees.age_years)
    between, within, weight = [], [], []
    for band in range(FIRST_GROWN_BAND, len(AGE_BANDS)):
        mine = (bands == band) & (outcome.measured_m > 0)
        miss = np.log(outcome.measured_m[mine] / foretold_m[mine])
        cell = trees.kind[mine] * 100 + trees.region[mine]
        of_cells, of_single = _variances(miss, cell)
        between.append(of_cells)
        within.append(of_single)
        weight.append(mine.sum())
    return Deviations(
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
