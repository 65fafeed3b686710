"""Rising curves drawn through the published equations, for growth.equations to read.

For every species and region the sizes that its equations give at ages 1 to 40, made never to
fall, are fitted by a curve in logarithms; the age at which it is zero is free. What the curve
departs by at most, at ages 5, 10, 20 and 30, is written beside it.
"""

from collections.abc import Mapping

import numpy as np

from growth.equations import Equation, equations, sizes_at_age_m
from growth.fitting import rising_curve

AGES = np.arange(1.0, 41.0)
JUDGED_AGES = (5, 10, 20, 30)


def published_rows(trees: dict[tuple[str, str], int]) -> list[dict[str, str]]:
    """Rows of published_curves.csv."""
    return [
        _row(species, region, of, trees[species, region])
        for (species, region), of in sorted(equations().items())
    ]


def _row(species: str, region: str, of: Mapping[str, Equation], trees: int) -> dict[str, str]:
    row = {"species": species, "region": region, "trees": str(trees)}
    departures = []
    for name, size_m in zip(("height", "spread"), sizes_at_age_m(of, AGES), strict=True):
        curve, miss = rising_curve(AGES, size_m)
        row[f"{name}_asymptote_m"] = f"{curve.asymptote_m:.3f}"
        row[f"{name}_rate"] = f"{curve.rate_per_year:.5f}"
        row[f"{name}_shape"] = f"{curve.shape:.4f}"
        departures.append(float(np.abs(miss[[age - 1 for age in JUDGED_AGES]]).max()))
    return {**row, "departure": f"{max(departures):.3f}"}
