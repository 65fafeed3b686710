"""What a tree's crown does after roots were lost: density over the years, as a range.

Density is a share of that of an undamaged tree, 1 = undamaged and 0 = dead. Nothing shows in
the first season; the next summers show the damage, worst in the second or third year; then the
tree recovers or dies, by the share of roots lost. stress.csv holds the course for some shares,
a row a year, with its source; between them density is interpolated. Growth slows by the same
factor. A tree does as well by its density as it does by its size: one score for both (assumed).

The thresholds have sources, the densities are assumed. Left out: species, soil, watering, and
roots lost later than the yard's first day. A certified arborist judges the tree itself.
"""

import csv
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from growth.ranges import HIGH_SHARE, LOW_SHARE, Array

TABLE = Path(__file__).with_name("stress.csv")

COLUMNS = ("low", "middle", "high")


def crown_density(roots_lost: float, years: ArrayLike, *, score: ArrayLike) -> Array:
    """Density of the crown over an undamaged one, (score, year); once dead, a tree stays so.

    Low and high of the table are the 10th and 90th percentile, and hold beyond them; the middle
    is the median.
    """
    seasons = np.arange(np.max(years, initial=0) + 1)
    low, middle, high = _courses(roots_lost, seasons)
    z = np.asarray(score, dtype=float)[:, None]
    below, above = np.clip(z / ndtri(LOW_SHARE), 0, 1), np.clip(z / ndtri(HIGH_SHARE), 0, 1)
    density = middle + below * (low - middle) + above * (high - middle)
    alive = np.minimum.accumulate(density > 0, axis=1)
    return np.asarray(np.where(alive, density, 0.0)[:, np.asarray(years)])


def slowed_years(roots_lost: float, years: ArrayLike, *, score: ArrayLike) -> Array:
    """Years of growth after some years, each counted by its density, (score, year)."""
    seasons = np.arange(np.max(years, initial=0) + 1)
    density = crown_density(roots_lost, seasons, score=score)
    grown = np.cumsum(density, axis=1) - density[:, :1]
    return np.asarray(grown[:, np.asarray(years)])


def stress_caution(plant: str, roots_lost: float) -> str:
    """The warning that goes with a forecast of lost roots."""
    return (
        f"{plant}: {100 * roots_lost:.0f} % of its roots are lost. Its crown's thinning and "
        f"recovery are a range, not a diagnosis{_beyond(roots_lost)}; have a certified arborist "
        "look at it first."
    )


def _beyond(roots_lost: float) -> str:
    if roots_lost > 0.30:
        return ", and above 30 % removal is to be considered (Georgia Forestry Commission)"
    if roots_lost > 0.25:
        return ", and above 25 % is more than any species should lose (UMN Extension)"
    return ""


def _courses(roots_lost: float, seasons: Array) -> Array:
    """Low, middle and high density by season, (3, seasons), between the table's shares."""
    shares, years, table = stress_table()
    above = min(int(np.searchsorted(shares, roots_lost, side="left")), len(shares) - 1)
    below = max(above - 1, 0)
    span = shares[above] - shares[below]
    part = (roots_lost - shares[below]) / span if span else 0.0
    course = (1 - part) * table[below] + part * table[above]
    return np.array([np.interp(seasons, years, course[:, column]) for column in range(3)])


@cache
def stress_table() -> tuple[Array, Array, Array]:
    """Shares lost (S,), years (T,) and densities (S, T, 3); undamaged and year 0 are added."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    shares = sorted({float(row["roots_lost"]) for row in rows})
    years = sorted({int(row["year"]) for row in rows})
    table = np.ones((len(shares) + 1, len(years) + 1, len(COLUMNS)))
    for row in rows:
        place = shares.index(float(row["roots_lost"])) + 1, years.index(int(row["year"])) + 1
        table[place] = [float(row[column]) for column in COLUMNS]
    return np.array([0.0, *shares]), np.array([0.0, *years]), table
