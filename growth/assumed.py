"""Curves assumed from mature size and rate, for plants that nobody measured year by year.

A is the middle of the mature range. A stated yearly growth, or a class of rate, is the
steepest yearly growth of the curve (of the spread for plants that creep). Rates of shrubs are
fitted to heights at ten years, the one age that is listed for many; all else is common
practice, and the range of all is assumed, and called so (see `scatter`).

Left out: climate, soil, water, crowding.
"""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from growth.curves import Curve, rate_from_growth
from growth.plants import Plant

FROND_GROWTH_M_PER_YEAR = {"slow": 0.15, "moderate": 0.30, "fast": 0.60}
"""Steepest yearly height growth of cycads by class, and of palms no class curve covers. From
memory, save that fast lies near the 0.62 m a year of Washingtonia robusta in the Urban tree
database."""

SHRUB_RATES = Path(__file__).with_name("shrub_rates.csv")
"""k of shrubs and bamboo by class of rate, as `python -m growth.calibrate.shrubs` fits them."""

SOFT_RATE_PER_YEAR = {"slow": 0.5, "moderate": 0.8, "fast": 1.2}
"""k of groundcovers, perennials, grasses, ferns and vines: grown in one to four years
(gardeners' first-year-sleep, third-year-leap saying; common practice)."""

_SPREAD_PACE = {"tree": 1.2, "shrub": 0.85, "bamboo": 0.85}
"""k of spread over k of height: fitted for trees; shrubs' spread lags their height
(inference from few trials)."""

_SOFT_SPREAD_PACE = 0.8
_FROND_SPREAD_RATE_PER_YEAR = {"palm": 0.30, "cycad": 0.10}
"""k of spread of plants whose spread is that of their fronds. From memory."""

_CREEPING_FORMS = ("mat", "sheet", "climber")


def assumed_height(plant: Plant) -> Curve:
    """The curve of a plant's height from its mature size and rate alone."""
    asymptote_m = _middle(plant.height_m)
    return Curve(asymptote_m, _height_rate(plant, asymptote_m))


def assumed_spread(plant: Plant) -> Curve:
    """The curve of a plant's spread from its mature size and rate alone."""
    asymptote_m = _middle(plant.spread_m)
    if plant.kind in _FROND_SPREAD_RATE_PER_YEAR:
        return Curve(asymptote_m, _FROND_SPREAD_RATE_PER_YEAR[plant.kind])
    return Curve(asymptote_m, _spread_pace(plant) * assumed_height(plant).rate_per_year)


@cache
def shrub_rates_per_year() -> Mapping[str, float]:
    """Rate k in 1/year of shrubs by class of rate."""
    with SHRUB_RATES.open(newline="", encoding="utf-8") as rows:
        return {row["rate"]: float(row["rate_per_year"]) for row in csv.DictReader(rows)}


def _height_rate(plant: Plant, asymptote_m: float) -> float:
    """Rate k in 1/year of the height: from the stated yearly growth, else from the class."""
    if plant.growth_m_per_year is not None:
        if plant.form in _CREEPING_FORMS:
            creep = rate_from_growth(plant.growth_m_per_year, _middle(plant.spread_m))
            return creep / _spread_pace(plant)
        return rate_from_growth(plant.growth_m_per_year, asymptote_m)
    if plant.kind in ("shrub", "bamboo"):
        return shrub_rates_per_year()[plant.rate]
    if plant.kind in ("tree", "palm", "cycad"):
        return rate_from_growth(FROND_GROWTH_M_PER_YEAR[plant.rate], asymptote_m)
    return SOFT_RATE_PER_YEAR[plant.rate]


def _spread_pace(plant: Plant) -> float:
    return _SPREAD_PACE.get(plant.kind, _SOFT_SPREAD_PACE)


def _middle(pair: tuple[float, float]) -> float:
    return (pair[0] + pair[1]) / 2
