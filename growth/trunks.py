"""The age of a standing tree from its trunk, and its curves scaled through what was measured.

The species' own equation of trunk by age, where there is one near the site, is read backwards;
else a relation fitted to measured trees gives years since planting from trunk, type, rate word
and mature size (trunk_ages.csv; one tree's age is missed by 31 % in the median). The curve
of an undisturbed tree of that age is then scaled so that it passes through the measured size.

Left out: trees of unlike history, such as forest trees: an age from a trunk is a rough one.
A scaled curve ends no further from the kind's own than 10th and 90th percentile plants do.
Source: equations and trees, Urban tree database, doi 10.2737/RDS-2016-0005.
"""

import csv
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
from scipy.special import ndtri

from growth.basis import Basis
from growth.classes import Traits, traits_of
from growth.climate import Climate, near_shares
from growth.curves import Curve, grown_m
from growth.equations import SMALL_STOCK_M, Equation, equations
from growth.plants import Plant
from growth.ranges import HIGH_SHARE, LOW_SHARE, Array
from growth.scatter import Scatter, scatter_factor

TABLE = Path(__file__).with_name("trunk_ages.csv")

TERMS = ("one", "ln trunk cm", "evergreen", "conifer", "slow", "fast", "ln height", "ln spread")

OLDEST_YEARS = 150
"""Ages are looked for up to this; older trees hardly grow."""


def age_from_trunk_years(plant: Plant, trunk_m: float, climate: Climate) -> float | None:
    """Years since planting of a tree with that trunk at breast height; None for other kinds."""
    traits = traits_of(plant)
    if traits is None or traits.type == "palm":  # trunks of palms do not thicken with age
        return None
    trunk_cm = 100 * trunk_m
    of_species = [
        (share, equations()[plant.name, code]["trunk_cm"])
        for code, share in near_shares(climate).items()
        if (plant.name, code) in equations()
    ]
    if of_species:
        ages = [_age_years(equation, trunk_cm) for _, equation in of_species]
        return float(np.average(ages, weights=[share for share, _ in of_species]))
    ln_age = trunk_terms(traits, trunk_cm) @ _trunk_values()
    return float(min(math.exp(ln_age), OLDEST_YEARS))


def trunk_terms(traits: Traits, trunk_cm: float) -> Array:
    """Values of TERMS for a tree."""
    kind = [float(traits.type == word) for word in ("evergreen", "conifer")]
    rate = [float(traits.rate == word) for word in ("slow", "fast")]
    size = [math.log(traits.height_m / 15), math.log(traits.spread_m / 10)]
    return np.array([1.0, math.log(trunk_cm), *kind, *rate, *size])


def through_measured(basis: Basis, *, age_years: float, measured_m: tuple[float, float]) -> Basis:
    """The basis with its curves scaled through the height and spread of that age in metres."""
    height, spread = (
        _scaled(curve, scatter, age_years=age_years, size_m=size_m, stock_m=stock_m)
        for curve, scatter, size_m, stock_m in zip(
            (basis.height, basis.spread),
            (basis.height_scatter, basis.spread_scatter),
            measured_m,
            SMALL_STOCK_M,
            strict=True,
        )
    )
    return replace(basis, height=height, spread=spread)


def _scaled(
    curve: Curve, scatter: Scatter, *, age_years: float, size_m: float, stock_m: float
) -> Curve:
    usual_m = grown_m(
        min(stock_m, curve.asymptote_m),
        age_years,
        asymptote_m=curve.asymptote_m,
        rate=curve.rate_per_year,
        shape=curve.shape,
    )
    least, most = scatter_factor(scatter.asymptote, ndtri([LOW_SHARE, HIGH_SHARE]))
    factor = float(np.clip(size_m / usual_m, least, most))
    return replace(curve, asymptote_m=factor * curve.asymptote_m)


def _age_years(equation: Equation, trunk_cm: float) -> float:
    """First age at which the equation, held from falling, gives that trunk."""
    ages = np.arange(0.5, OLDEST_YEARS, 0.5)
    trunks_cm = np.maximum.accumulate(equation(ages))
    return float(ages[min(np.searchsorted(trunks_cm, trunk_cm), np.argmax(trunks_cm))])


@cache
def _trunk_values() -> Array:
    with TABLE.open(newline="", encoding="utf-8") as rows:
        found = {row["term"]: float(row["value"]) for row in csv.DictReader(rows)}
    return np.array([found[term] for term in TERMS])
