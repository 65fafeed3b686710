"""Changes that may help where neither more nor fewer plants do: of light, counts and spray.

Plants that stand in the wrong light give way to others of the catalogue that bear it; counts
are met by another plant of the kind that is counted, one more, or a larger size; spray by a
taller riser, or without the plant in its way. All are only proposed here, and tried elsewhere.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
import shapely

from growth.checks.changes import (
    MOST_TABLES,
    Change,
    clipped,
    larger_sizes,
    left_out,
    one_more,
    other_plants,
    plant_of,
    tables_of,
)
from growth.checks.count import genus
from growth.checks.measured import Measured
from growth.checks.needs import NEEDS_H
from growth.checks.openings import barest, plantable
from growth.plants import Plant
from scenes.countwords import (
    CALIPER,
    EVERGREEN,
    GROUPS,
    OF_ONE_GENUS,
    OF_ONE_KIND,
    PER_100_FT,
    SHRUB_HEIGHT,
    TREE_HEIGHT,
)
from scenes.document import Requirement, Yard
from scenes.lengths import METRES

RISERS_IN = (6, 12, 18, 24, 36, 48, 72)
"""Heights of risers that are tried; assumed."""

WOODY = tuple(kind for kinds in GROUPS.values() for kind in kinds)

BELOW_RISER = 0.9
"""Share of a riser's height that plants in its way are clipped to; assumed."""


def for_light(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    """Other plants, that bear the light, for those of the tables that do not."""
    spots = measured.lighting.spots if measured.lighting else ()
    hours_by_table: dict[int, list[float]] = {}
    for spot in spots:
        table, hours_h = _table(spot.place), float(spot.hours.expected[requirement.year])
        if table is None or not np.isfinite(hours_h) or spot.least_h <= hours_h <= spot.most_h:
            continue
        if requirement.of in ("lot", spot.plant, measured.yard.planting[table].name):
            hours_by_table.setdefault(table, []).append(hours_h)
    worst = sorted(hours_by_table, key=lambda table: -len(hours_by_table[table]))
    for table in worst[:MOST_TABLES]:
        band = _band(float(np.median(hours_by_table[table])))
        yield from other_plants(measured.yard, table, light=band)


def for_count(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    """What makes the counted share larger or smaller, or the smallest size larger."""
    of, yard, helps = requirement.of, measured.yard, requirement.at_least is not None
    if of == EVERGREEN and helps:
        for table in tables_of(yard, WOODY, wanted=lambda one: not _evergreen(one)):
            yield from other_plants(yard, table, wanted=_evergreen)
    elif of in (OF_ONE_KIND, OF_ONE_GENUS) and not helps:
        for table in tables_of(yard, WOODY):
            yield from other_plants(yard, table, wanted=_of_other_genus(yard, table))
    elif PER_100_FT in of and helps:
        kinds = GROUPS["trees" if of.startswith("trees") else "shrubs"]
        yield from _one_more(measured, kinds, of, requirement.year)
    elif of.startswith((CALIPER, TREE_HEIGHT, SHRUB_HEIGHT)) and helps:
        kinds = GROUPS["shrubs" if of.startswith(SHRUB_HEIGHT) else "trees"]
        for table in tables_of(yard, kinds):
            yield from larger_sizes(yard, table)


def for_spray(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    """A taller riser, or the plants around a head clipped below it or left out."""
    yard, stand = measured.yard, measured.stand
    for number, head in enumerate(yard.head):
        if requirement.of not in (head.name, "lot"):
            continue
        for inches in RISERS_IN:
            if inches * METRES["in"] > head.riser:
                yield _riser(yard, number, inches)
        away_m = np.hypot(*(stand.xyz_m[:, :2] - head.at).T)
        edge_m = away_m - stand.spread_m.expected[requirement.year] / 2
        near = np.flatnonzero(edge_m < head.throw)
        near = near[np.argsort(edge_m[near], kind="stable")]
        places = dict.fromkeys(measured.layout.sources[stand.source[n]].place for n in near)
        tables = [table for table in map(_table, places) if table is not None]
        for table in tables[:MOST_TABLES]:
            yield clipped(yard, table, height_m=BELOW_RISER * head.riser, spread_m=None)
        for plant in near[:MOST_TABLES]:
            at = _table(measured.layout.sources[stand.source[plant]].place)
            points = yard.planting[at].at if at is not None else None
            if at is not None and points:
                apart = np.hypot(*(np.array(points) - stand.xyz_m[plant, :2]).T)
                yield left_out(yard, at, int(apart.argmin()))


def _riser(yard: Yard, number: int, inches: int) -> Change:
    head = yard.head[number]
    taller = head.model_copy(update={"riser": inches * METRES["in"]})
    heads = (*yard.head[:number], taller, *yard.head[number + 1 :])
    words = f"{head.name}: a riser of {inches} in"
    return Change(words, yard.model_copy(update={"head": heads}), key="riser")


def _one_more(measured: Measured, kinds: Sequence[str], of: str, year: int) -> Iterator[Change]:
    """One plant more of each table of those kinds, where the counted ground is barest."""
    name = of.partition(f"{PER_100_FT} of ")[2]
    beds = [bed.outline for bed in measured.layout.beds if bed.name == name]
    open_ground = plantable(measured)
    outline = shapely.intersection(open_ground, beds[0]) if beds else open_ground
    at = barest(outline, measured.stand, measured.stand.spread_m.expected[year] / 2)
    if at is None:
        return
    for table in tables_of(measured.yard, kinds):
        more = one_more(measured.yard, table, at)
        if more is not None:
            yield more


def _evergreen(plant: Plant) -> bool:
    return plant.leaf == "evergreen"


def _of_other_genus(yard: Yard, table: int) -> Callable[[Plant], bool]:
    """Whether a plant is of another genus than those of a table."""
    plant = plant_of(yard, table)
    mine = genus(plant.name) if plant else ""
    return lambda one: genus(one.name) != mine


def _table(place: str) -> int | None:
    """The number of a planting table by its place, from 0; None where it is no planting."""
    if not place.startswith("planting["):
        return None
    return int(place.removeprefix("planting[").partition("]")[0]) - 1


def _band(hours: float) -> str:
    """The word of the catalogue for so many hours of sun."""
    return next(word for word, (least, most) in NEEDS_H.items() if least <= hours <= most)


PROPOSALS: Mapping[str, Callable[[Requirement, Measured], Iterator[Change]]] = {
    "light": for_light, "count": for_count, "spray": for_spray,
}  # fmt: skip
"""What is proposed for a check."""
