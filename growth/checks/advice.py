"""What to do: the smallest changes that would meet a requirement, each found by trying it.

Every change of a list (`growth.checks.changes`) is laid out, grown and measured: first with few
joint draws, and with all of them where it comes near. Changes are ranked by how many plants
they set otherwise, then by the year from which on they meet the limit; told are the first few.
Where no change of the list meets it, the one that comes nearest is told as that, and no more.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from growth.checks.canopy import ALWAYS
from growth.checks.changes import (
    MOST_TABLES,
    Change,
    clipped,
    closer_spacings,
    larger_sizes,
    left_out,
    moved,
    one_more,
    other_plants,
    tables_of,
)
from growth.checks.failing import first_met, only_looked_at, without_each
from growth.checks.findings import Advice, Advised
from growth.checks.measured import Measured
from growth.checks.openings import barest, before_gap, plantable
from growth.checks.register import season_at, value_of
from growth.checks.remedies import PROPOSALS
from growth.checks.screening import expected_sizes
from growth.checks.standing import standing
from growth.errors import GrowthError
from growth.ranges import Range
from growth.scores import even_scores
from growth.stand import draw, grow
from scenes.document import Requirement
from scenes.errors import SceneError
from scenes.layout import replanted

IntArray = NDArray[np.int64]

FEW_DRAWS, NEAR = 64, 0.03
"""Joint draws of a first try, and how far below the limit it may end to be tried with all."""

TOLD = 3
"""Changes that are told."""

REACH_M = 3.0
"""How far from what it is to shade a tree more is tried; assumed."""

MORE = ("screening", "coverage", "canopy")
LESS = ("opening", "clearance", "sight")
"""Checks that more or larger plants help to meet, and those that fewer or smaller ones do."""

CLIPPED_M = (2.4, 1.8, 1.2, 0.9)
"""Heights that plants in the way are clipped to; assumed."""


@dataclass(frozen=True)
class _Tried:
    change: Change
    values: Range
    plants: int
    """Plants that stand otherwise than before."""


def advise(requirement: Requirement, measured: Measured, *, seed: int) -> Advice:
    """The smallest changes that would meet a requirement that is not met."""
    trial = _Trial(requirement, measured, seed)
    tried = trial.all_of(changes_for(requirement, only_looked_at(requirement, measured)))
    sure = trial.sure_of(tried)
    meeting = [one for one in sure if trial.short(one) <= 0]
    if not meeting and tried:
        second = trial.all_of(_second_steps(min(tried, key=trial.short).change))
        tried, sure = tried + second, sure + trial.sure_of(second)
        meeting = [one for one in sure if trial.short(one) <= 0]
    meeting.sort(key=lambda one: (one.plants, first_met(requirement, _worst(requirement, one))))
    told = tuple(_told(requirement, one) for one in meeting[:TOLD])
    nearest = min(sure or tried, key=trial.short, default=None)
    short_of_it = None if told or nearest is None else _told(requirement, nearest)
    return Advice(told, len(tried), short_of_it)


def _second_steps(first: Change) -> Iterator[Change]:
    """A change of another key of the same tables after a first one, as one change."""
    for table in sorted(first.tables):
        for kind in (larger_sizes, closer_spacings, other_plants):
            for second in kind(first.yard, table):
                if second.key != first.key:
                    yield second.after(first)


def changes_for(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    """Changes worth a try, table by table from the most important one on."""
    helps = requirement.at_least is not None
    if requirement.check in MORE and helps:
        yield from _more(requirement, measured)
    elif (requirement.check in LESS and helps) or requirement.check in MORE:
        yield from _less(requirement, measured)
    elif requirement.check in PROPOSALS:
        yield from PROPOSALS[requirement.check](requirement, measured)


def _more(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    yard, year = measured.yard, requirement.year
    season = season_at(requirement, yard.site)
    now = expected_sizes(measured.stand).only(years=[year])
    plants, left = without_each(requirement, measured, now, season)
    tables = _tables(measured, plants, left[0] - left[1:])
    kinds = ALWAYS if requirement.check == "canopy" else ()
    for table in tables or tables_of(yard, kinds):
        mine = _of_table(measured, plants, table)
        for at in _places(requirement, season, measured, mine):
            if (more := one_more(yard, table, at)) is not None:
                yield more
            yield from _moves(measured, table, plants, left, at)
        yield from larger_sizes(yard, table)
        yield from closer_spacings(yard, table)
        yield from other_plants(yard, table)


def _places(
    requirement: Requirement, season: str, measured: Measured, mine: IntArray
) -> Iterable[tuple[float, float]]:
    """Where one plant more would help most."""
    if requirement.check == "screening":
        found = [before_gap(requirement, season, measured, mine)]
    else:
        radius_m = measured.stand.spread_m.expected[requirement.year] / 2
        beds = [b.outline for b in measured.layout.beds if requirement.of in (b.name, "lot")]
        outlines = [_near_canopy(requirement, measured)] if requirement.check == "canopy" else beds
        found = [barest(outline, measured.stand, radius_m) for outline in outlines]
    return [at for at in found if at is not None]


def _near_canopy(requirement: Requirement, measured: Measured) -> BaseGeometry:
    """Plantable ground from which a crown may reach over what canopy is asked for."""
    ground, found = plantable(measured), measured.canopy_over(requirement.of)
    return ground if found is None else shapely.intersection(ground, found.buffer(REACH_M))


def _moves(
    measured: Measured, table: int, plants: IntArray, left: NDArray[np.float64],
    at: tuple[float, float],
) -> Iterator[Change]:  # fmt: skip
    """The plant of a table that matters least, set where it would help more."""
    mine = _of_table(measured, plants, table)
    points = measured.yard.planting[table].at
    if points and len(mine):
        least = mine[left[1 + np.searchsorted(plants, mine)].argmax()]
        yield moved(measured.yard, table, _number(measured, table, int(least)), at)


def _less(requirement: Requirement, measured: Measured) -> Iterator[Change]:
    """Plants in the way left out one by one, or clipped."""
    in_way = _in_the_way(requirement, measured)
    for table in _tables(measured, in_way, np.ones(len(in_way))):
        planting = measured.yard.planting[table]
        for plant in _of_table(measured, in_way, table)[:MOST_TABLES] if planting.at else ():
            yield left_out(measured.yard, table, _number(measured, table, int(plant)))
        for height_m in CLIPPED_M:
            yield clipped(measured.yard, table, height_m=height_m, spread_m=None)
        widths = [c.length_m for clash in measured.clearance for c in clash.cures
                  if c.do == "clip" and clash.place == f"planting[{table + 1}]"]  # fmt: skip
        if requirement.check == "clearance" and widths:
            yield clipped(measured.yard, table, height_m=None, spread_m=min(widths))


def _in_the_way(requirement: Requirement, measured: Measured) -> IntArray:
    """Plants that a requirement of openness may be spoilt by, the worst first."""
    stand = measured.stand
    if requirement.check in ("opening", *MORE):
        now = expected_sizes(stand).only(years=[requirement.year])
        season = season_at(requirement, measured.yard.site)
        check = "screening" if requirement.check == "opening" else requirement.check
        wanted = requirement.model_copy(update={"check": check})
        plants, left = without_each(wanted, measured, now, season)
        return plants[np.argsort(left[1:], kind="stable")]
    clashes = measured.clearance
    if requirement.check == "sight":
        clashes = tuple(c for s in measured.sight if s.name == requirement.of for c in s.plants)
    elif requirement.of != "lot":
        clashes = tuple(c for c in clashes if requirement.of in (c.against, c.plant, c.place))
    spots = np.array([clash.at for clash in clashes]).reshape(-1, 2)
    _, plants = cKDTree(stand.xyz_m[:, :2]).query(spots)
    return np.unique(plants).astype(np.int64)


def _tables(measured: Measured, plants: IntArray, weight: NDArray[np.floating]) -> Sequence[int]:
    """Planting tables of some plants, those of the greatest weight first."""
    table = _table_of(measured, plants)
    planted = table >= 0
    weights = np.bincount(table[planted], weight[planted])
    order = np.argsort(-weights, kind="stable")
    return [int(one) for one in order if one in table][:MOST_TABLES]


def _table_of(measured: Measured, plants: IntArray) -> IntArray:
    """The planting table of every plant, by its number from 0; -1 for those that were there."""
    number = {id(planting): n for n, planting in enumerate(measured.yard.planting)}
    sources = [number.get(id(source.planting), -1) for source in measured.layout.sources]
    return np.asarray(np.array(sources, np.int64)[measured.stand.source[plants]])


def _of_table(measured: Measured, plants: IntArray, table: int) -> IntArray:
    return np.asarray(plants[_table_of(measured, plants) == table])


def _number(measured: Measured, table: int, plant: int) -> int:
    """Which of the points of its table a plant stands at."""
    points = np.array(measured.yard.planting[table].at)
    return int(np.hypot(*(points - measured.stand.xyz_m[plant, :2]).T).argmin())


@dataclass(frozen=True)
class _Trial:
    """A requirement of a yard, and how changes of the yard fare by it."""

    requirement: Requirement
    measured: Measured
    seed: int

    def all_of(self, changes: Iterable[Change]) -> list[_Tried]:
        """Changes that the document's rules allow, by few joint draws."""
        tried = (self._try(change, FEW_DRAWS) for change in changes)
        return [one for one in tried if one is not None]

    def sure_of(self, tried: Sequence[_Tried]) -> list[_Tried]:
        """Those that come near, by all joint draws; the nearest one where none does."""
        count = len(self.measured.draws.height_m)
        near = [one for one in tried if self.short(one) <= NEAR]
        near = near or sorted(tried, key=self.short)[:1]
        sure = (self._try(one.change, count) for one in near)
        return [one for one in sure if one is not None]

    def short(self, one: _Tried) -> float:
        """How far the unfavourable end misses the limit in the requirement's year."""
        wanted, values = self.requirement, one.values
        if wanted.at_least is not None:
            return wanted.at_least - float(values.low[wanted.year])
        return float(values.high[wanted.year]) - (wanted.at_most or 0.0)

    def _try(self, change: Change, count: int) -> _Tried | None:
        """A change laid out, grown and measured; None where the document's rules refuse it."""
        try:
            layout = replanted(change.yard, self.measured.terrain, self.measured.layout)
            stand = grow(change.yard, layout)
        except (SceneError, GrowthError):
            return None
        draws = draw(stand, count=count, seed=self.seed, scores=even_scores)
        case = replace(self.measured, yard=change.yard, layout=layout, stand=stand, draws=draws)
        values = value_of(self.requirement, only_looked_at(self.requirement, case))
        if values is None:
            return None
        everyone = np.arange(len(stand.plant))
        plants = [len(_of_table(case, everyone, table)) for table in change.tables]
        return _Tried(change, values, change.single + sum(plants))


def _worst(requirement: Requirement, tried: _Tried) -> Range:
    """The unfavourable end of the range, as a range."""
    worst = tried.values.low if requirement.at_least is not None else tried.values.high
    return Range(worst, worst, worst)


def _told(requirement: Requirement, one: _Tried) -> Advised:
    year, at_least = requirement.year, requirement.at_least is not None
    low, expected, high = (
        float(end[year]) for end in (one.values.low, one.values.expected, one.values.high)
    )
    limit = float((requirement.at_least if at_least else requirement.at_most) or 0.0)
    stands = standing(limit=limit, at_least=at_least, low=low, expected=expected, high=high)
    met = first_met(requirement, _worst(requirement, one))
    return Advised(one.change.words, one.plants, met, low, expected, high, stands)
