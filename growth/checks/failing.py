"""What if one fails: the single plant whose loss lowers a required quantity most.

Every plant that the quantity can depend on is left out in turn, at its expected size in the
requirement's year; the one without which least is left is then taken out of every joint draw,
in that year. A season later a plant of the first size stands in its place and grows as the
lost one did; of a tree that was there before, nobody plants another of its size, and none is
reckoned with. Asked are requirements that want at least so much hidden, covered or counted;
of the others no loss takes anything away.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.canopy import canopy_plants
from growth.checks.coverage import may_cover, reaches_down
from growth.checks.findings import OneFails
from growth.checks.measured import Measured
from growth.checks.outlook import prospects
from growth.checks.register import value_of
from growth.checks.screening import in_reach
from growth.checks.takenout import covered_without, hidden_without, largest
from growth.picked import Loss, Picked
from growth.ranges import Range
from growth.stand import Draws
from scenes.document import Requirement

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

LEAST_LOSS = 0.0005
"""A loss below this share of the quantity's unit names nobody."""


def if_one_fails(requirement: Requirement, measured: Measured, season: str) -> OneFails | None:
    """The plant that matters most to a requirement, what is left without it, and until when."""
    wants_more = requirement.at_least is not None
    if requirement.check == "opening":
        wants_more = not wants_more
    if not wants_more or requirement.check not in _WITHOUT:
        return None
    now = measured.expected.only(years=[requirement.year])
    looked_at, stand = only_looked_at(requirement, measured), measured.stand
    plants = reached(requirement, looked_at, now)
    places = tuple(source.place for source in measured.layout.sources)
    made_of = (repr(requirement), season, measured.site, measured.draws.origin, places)
    return measured.memory.whole(
        ("one fails", *made_of, plants, stand.xyz_m[plants]),
        lambda: _found(requirement, looked_at, now, season, plants),
    )


def _found(
    requirement: Requirement, measured: Measured, now: Draws, season: str, reached: IntArray
) -> OneFails | None:
    """The same of a quantity that only the plants reached can change."""
    if requirement.check != "count":
        stand, draws = measured.stand.of(reached), Picked(measured.draws, reached)
        measured, now = replace(measured, stand=stand, draws=draws), now.of(reached)
    plants, left = without_each(requirement, measured, now, season)
    if not len(plants) or left[0] - left[1:].min() < LEAST_LOSS:
        return None
    return _told(requirement, measured, int(plants[left[1:].argmin()]))


def reached(requirement: Requirement, measured: Measured, now: Draws) -> IntArray:
    """Plants that can change a quantity by their places, in the draws or by the sizes now."""
    stand, memory = measured.stand, measured.memory
    if requirement.check in ("screening", "opening"):
        views = prospects(measured.terrain, measured.layout, memory)
        lines = [outlook.lines for prospect in views for outlook in prospect.outlooks]
        seen = [in_reach(fan, stand, sizes) for fan in lines for sizes in (measured.draws, now)]
        return np.unique(np.concatenate([*seen, np.zeros(0, np.int64)]))
    areas = _areas(requirement, measured)
    if areas is None:
        return np.arange(len(stand.plant))
    over = [may_cover(area, stand, sizes) for area in areas for sizes in (measured.draws, now)]
    return np.flatnonzero(np.any([np.zeros(len(stand.plant), bool), *over], axis=0))


def _areas(requirement: Requirement, measured: Measured) -> list[BaseGeometry] | None:
    """Areas over which a quantity is found; None where plants anywhere may count."""
    if requirement.check == "coverage":
        beds = measured.layout.beds
        return [bed.outline for bed in beds if requirement.of in (bed.name, "lot")]
    if requirement.check == "canopy":
        found = measured.canopy_area(requirement.of)
        return [found[0]] if found else []
    return None


def without_each(
    requirement: Requirement, measured: Measured, now: Draws, season: str
) -> tuple[IntArray, Array]:
    """Plants that a quantity depends on, and its value with all of them and without each."""
    return _WITHOUT[requirement.check](requirement, measured, now, season)


def only_looked_at(requirement: Requirement, measured: Measured) -> Measured:
    """The same yard with the one view or bed that a requirement is of, if it is of one."""
    layout = measured.layout
    if requirement.check in ("screening", "opening"):
        looks = tuple(look for look in layout.looks if look.name == requirement.of)
        return replace(measured, layout=replace(layout, looks=looks))
    if requirement.check == "coverage" and requirement.of != "lot":
        beds = tuple(bed for bed in layout.beds if bed.name == requirement.of)
        return replace(measured, layout=replace(layout, beds=beds))
    return measured


def _told(requirement: Requirement, measured: Measured, plant: int) -> OneFails | None:
    after = value_of(requirement, _lost(measured, plant, requirement.year))
    if after is None:
        return None
    stand, year = measured.stand, requirement.year
    return OneFails(
        plant=stand.plants[stand.plant[plant]].name,
        place=measured.layout.sources[stand.source[plant]].place,
        at=(float(stand.xyz_m[plant, 0]), float(stand.xyz_m[plant, 1])),
        low=float(after.low[year]),
        expected=float(after.expected[year]),
        high=float(after.high[year]),
        replaced=not stand.kept[plant],
        recovers_year=first_met(requirement, after, year),
    )


