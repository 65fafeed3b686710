"""Plants that leave the light they need, as a table a person can read in a terminal."""

import math
from collections import defaultdict
from collections.abc import Sequence

from rich.table import Table

from growth.checks.findings import Findings, SpotLight
from growth.checks.sunmap import LotLight
from viz.tables import table, year_heads
from viz.units import area_text

MOST_LIGHT_ROWS = 8
LIGHT_YEARS = (1, 15, 30)
LOT_YEARS = (0, 5, 15, 30)
BAND_HOURS = {"sun": "6 h a day and more", "part shade": "4 to 6 h", "shade": "under 4 h"}


def light_table(findings: Findings) -> Table:
    """Plants that leave the light they need, table by table, the most plants first."""
    groups: dict[tuple[str, str], list[SpotLight]] = defaultdict(list)
    for spot in findings.lighting.spots if findings.lighting else ():
        if spot.first_year_outside is not None:
            groups[spot.place, spot.plant].append(spot)
    ordered = sorted(groups.items(), key=lambda item: -sum(spot.plants for spot in item[1]))
    return table(
        "Light: plants out of the hours of direct sun they need (least to most of places)",
        ("Plants", "Needs", *year_heads(LIGHT_YEARS), "From"),
        [
            (
                f"{sum(spot.plants for spot in spots)} {findings.told(plant, place)}",
                need_text(spots[0]),
                *(_hours_text(spots, year) for year in LIGHT_YEARS),
                f"year {min(spot.first_year_outside or 0 for spot in spots)}",
            )
            for (place, plant), spots in ordered
        ],
        figures=slice(2, -1),
        most=MOST_LIGHT_ROWS,
    )


def lot_light_table(sun: LotLight, *, lengths: str) -> Table:
    """The lot's area in each band of light, growing-season mean, over the years."""
    return table(
        "Sun on the ground, growing season, expected course",
        ("Of the open ground", *year_heads(LOT_YEARS)),
        [
            (
                f"{word}, {BAND_HOURS[word]}",
                *(area_text(float(area[year]), lengths=lengths) for year in LOT_YEARS),
            )
            for word, area in sun.band_m2.items()
        ],
    )


def need_text(spot: SpotLight) -> str:
    """The hours a plant needs, like '4-6 h'."""
    if spot.most_h >= 24:
        return f"{spot.least_h:g} h or more"
    return f"{spot.least_h:g}-{spot.most_h:g} h" if spot.least_h else f"up to {spot.most_h:g} h"


def _hours_text(spots: Sequence[SpotLight], year: int) -> str:
    """Expected hours of the darkest and the brightest place, like '3.1-6.4'; a dash for none."""
    hours = [float(spot.hours.expected[year]) for spot in spots]
    there = [value for value in hours if not math.isnan(value)]
    if not there:
        return "-"
    low, high = f"{min(there):.1f}", f"{max(there):.1f}"
    return low if low == high else f"{low}-{high}"
