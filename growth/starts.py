"""How every group of plants of a yard starts: kind, size, season, limits and removal.

Reads what the document says of each place plants come from, and turns dates into growing
seasons. Years count from the yard's planting day; year n is the state at the end of the
n-th growing season, and the start of the next. A plant set after midsummer grows from the
next season on; set n seasons later than the yard, it stands in year n as it was planted.

Source of midsummer: June solstice, 21 June in the north, 21 December in the south.
"""

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass

from growth.climate import ANYWHERE, Climate
from growth.errors import GrowthError, growth_error
from growth.establishment import (
    ESTABLISHED,
    FILLING_IN_NOTE,
    SLEEP_CREEP,
    Establishment,
    establishment,
    establishment_note,
)
from growth.nursery import planted_size
from growth.plants import Plant, find, own_plants
from growth.trunks import age_from_trunk_years
from scenes.document import Kept, KeptAt, Planting, Yard
from scenes.layout import Source
from scenes.whereabouts import found_at

LAST_YEAR = 30


@dataclass(frozen=True)
class Start:
    """What settles a plant's course: kind, size in metres at its start, and what holds it back.

    A kept tree has years since planting by its trunk; the share of roots lost thins and slows it.
    """

    plant: Plant
    height_m: float
    spread_m: float
    delay_years: int = 0
    kept: bool = False
    height_limit_m: float = math.inf
    spread_limit_m: float = math.inf
    climate: Climate = ANYWHERE
    lag: Establishment = ESTABLISHED
    age_years: float | None = None
    roots_lost: float = 0.0


@dataclass(frozen=True)
class Entry:
    """A group of plants of one start: its place in the document and the year it is removed.

    `lost_by_plan`: the plan takes more of its roots than the document says were lost before.
    """

    place: str
    start: Start
    removed_year: int | None = None
    lost_by_plan: bool = False


def read_entries(yard: Yard, sources: tuple[Source, ...]) -> tuple[Entry, ...]:
    """One entry for every source of plants, in their order.

    Raises GrowthError with one line for every place that is wrong.
    """
    own = own_plants(yard)
    entries, wrong = [], []
    for source in sources:
        try:
            entries.append(_entry(yard, source, own))
        except GrowthError as error:
            wrong.append(f"{source.place}.{error}")
    if wrong:
        raise growth_error(yard.path.name, wrong)
    return tuple(entries)


def start_notes(yard: Yard, entries: tuple[Entry, ...]) -> tuple[str, ...]:
    """Lines on what takes long to establish, and on trees aged by their trunk."""
    filling_in = any(entry.start.lag == SLEEP_CREEP for entry in entries)
    notes = [f"{FILLING_IN_NOTE[0].upper()}{FILLING_IN_NOTE[1:]}."] if filling_in else []
    for entry in entries:
        start = entry.start
        note = establishment_note(start.lag, zone=start.climate.zone)
        if start.age_years is not None:
            note = f"about {start.age_years:.0f} years since planting by its trunk, roughly"
        if note is not None and note != FILLING_IN_NOTE:
            notes.append(f"{start.plant.name} {found_at(yard, entry.place)}: {note}.")
        if entry.lost_by_plan:
            share = f"{100 * start.roots_lost:.0f} %"
            notes.append(
                f"{start.plant.name} {found_at(yard, entry.place)}: the plan harms {share} of its "
                "root zone, more than is written as lost; the forecast takes that share."
            )
    return tuple(dict.fromkeys(notes))


def first_season(planted: datetime.date, *, southern: bool) -> int:
    """The growing season a plant set on that day grows in first, by the year of its midsummer."""
    month = 12 if southern else 6
    return planted.year + (planted > datetime.date(planted.year, month, 21))


def climate_of(yard: Yard) -> Climate:
    """What the document says of its site's climate."""
    site = yard.site
    return Climate(site.place, site.latitude_deg, site.hardiness_zone)


def _entry(yard: Yard, source: Source, own: Mapping[str, Plant]) -> Entry:
    """The entry of one source; errors carry `key: value; remedy`."""
    try:
        plant = find(source.plant, own)
    except GrowthError as error:
        key = "mix" if source.planting is not None and source.planting.mix else "plant"
        raise GrowthError(f"{key}: {error}") from None
    if source.kept is not None:
        kept = source.kept
        start = Start(
            plant,
            kept.height,
            kept.spread,
            kept=True,
            climate=climate_of(yard),
            age_years=_age_years(yard, kept, plant),
            roots_lost=source.roots_lost,
        )
        return Entry(source.place, start, lost_by_plan=source.roots_lost > kept.roots_lost)
    if source.planting is None:
        raise GrowthError("plant: neither planted nor kept; write a planting or kept table")
    return _planted(yard, source.place, source.planting, plant)


def _age_years(yard: Yard, kept: Kept, plant: Plant) -> float | None:
    """Years since planting by the trunk; None for several stems, or none measured."""
    if kept.trunk_diameter is None:
        return None
    return age_from_trunk_years(plant, kept.trunk_diameter, climate_of(yard))


def _planted(yard: Yard, place: str, planting: Planting, plant: Plant) -> Entry:
    size = planted_size(planting, plant)
    delay = _delay_years(yard, planting)
    if planting.removed is not None and planting.removed <= delay:
        raise GrowthError(
            f"removed: year {planting.removed} is not after planting in year {delay}; "
            "write a later year"
        )
    limit = planting.kept_at or KeptAt()
    start = Start(
        plant,
        size.height_m,
        size.spread_m,
        delay_years=delay,
        height_limit_m=limit.height or math.inf,
        spread_limit_m=limit.spread or math.inf,
        climate=climate_of(yard),
        lag=establishment(plant, size, zone=yard.site.hardiness_zone),
    )
    return Entry(place, start, planting.removed)


def _delay_years(yard: Yard, planting: Planting) -> int:
    """Seasons between the yard's planting day and that of the plants; 0 where none is given."""
    if planting.planted is None:
        return 0
    if yard.site.planted is None:
        raise GrowthError(
            f"planted: {planting.planted} has no yard date to count from; write site.planted"
        )
    if planting.planted < yard.site.planted:
        raise GrowthError(
            f"planted: {planting.planted} is before the yard's {yard.site.planted}; "
            "write a later date, or an earlier site.planted"
        )
    southern = (yard.site.latitude_deg or 0.0) < 0
    first = first_season(planting.planted, southern=southern)
    delay = first - first_season(yard.site.planted, southern=southern)
    if delay > LAST_YEAR:
        raise GrowthError(
            f"planted: {planting.planted} is {delay} seasons after the yard's; "
            f"write a date within {LAST_YEAR} seasons"
        )
    return delay
