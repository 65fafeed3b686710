"""When plants carry leaf, autumn colour and flowers, by kind and latitude.

Leaf-out and leaf fall are days of the year at a place where they were watched, brought to
sea level and moved by latitude, with a few days more or less by kind of plant. A month is
judged by its middle day. North America follows Hopkins' law; Europe's mild winters delay
spring less with latitude, and the southern half of the earth is taken as Europe half a
year on. Left out: height above the sea, warm and late years, and differences of species.

Source: A. D. Hopkins 1920 (4 days a degree of latitude, and 4 days each 120 m of height), as
tested by Richardson et al. 2019, doi 10.1002/aps3.1228. The dates stand beside each place.
Valid for: 25 to 65 degrees of latitude; nearer the equator as at 25, nearer the pole as at 65.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from growth.plants import Plant

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july",
    "august", "september", "october", "november", "december",
)  # fmt: skip

YEAR_DAYS, HALF_YEAR_DAYS = 365, 183
_MIDDLE_DAY = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)

UNFOLDING_DAYS = 10
"""From open buds, which are watched, to a crown in leaf. Assumed."""

FALLING_DAYS = 14
"""From the height of autumn colour, which is watched, to a bare crown. Assumed."""

FRESH_DAYS, COLOUR_DAYS = 30, 35
"""How long leaves keep the colour of spring, and how long before their fall they turn. Assumed."""

WITHOUT_LATITUDE_DEG = 42.0
"""Where a yard states no latitude: in leaf from May to October, as is common practice."""

EUROPE_FROM_DEG = 49.0
"""A yard without longitude counts as European from this latitude on."""


@dataclass(frozen=True)
class Climate:
    """Days of the year a deciduous tree is in leaf at sea level, and how latitude moves them."""

    latitude_deg: float
    leaf_on_day: float
    leaf_off_day: float
    spring_days_per_deg: float
    autumn_latitude_deg: float
    autumn_days_per_deg: float


AMERICA = Climate(42.5, 113 + UNFOLDING_DAYS, 300 + FALLING_DAYS, 4.0, 40.4, 4.0)
"""Spring: half the buds open about 5 May (day 125) at 42.5 N and 350 m, mean of six species
over 16 years, Harvard Forest "Spring Leaf Out 2006"; 12 days earlier at sea level. Autumn:
colour at its height in the third week of October (day 291) at Ohio's 40.4 N and about 270 m,
Ohio Department of Natural Resources in the Telegraph-Forum of 2 October 2015; 9 days later at
sea level."""

EUROPE = Climate(46.0, 103 + UNFOLDING_DAYS, 303 + FALLING_DAYS, 2.2, 46.0, 1.5)
"""Beech in Slovenia 1955-2007: first leaves 14 April (day 104) and general colouring 29 October
(day 302) at the lowest sites, 55 m; Cufar et al. 2012, doi 10.1007/s00468-012-0686-7. First
leaves come 1.6 to 2.7 days later a degree north (European schools' Beagle project, 2010), the
middle is used; autumn, which that project found hardly moved, 1.5 days. Assumed."""

KIND_DAYS = {
    "shrub": (-7, 0),
    "groundcover": (-10, -7),
    "grass": (10, -7),
    "perennial": (-5, -14),
    "fern": (5, -14),
}
"""Days that kinds leaf out and lose their leaves after trees. Common practice."""

SEMI_EVERGREEN_DAYS = (-21, 45)
"""Half-evergreen plants keep old leaves this much earlier and later than trees. Assumed."""

DIE_BACK = ("perennial", "fern", "groundcover")
"""Kinds whose tops die down in winter where they are not evergreen; straw of grasses stands."""


@dataclass(frozen=True)
class LeafDays:
    """First and last day in leaf, 1-365; the last is before the first where winter is midyear."""

    on: float
    off: float

    def hold(self, day: float) -> bool:
        """Whether the day is in leaf."""
        return (day - self.on) % YEAR_DAYS <= (self.off - self.on) % YEAR_DAYS


def leaf_days(
    kind: str, leaf: str, *, latitude_deg: float | None, longitude_deg: float | None = None
) -> LeafDays:
    """Days in leaf of a kind of plant; the whole year for evergreens."""
    if leaf == "evergreen":
        return LeafDays(1, YEAR_DAYS)
    latitude = WITHOUT_LATITUDE_DEG if latitude_deg is None else latitude_deg
    climate = _climate(latitude, longitude_deg)
    away = min(max(abs(latitude), 25.0), 65.0)
    later, longer = KIND_DAYS.get(kind, (0, 0))
    if leaf == "semi-evergreen":
        later, longer = SEMI_EVERGREEN_DAYS
    on = climate.leaf_on_day + climate.spring_days_per_deg * (away - climate.latitude_deg) + later
    fall = climate.autumn_days_per_deg * (away - climate.autumn_latitude_deg)
    off = climate.leaf_off_day - fall + longer
    if off - on >= YEAR_DAYS - 1:
        return LeafDays(1, YEAR_DAYS)
    shift = HALF_YEAR_DAYS if latitude < 0 else 0
    return LeafDays(_day(on + shift), _day(off + shift))


def in_leaf(
    plant: Plant, month: int, latitude_deg: float | None, longitude_deg: float | None = None
) -> bool:
    """Whether the plant is in leaf in the middle of a month, 1-12."""
    return _days_of(plant, latitude_deg, longitude_deg).hold(_MIDDLE_DAY[month - 1])


def season_of_month(
    month: int, *, latitude_deg: float | None, longitude_deg: float | None = None
) -> str:
    """leaf or bare: how a deciduous tree stands in the middle of a month, 1-12."""
    days = leaf_days("tree", "deciduous", latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    return "leaf" if days.hold(_MIDDLE_DAY[month - 1]) else "bare"


def autumn_months(
    plant: Plant, latitude_deg: float | None, longitude_deg: float | None = None
) -> tuple[int, ...]:
    """Months, 1-12, in whose middle the plant shows its autumn colour; none if it has none."""
    if not plant.colour_autumn:
        return ()
    off = _days_of(plant, latitude_deg, longitude_deg).off
    turning = LeafDays(_day(off - COLOUR_DAYS), off)
    return tuple(month for month in range(1, 13) if turning.hold(_MIDDLE_DAY[month - 1]))


def flowering_months(plant: Plant, latitude_deg: float | None) -> tuple[int, ...]:
    """Months in flower, 1-12: the catalogue's, half a year on south of the equator."""
    if latitude_deg is None or latitude_deg >= 0:
        return plant.flower_months
    return tuple(sorted((month + 5) % 12 + 1 for month in plant.flower_months))


def foliage_colour(
    plant: Plant, month: int, latitude_deg: float | None, longitude_deg: float | None = None
) -> str:
    """Colour of the foliage in a month, "#rrggbb"; "" for a crown without leaf."""
    day = _MIDDLE_DAY[month - 1]
    if plant.leaf == "evergreen":
        return _evergreen_colour(plant, day, latitude_deg, longitude_deg)
    days = _days_of(plant, latitude_deg, longitude_deg)
    if not days.hold(day):
        return plant.colour_winter
    if month in autumn_months(plant, latitude_deg, longitude_deg):
        return plant.colour_autumn
    fresh = LeafDays(days.on, _day(days.on + FRESH_DAYS)).hold(day)
    return (plant.colour_spring if fresh else "") or plant.colour_leaf


def dies_back(plant: Plant) -> bool:
    """Whether nothing of the plant stands in winter."""
    return plant.leaf == "deciduous" and plant.kind in DIE_BACK


def _evergreen_colour(
    plant: Plant, day: float, latitude_deg: float | None, longitude_deg: float | None
) -> str:
    """An evergreen's colour: new growth and winter tones by the calendar of trees there."""
    trees = leaf_days("tree", "deciduous", latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    if not trees.hold(day):
        return plant.colour_winter or plant.colour_leaf
    fresh = LeafDays(trees.on, _day(trees.on + FRESH_DAYS)).hold(day)
    return (plant.colour_spring if fresh else "") or plant.colour_leaf


def _days_of(plant: Plant, latitude_deg: float | None, longitude_deg: float | None) -> LeafDays:
    return leaf_days(plant.kind, plant.leaf, latitude_deg=latitude_deg, longitude_deg=longitude_deg)


def _climate(latitude_deg: float, longitude_deg: float | None) -> Climate:
    """The climate of a place: Europe between 15 W and 60 E, and everywhere in the south."""
    if latitude_deg < 0:
        return EUROPE
    if longitude_deg is None:
        return EUROPE if latitude_deg >= EUROPE_FROM_DEG else AMERICA
    return EUROPE if -15 <= longitude_deg <= 60 else AMERICA


def _day(day: float) -> float:
    """The day brought into 1-365."""
    return (day - 1) % YEAR_DAYS + 1
