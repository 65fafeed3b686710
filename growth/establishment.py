"""How long a plant takes to root in, and what that costs it against the curves.

A tree moved at a large caliper grows slowly until its roots are back. The measured trees
behind the curves were planted at about 1 in, so that much lag is already in them: a larger
tree runs on a slower clock until it is established, and has then lost the surplus alone.
Perennials, groundcovers and their like take two seasons to fill in. Size never shrinks.

Left out: shrubs, whose few trials count from planting and hold their lag; palms; watering,
which the figures take for granted; trees that do not live.
Source: zones and months, UF/IFAS Gilman, establishment by caliper and hardiness zone.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from growth.nursery import PlantedSize
from growth.plants import Plant
from growth.ranges import Array

INCH_M = 0.0254

SMALL_CALIPER_M = 1 * INCH_M
"""Trunk of newly planted street trees: median 2.5 cm of 317 trees of age 0-1 (Urban tree
database, doi 10.2737/RDS-2016-0005)."""

MONTHS_PER_INCH = ((6, 12.0), (8, 6.0), (13, 3.0))
"""Months to establish for each inch of caliper, up to that hardiness zone: a year in zones 2-6,
6 months in 7-8, 3 months in 9-11 (UF/IFAS Gilman); zones 1, 12 and 13 as the nearest."""

MIDDLE_MONTHS = 6.0
"""The middle row, where the zone is not known."""

CONTAINER_MONTHS_PER_INCH = 1.5
"""More for trees grown in containers: 1 to 2 months an inch (UF/IFAS ENH857, Gilman)."""

FILLING_IN = ("groundcover", "perennial", "grass", "fern", "vine")
"""Kinds that sleep, creep and leap."""


@dataclass(frozen=True)
class Establishment:
    """Years since planting, and the years of growth lost by then; nothing is lost after."""

    years: tuple[float, ...] = ()
    lost_years: tuple[float, ...] = ()


ESTABLISHED = Establishment()

SLEEP_CREEP = Establishment((1.0, 2.0), (2 / 3, 1.0))
"""A third of a season's growth in the first, two thirds in the second, all of it from the third
on: first they sleep, then they creep, then they leap (saying of gardeners; shares assumed)."""

FILLING_IN_NOTE = (
    "groundcovers, perennials, grasses, ferns and vines grow a third of a season's growth in "
    "their first season and two thirds in their second (saying of gardeners, shares assumed)"
)


def establishment(plant: Plant, planted: PlantedSize, *, zone: int | None) -> Establishment:
    """Growth that a newly planted plant loses against the curves, in years."""
    if plant.kind in FILLING_IN:
        return SLEEP_CREEP
    if plant.kind != "tree" or planted.caliper_m is None or planted.caliper_m <= SMALL_CALIPER_M:
        return ESTABLISHED
    months = months_per_inch(zone)
    months += CONTAINER_MONTHS_PER_INCH if planted.in_container else 0.0
    inches = planted.caliper_m / INCH_M
    years = inches * months / 12
    lost = (inches - SMALL_CALIPER_M / INCH_M) * months / 12
    return Establishment((years,), (lost,))


def months_per_inch(zone: int | None) -> float:
    """Months a tree takes to establish for each inch of caliper; the middle row if unknown."""
    if zone is None:
        return MIDDLE_MONTHS
    return next(months for last, months in MONTHS_PER_INCH if zone <= last)


def grown_years(years: ArrayLike, lag: Establishment) -> Array:
    """Years of growth after some years since planting: the slower clock, never backwards."""
    since = np.asarray(years, dtype=float)
    return np.asarray(since - np.interp(since, (0.0, *lag.years), (0.0, *lag.lost_years)))


def establishment_note(lag: Establishment, *, zone: int | None) -> str | None:
    """What establishment costs and which row was used; None where it costs nothing."""
    if lag == SLEEP_CREEP:
        return FILLING_IN_NOTE
    if not lag.years:
        return None
    row = f"hardiness zone {zone}" if zone else "hardiness zone unknown: the middle row"
    return (
        f"establishment takes about {lag.years[-1]:.1f} years, {lag.lost_years[-1]:.1f} more "
        f"than for small stock, whose lag is in the curve ({row}; UF/IFAS Gilman)"
    )
