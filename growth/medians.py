"""Measured trees behind a curve: medians of street and park trees by species and age band.

measured_bands.csv holds, for species, region and band of years since planting with five trees
or more, from four years on, the median years, height and spread. It serves tests and pictures;
no curve is read from it. Trees that failed young are missing, as in any such survey.

Source: McPherson, van Doorn & Peper 2016, Urban tree database, RDS-2016-0005 (2020 update),
doi 10.2737/RDS-2016-0005, table TS3, public domain; medians computed from it.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

BANDS = Path(__file__).with_name("measured_bands.csv")


@dataclass(frozen=True)
class Median:
    """Median years since planting, height and spread in metres of some trees of a region."""

    region: str
    trees: int
    years: float
    height_m: float
    spread_m: float


def medians(species: str) -> tuple[Median, ...]:
    """The measured medians of a species by its botanical name; none where it has none."""
    return _bands().get(species, ())


@cache
def _bands() -> Mapping[str, tuple[Median, ...]]:
    """Every median of the table by species, in its order."""
    bands: dict[str, tuple[Median, ...]] = {}
    with BANDS.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            median = Median(
                region=row["region"],
                trees=int(row["trees"]),
                years=float(row["median_age_years"]),
                height_m=float(row["median_height_m"]),
                spread_m=float(row["median_spread_m"]),
            )
            bands[row["species"]] = (*bands.get(row["species"], ()), median)
    return MappingProxyType(bands)
