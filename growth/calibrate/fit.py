"""The class curves fitted to measured trees: robust, shrunken, by Gauss-Newton steps.

Every tree gives one equation: ln size = ln A + p ln(1 - exp(-k (age + lead))), where lead is
the age at which the curve has the size of small nursery stock. ln A, ln k are sums of terms
(see `classes`). Residuals beyond HUBER count less, so that medians are met rather than
means; species count by the inverse root of their number of trees; terms are drawn to zero
by a ridge, those of regions more firmly. Species with two sources of mature size are fitted
with both, so that users of either are served.
"""

from dataclasses import dataclass, replace

import numpy as np

from growth.calibrate.trees import BoolArray, IntArray, Trees
from growth.classes import (
    ASYMPTOTE_TERMS,
    RATE_OF_GROWTH_TERMS,
    Traits,
    rate_terms,
    size_terms,
)
from growth.climate import REGIONS
from growth.curves import grown_m
from growth.equations import SMALL_STOCK_M
from growth.ranges import Array

STOCK_M = dict(zip(("height", "spread"), SMALL_STOCK_M, strict=True))

HUBER = 0.15
RIDGE = 0.5
REGION_SCALE = 0.5
OTHER_SOURCE_SHARE = 0.4
STEPS, STEPS_AGAIN = 10, 2

FREE = 0.02
"""Share of the ridge on the constant terms."""


@dataclass(frozen=True)
class Courses:
    """Curves of some trees, one each: asymptotes in metres, rates in 1/year, exponents."""

    asymptote_m: Array
    rate: Array
    shape: Array
    stock_m: float

    def only(self, rows: BoolArray | IntArray) -> "Courses":
        """Those of some trees."""
        return replace(
            self, asymptote_m=self.asymptote_m[rows], rate=self.rate[rows], shape=self.shape[rows]
        )

    def where(self, mine: BoolArray, others: "Courses") -> "Courses":
        """The same, with those of some trees taken from others."""
        return replace(
            self,
            asymptote_m=np.where(mine, others.asymptote_m, self.asymptote_m),
            rate=np.where(mine, others.rate, self.rate),
            shape=np.where(mine, others.shape, self.shape),
        )

    def times(self, factor: float) -> "Courses":
        """The same with asymptotes times a factor."""
        return replace(self, asymptote_m=self.asymptote_m * factor)

    def sizes_m(self, age_years: Array) -> Array:
        """Sizes in metres some years after planting as small stock."""
        return grown_m(
            self.stock_m,
            age_years,
            asymptote_m=self.asymptote_m,
            rate=self.rate,
            shape=self.shape,
        )


@dataclass(frozen=True)
class Design:
    """Rows to fit: terms of ln A and ln k, age, ln size, weight, species of every row."""

    asymptote: Array
    rate: Array
    age_years: Array
    ln_size: Array
    weight: Array
    species: IntArray
    of: str

    @property
    def stock_m(self) -> float:
        """Size in metres that the trees are taken to be planted at."""
        return STOCK_M[self.of]

    def only(self, rows: BoolArray) -> "Design":
        """The same with some rows."""
        return replace(
            self,
            asymptote=self.asymptote[rows],
            rate=self.rate[rows],
            age_years=self.age_years[rows],
            ln_size=self.ln_size[rows],
            weight=self.weight[rows],
            species=self.species[rows],
        )


def design(trees: Trees, *, of: str) -> Design:
    """Rows of the trees for "height" or "spread", twice where two sources give mature sizes."""
    first = _rows(trees, [s.traits for s in trees.species], of=of)
    has_other = np.array([s.others is not None for s in trees.species])[trees.kind]
    second = _rows(trees, [s.others or s.traits for s in trees.species], of=of)
    share = np.where(has_other, 1 - OTHER_SOURCE_SHARE, 1.0)
    first = replace(first, weight=first.weight * share)
    second = replace(second, weight=second.weight * np.where(has_other, OTHER_SOURCE_SHARE, 0.0))
    return _joined(first.only(first.weight > 0), second.only(second.weight > 0))


def plain_design(trees: Trees, *, of: str) -> Design:
    """One row a tree, in their order, for prediction."""
    return _rows(trees, [species.traits for species in trees.species], of=of)


def other_design(trees: Trees, *, of: str) -> Design:
    """One row a tree with the second source of mature size where there is one."""
    return _rows(trees, [species.others or species.traits for species in trees.species], of=of)


def fit(rows: Design, start: Array, *, steps: int) -> Array:
    """Coefficients after some Gauss-Newton steps: terms of ln A, terms of ln k, ln p."""
    ahead, firmness = prior(rows.of), _firmness(rows)
    found = start
    for _ in range(steps):
        ln_size, slope = _linearised(rows, found)
        missed = rows.ln_size - ln_size
        weight = rows.weight * np.minimum(1.0, HUBER / np.maximum(np.abs(missed), 1e-9))
        weighted = slope * weight[:, None]
        left = weighted.T @ slope + np.diag(firmness)
        found = found + np.linalg.solve(left, weighted.T @ missed - firmness * (found - ahead))
    return found