def first_met(requirement: Requirement, values: Range, year: int = 0) -> int | None:
    """First year from `year` on in which the expected value meets the limit."""
    if requirement.at_least is not None:
        meets = values.expected >= requirement.at_least
    else:
        meets = values.expected <= (requirement.at_most or 0.0)
    meets = meets & (np.arange(len(meets)) >= year)
    return int(meets.argmax()) if meets.any() else None


def _lost(measured: Measured, plant: int, year: int) -> Measured:
    """The yard without the plant in that year, and with one of the first size from the next."""
    stand, draws = measured.stand, measured.draws
    set_in = int(stand.present[:, plant].argmax())
    loss = Loss(plant, year, None if stand.kept[plant] else set_in)
    present = stand.present.copy()
    present[:, plant] = loss.moved_on(present[:, plant], axis=0)
    lost = Picked(draws, np.arange(len(stand.plant)), loss)
    return replace(measured, stand=replace(stand, present=present), draws=lost)


def _hidden(
    requirement: Requirement, measured: Measured, now: Draws, season: str
) -> tuple[IntArray, Array]:
    """Plants in reach of a view's eyes, and the share hidden by all and without each."""
    stand, memory = measured.stand, measured.memory
    number = ("leaf", "bare").index(season)
    bulk = now.height_m[0, 0] * now.spread_m[0, 0]
    seen = []
    for prospect in prospects(measured.terrain, measured.layout, memory):
        for outlook in prospect.outlooks:
            near = in_reach(outlook.lines, stand, now)
            near = largest(near, bulk[near])
            hidden = memory.of(
                ("hidden without", now.origin, outlook, near, stand.xyz_m[near]),
                partial(hidden_without, outlook, stand, now, near),
            )
            seen.append((near, hidden[number]))
    plants = np.unique(np.concatenate([near for near, _ in seen])) if seen else np.zeros(0, int)
    left = np.array([_of_all(plants, near, hidden) for near, hidden in seen])
    return plants, left.min(axis=0) if len(seen) else np.zeros(1)


def _of_all(plants: IntArray, near: IntArray, hidden: Array) -> Array:
    """Shares (1 + near,) as shares of all plants: those out of reach change nothing."""
    left = np.full(len(plants) + 1, hidden[0])
    left[np.searchsorted(plants, near) + 1] = hidden[1:]
    return left


def _covered(
    requirement: Requirement, measured: Measured, now: Draws, season: str
) -> tuple[IntArray, Array]:
    """Plants over the beds that are meant, and the share covered by all and without each."""
    stand = measured.stand
    beds = [bed for bed in measured.layout.beds if requirement.of in (bed.name, "lot")]
    radius_m = now.spread_m[0, 0] / 2
    plants = np.flatnonzero(reaches_down(stand) & (radius_m > 0))
    over = [may_cover(bed.outline, stand, now)[plants] for bed in beds]
    plants = plants[np.any(over, axis=0)] if beds else plants[:0]
    plants = largest(plants, radius_m[plants])
    xy_m = stand.xyz_m[plants, :2]
    shares = [covered_without(bed.outline, xy_m, radius_m[plants]) for bed in beds]
    areas = [bed.outline.area for bed in beds]
    return plants, np.average(shares, axis=0, weights=areas) if beds else np.zeros(1)


def _canopy(
    requirement: Requirement, measured: Measured, now: Draws, season: str
) -> tuple[IntArray, Array]:
    """Plants that count as canopy there, and the canopy of all and without each."""
    stand, nobody = measured.stand, np.zeros(0, np.int64)
    found = measured.canopy_area(requirement.of)
    if found is None:
        return nobody, np.zeros(1)
    area, taller_than_m = found
    over = may_cover(area, stand, now)
    counts = canopy_plants(stand, now.height_m[0, 0], taller_than_m=taller_than_m)
    plants = np.flatnonzero(counts & over)
    plants = largest(plants, now.spread_m[0, 0, plants])
    return plants, covered_without(area, stand.xyz_m[plants, :2], now.spread_m[0, 0, plants] / 2)


def _counted(
    requirement: Requirement, measured: Measured, now: Draws, season: str
) -> tuple[IntArray, Array]:
    """One plant of each kind, and the count of all and without each."""
    stand, year = measured.stand, requirement.year
    here = np.flatnonzero(stand.present[year])
    _, first = np.unique(stand.plant[here], return_index=True)
    plants = here[first]
    counts = [measured, *(_lost(measured, int(plant), year) for plant in plants)]
    values = [value_of(requirement, one) for one in counts]
    return plants, np.array([value.expected[year] if value else np.nan for value in values])


_WITHOUT: Mapping[
    str, Callable[[Requirement, Measured, Draws, str], tuple[IntArray, Array]]
] = {
    "screening": _hidden, "opening": _hidden, "coverage": _covered, "canopy": _canopy,
    "count": _counted,
}  # fmt: skip
"""What is left of a quantity by all plants, and without each of those it depends on."""
