"""Rising curves drawn through the published equations, for growth.equations to read.

For every species and region the sizes that its equations give at ages 1 to 40, made never to
fall, are fitted by a curve in logarithms; the age at which it is zero is free. What the curve
departs by at most, at ages 5, 10, 20 and 30, is written beside it.
"""

from collections.abc import Mapping

import numpy as np
from scipy.optimize import least_squares

from growth.curves import Curve, size_at_age_m
from growth.equations import Equation, equations, sizes_at_age_m
from growth.ranges import Array

AGES = np.arange(1.0, 41.0)
JUDGED_AGES = (5, 10, 20, 30)

_MOST_ASYMPTOTE = 1.6
"""Asymptote over the largest size at those ages, at most."""


def published_rows(trees: dict[tuple[str, str], int]) -> list[dict[str, str]]:
    """Rows of published_curves.csv."""
    return [
        _row(species, region, of, trees[species, region])
        for (species, region), of in sorted(equations().items())
    ]


def rising_curve(size_m: Array) -> tuple[Curve, float]:
    """The curve nearest to sizes at AGES, and the share by which it departs at most."""
    rising = np.maximum.accumulate(size_m)
    top = float(np.log(rising[-1]))

    def fitted(found: Array) -> Array:
        age = AGES + np.exp(found[3])
        shape = np.exp(found[2])
        return np.log(
            size_at_age_m(age, asymptote_m=np.exp(found[0]), rate=np.exp(found[1]), shape=shape)
        )

    best = least_squares(
        lambda found: fitted(found) - np.log(rising),
        [top + 0.1, np.log(0.05), 0.2, 0.0],
        bounds=([top - 0.02, -6, -0.7, -4], [top + np.log(_MOST_ASYMPTOTE), 0, 1.5, 3]),
    )
    departure = np.abs(np.expm1(fitted(best.x) - np.log(rising)))
    asymptote_m, rate, shape = (float(value) for value in np.exp(best.x[:3]))
    judged = [age - 1 for age in JUDGED_AGES]
    return Curve(asymptote_m, rate, shape), float(departure[judged].max())


def _row(species: str, region: str, of: Mapping[str, Equation], trees: int) -> dict[str, str]:
    row = {"species": species, "region": region, "trees": str(trees)}
    departures = []
    for name, size_m in zip(("height", "spread"), sizes_at_age_m(of, AGES), strict=True):
        curve, departure = rising_curve(size_m)
        row[f"{name}_asymptote_m"] = f"{curve.asymptote_m:.3f}"
        row[f"{name}_rate"] = f"{curve.rate_per_year:.5f}"
        row[f"{name}_shape"] = f"{curve.shape:.4f}"
        departures.append(departure)
    return {**row, "departure": f"{max(departures):.3f}"}