def prior(of: str) -> Array:
    """Coefficients the ridge draws to, for "height" or "spread"."""
    terms = len(ASYMPTOTE_TERMS) + len(REGIONS)
    count = terms + len(RATE_OF_GROWTH_TERMS) + len(REGIONS) + 1
    ahead = np.zeros(count)
    ahead[0] = np.log(15.0 if of == "height" else 10.0)
    ahead[ASYMPTOTE_TERMS.index(of)] = 0.7
    ahead[terms], ahead[-1] = np.log(0.04), 0.2
    return ahead


def courses(rows: Design, found: Array) -> Courses:
    """The curve of every row."""
    terms = rows.asymptote.shape[1]
    return Courses(
        np.exp(rows.asymptote @ found[:terms]),
        np.exp(rows.rate @ found[terms:-1]),
        np.full(len(rows.species), np.exp(found[-1])),
        rows.stock_m,
    )


def _firmness(rows: Design) -> Array:
    """How firmly the ridge holds each coefficient; constant terms are all but free."""
    terms = rows.asymptote.shape[1]
    firmness = np.full(terms + rows.rate.shape[1] + 1, RIDGE)
    firmness[[0, terms]] = FREE * RIDGE
    firmness[-1] = 0.2 * RIDGE
    return firmness


def table(found: Array) -> dict[tuple[str, str], float]:
    """The coefficients by parameter and term, regions in natural logarithms."""
    codes = [region.code for region in REGIONS]
    names = [("ln asymptote", term) for term in ASYMPTOTE_TERMS]
    names += [("ln asymptote, region", code) for code in codes]
    names += [("ln rate", term) for term in RATE_OF_GROWTH_TERMS]
    names += [("ln rate, region", code) for code in codes]
    scale = [REGION_SCALE if "region" in parameter else 1.0 for parameter, _ in names]
    values = dict(zip(names, np.array(scale) * found[:-1], strict=True))
    return {**values, ("shape", "one"): float(np.exp(found[-1]))}


def _rows(trees: Trees, traits: list[Traits], *, of: str) -> Design:
    size_m = trees.size_m(of)
    places = REGION_SCALE * np.eye(len(REGIONS))[trees.region]
    count = np.bincount(trees.kind, minlength=len(traits))[trees.kind]
    usable = (size_m > 0) & (trees.age_years >= 1)
    return Design(
        asymptote=np.hstack([np.array([size_terms(t) for t in traits])[trees.kind], places]),
        rate=np.hstack([np.array([rate_terms(t) for t in traits])[trees.kind], places]),
        age_years=trees.age_years,
        ln_size=np.log(np.where(size_m > 0, size_m, 1.0)),
        weight=np.where(usable, count**-0.5, 0.0),
        species=trees.kind,
        of=of,
    )


def _joined(first: Design, second: Design) -> Design:
    return Design(
        np.concatenate([first.asymptote, second.asymptote]),
        np.concatenate([first.rate, second.rate]),
        np.concatenate([first.age_years, second.age_years]),
        np.concatenate([first.ln_size, second.ln_size]),
        np.concatenate([first.weight, second.weight]),
        np.concatenate([first.species, second.species]),
        of=first.of,
    )


def _linearised(rows: Design, found: Array) -> tuple[Array, Array]:
    """ln size of every row and its slopes against all coefficients, by small differences."""
    terms, step = rows.asymptote.shape[1], 1e-4
    ln_a, ln_k = rows.asymptote @ found[:terms], rows.rate @ found[terms:-1]
    here = _ln_size(rows, ln_a, ln_k, found[-1])
    by_a = (_ln_size(rows, ln_a + step, ln_k, found[-1]) - here) / step
    by_k = (_ln_size(rows, ln_a, ln_k + step, found[-1]) - here) / step
    by_p = (_ln_size(rows, ln_a, ln_k, found[-1] + step) - here) / step
    slopes = [rows.asymptote * by_a[:, None], rows.rate * by_k[:, None], by_p[:, None]]
    return here, np.hstack(slopes)


def _ln_size(rows: Design, ln_a: Array, ln_k: Array, ln_p: float) -> Array:
    shape = np.exp(ln_p)
    start = np.clip(rows.stock_m * np.exp(-ln_a), 1e-6, 0.98) ** (1 / shape)
    left = (1 - start) * np.exp(-np.exp(ln_k) * rows.age_years)
    return np.asarray(ln_a + shape * np.log1p(-left))
