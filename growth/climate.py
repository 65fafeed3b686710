"""Where a yard lies among the climates in which trees were measured.

Trees were measured in cities of 16 climate regions of the United States, and equations were
published for 17. A site is described by shares of these regions, adding up to one: a state
named in the yard's place leaves its own regions; hardiness zone and latitude weigh them by
nearness. Where nothing is known all regions count alike: an average climate.

Left out: soil, water, and climates unlike all of these (the nearest is then the best there is).

Source: regions and cities: McPherson, van Doorn & Peper 2016, Urban tree database,
doi 10.2737/RDS-2016-0005. Latitudes and hardiness zones of the cities: from memory of the
map and of the USDA zones. Regions of states: nearest city, by our judgement.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from growth.ranges import Array


@dataclass(frozen=True)
class Region:
    """A climate region by the city it was measured in."""

    code: str
    city: str
    latitude_deg: float
    zone: float


@dataclass(frozen=True)
class Climate:
    """What is known of a site's climate; None where it is not."""

    place: str | None = None
    latitude_deg: float | None = None
    zone: int | None = None


ANYWHERE = Climate()

REGIONS = (
    Region("CenFla", "Orlando, Florida", 28.5, 9.5),
    Region("GulfCo", "Charleston, South Carolina", 32.8, 9.0),
    Region("InlEmp", "Claremont, California", 34.1, 9.5),
    Region("InlVal", "Modesto, California", 37.6, 9.5),
    Region("InterW", "Albuquerque, New Mexico", 35.1, 7.0),
    Region("LoMidW", "Indianapolis, Indiana", 39.8, 6.0),
    Region("MidWst", "Minneapolis, Minnesota", 45.0, 4.5),
    Region("NMtnPr", "Fort Collins, Colorado", 40.6, 5.5),
    Region("NoCalC", "Berkeley, California", 37.9, 10.0),
    Region("NoEast", "Queens, New York", 40.7, 7.5),
    Region("PacfNW", "Longview, Washington", 46.1, 8.5),
    Region("Piedmt", "Charlotte, North Carolina", 35.2, 7.5),
    Region("SWDsrt", "Glendale, Arizona", 33.5, 9.5),
    Region("SacVal", "Sacramento, California", 38.6, 9.5),
    Region("SoCalC", "Santa Monica, California", 34.0, 10.5),
    Region("TpIntW", "Boise, Idaho", 43.6, 6.5),
    Region("Tropic", "Honolulu, Hawaii", 21.3, 12.0),
)

STATES = {
    "Florida": "CenFla", "South Carolina": "GulfCo", "Georgia": "GulfCo", "Alabama": "GulfCo",
    "Mississippi": "GulfCo", "Louisiana": "GulfCo", "North Carolina": "Piedmt",
    "Tennessee": "Piedmt", "Virginia": "Piedmt", "New York": "NoEast", "New Jersey": "NoEast",
    "Connecticut": "NoEast", "Massachusetts": "NoEast", "Pennsylvania": "NoEast",
    "Indiana": "LoMidW", "Ohio": "LoMidW", "Illinois": "LoMidW", "Missouri": "LoMidW",
    "Kentucky": "LoMidW", "Minnesota": "MidWst", "Wisconsin": "MidWst", "Michigan": "MidWst",
    "Iowa": "MidWst", "Colorado": "NMtnPr", "Wyoming": "NMtnPr", "New Mexico": "InterW",
    "Arizona": "SWDsrt", "Nevada": "SWDsrt", "Idaho": "TpIntW", "Utah": "TpIntW",
    "Oregon": "PacfNW", "Washington": "PacfNW", "Washington, D": "Piedmt", "Hawaii": "Tropic",
    "California": "InlEmp InlVal NoCalC SacVal SoCalC",
}  # fmt: skip
"""Regions that stand for a state."""

ZONE_REACH, LATITUDE_REACH_DEG = 1.0, 4.0
"""Distances over which a region's share falls by exp(-1/2). Assumed."""

FAR_SHARE = 0.2
"""Regions with less than this of the largest share are too far to speak for a site. Assumed."""

OWN_SHARE = 0.5


@lru_cache(maxsize=256)
def region_shares(climate: Climate) -> Array:
    """Share of every region, in the order of REGIONS, for a site; they add up to one."""
    codes = _codes_of(climate.place)
    distance = np.zeros(len(REGIONS))
    if climate.zone is not None:
        zones = np.array([region.zone for region in REGIONS])
        distance += ((climate.zone + 0.25 - zones) / ZONE_REACH) ** 2
    if climate.latitude_deg is not None:
        latitudes_deg = np.array([region.latitude_deg for region in REGIONS])
        away_deg = abs(climate.latitude_deg) - latitudes_deg
        distance += (away_deg / LATITUDE_REACH_DEG) ** 2
    allowed = np.array([region.code in codes for region in REGIONS])
    distance = np.where(allowed, distance, np.inf)
    weight = np.exp(-(distance - distance.min()) / 2)
    share: Array = np.asarray(weight / weight.sum(), dtype=float)
    share.setflags(write=False)
    return share


def near_shares(climate: Climate) -> dict[str, float]:
    """Shares of the regions near a site by code, the nearest first; far ones are left out."""
    share = region_shares(climate)
    order = np.argsort(-share, kind="stable")
    near = [number for number in order if share[number] >= FAR_SHARE * share.max()]
    return {REGIONS[number].code: float(share[number]) for number in near}


def is_region(climate: Climate, code: str) -> bool:
    """Whether the site is known to lie in that region's climate rather than any other."""
    number = next(n for n, region in enumerate(REGIONS) if region.code == code)
    return bool(climate != ANYWHERE and region_shares(climate)[number] >= OWN_SHARE)


def city_of(code: str) -> str:
    """The city a region was measured in."""
    return next(region.city for region in REGIONS if region.code == code)


def _codes_of(place: str | None) -> tuple[str, ...]:
    """Regions a place names, by city or state; all of them where it names none."""
    words = (place or "").casefold()
    cities = [r.code for r in REGIONS if r.city.split(",")[0].casefold() in words]
    if words and cities:
        return tuple(cities)
    states = [name for name in STATES if name.casefold() in words]
    if words and states:
        longest = max(states, key=len)  # "West Virginia" names Virginia: its neighbour will do
        return tuple(STATES[longest].split())
    return tuple(region.code for region in REGIONS)
