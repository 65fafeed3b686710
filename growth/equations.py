"""Published growth equations of single species, and the rising curves drawn through them.

equations.csv holds the published rows: trunk diameter from age, height and crown from trunk
diameter. Their polynomials may fall, or start below zero, and none starts at a plant's own
size; so curves (published_curves.csv) are drawn through ages 1 to 40 of every species and
region, each with how far it departs at most. Where that is over 12 % no curve is used.
Figures the equations give outside their stated bounds are held at the bound.

Source: McPherson, van Doorn & Peper 2016, Urban tree database, RDS-2016-0005 (2020 update),
doi 10.2737/RDS-2016-0005, table TS6, forms of table TS4 as corrected by the erratum of 2020.
Valid for: street and park trees of the region's city, at the ages measured.
"""

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from growth.curves import Curve, grown_m
from growth.fitting import rising_curve
from growth.ranges import Array

EQUATIONS = Path(__file__).with_name("equations.csv")
CURVES = Path(__file__).with_name("published_curves.csv")

MOST_DEPARTURE = 0.12

SMALL_STOCK_M = (2.5, 1.15)
"""Height and crown of newly planted trees: medians of 317 trees of age 0-1 in the database."""


@dataclass(frozen=True)
class Equation:
    """One published row: form, coefficients a to e, bounds of the predicted quantity."""

    form: str
    coefficients: tuple[float, ...]
    least: float
    most: float

    def __call__(self, x: ArrayLike) -> Array:
        """The predicted quantity: cm of trunk from years, or metres from cm of trunk."""
        value = _FORMS[self.form[:-1] if self.form[-1].isdigit() else self.form](
            np.asarray(x, dtype=float), self.coefficients, self.form[-1]
        )
        return np.clip(value, self.least, self.most)


@dataclass(frozen=True)
class PublishedCurves:
    """Rising curves of a species, and the regions they were measured in."""

    height: Curve
    spread: Curve
    regions: tuple[str, ...]


def published_curves(name: str, shares: Mapping[str, float]) -> PublishedCurves | None:
    """Curves of the species over the regions of a site, by their shares, that have equations.

    Several regions are averaged: logarithms of size by age, from small stock on.
    """
    of_species = curves_by_region(name)
    weights = {code: share for code, share in shares.items() if code in of_species and share > 0}
    if not weights:
        return None
    regions = tuple(sorted(weights, key=lambda code: -weights[code]))
    if len(regions) == 1:
        return PublishedCurves(*of_species[regions[0]], regions)
    share = np.array([weights[code] for code in regions])
    height, spread = (
        _average([of_species[code][number] for code in regions], share, start_m=start_m)
        for number, start_m in enumerate(SMALL_STOCK_M)
    )
    return PublishedCurves(height, spread, regions)


def _average(curves: Sequence[Curve], share: Array, *, start_m: float) -> Curve:
    """The curve nearest to the weighted mean of logarithms of size at ages 1 to 40."""
    ages = np.arange(1.0, 41.0)
    ln_size = [
        np.log(
            grown_m(
                start_m,
                ages,
                asymptote_m=curve.asymptote_m,
                rate=curve.rate_per_year,
                shape=curve.shape,
            )
        )
        for curve in curves
    ]
    return rising_curve(ages, np.exp(share / share.sum() @ np.array(ln_size)))[0]


def curves_by_region(name: str) -> Mapping[str, tuple[Curve, Curve]]:
    """Height and spread curves of the species by region, where they run close to its equations."""
    return _curves().get(name, {})


@cache
def equations() -> Mapping[tuple[str, str], Mapping[str, Equation]]:
    """Equations by species and region, then by "trunk_cm", "height_m" or "spread_m"."""
    found: dict[tuple[str, str], dict[str, Equation]] = {}
    with EQUATIONS.open(newline="", encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            coefficients = tuple(float(row[letter] or 0) for letter in "abcde")
            equation = Equation(row["form"], coefficients, float(row["least"]), float(row["most"]))
            found.setdefault((row["species"], row["region"]), {})[row["predicts"]] = equation
    return found


def sizes_at_age_m(of: Mapping[str, Equation], age_years: ArrayLike) -> tuple[Array, Array]:
    """Height and crown spread in metres at ages in years since planting."""
    trunk_cm = of["trunk_cm"](age_years)
    return of["height_m"](trunk_cm), of["spread_m"](trunk_cm)


@cache
def _curves() -> Mapping[str, Mapping[str, tuple[Curve, Curve]]]:
    """Height curve and spread curve by species, then by region."""
    found: dict[str, dict[str, tuple[Curve, Curve]]] = {}
    with CURVES.open(newline="", encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            if float(row["departure"]) > MOST_DEPARTURE:
                continue
            height, spread = (
                Curve(*(float(row[f"{of}_{key}"]) for key in ("asymptote_m", "rate", "shape")))
                for of in ("height", "spread")
            )
            found.setdefault(row["species"], {})[row["region"]] = (height, spread)
    return found


def _polynomial(x: Array, coefficients: tuple[float, ...], _: str) -> Array:
    return np.asarray(sum(c * x**power for power, c in enumerate(coefficients)))


def _exponential(x: Array, coefficients: tuple[float, ...], kind: str) -> Array:
    a, b, error, *_ = coefficients
    return np.asarray(np.exp(a + b * x + _weighted(x, kind) * error / 2))


def _double_logarithm(x: Array, coefficients: tuple[float, ...], kind: str) -> Array:
    a, b, error, *_ = coefficients
    if kind == "1":  # the error stands inside the logarithm in this form alone
        return np.asarray(np.exp(a + b * np.log(np.log(x + 1) + error / 2)))
    return np.asarray(np.exp(a + b * np.log(np.log(x + 1)) + _weighted(x, kind) * error / 2))


def _weighted(x: Array, kind: str) -> Array:
    return {"1": np.ones_like(x), "2": np.sqrt(x), "3": x, "4": x**2}[kind]


_FORMS: Mapping[str, Callable[[Array, tuple[float, ...], str], Array]] = {
    "lin": _polynomial, "quad": _polynomial, "cub": _polynomial, "quart": _polynomial,
    "expow": _exponential, "loglogw": _double_logarithm,
}  # fmt: skip
