"""What is measured of a grown yard: every quantity once, and only when it is asked for.

A requirement asks for one quantity, the whole report for all of them. Falls and root zones
are those of the plan: the same in every year, without a range.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from shapely.geometry.base import BaseGeometry

from growth.checks.banks import Banks, banks
from growth.checks.canopy import canopy, canopy_areas
from growth.checks.clearance import Near, clear_of, clearance, near
from growth.checks.closing import closings
from growth.checks.count import counts
from growth.checks.coverage import coverage
from growth.checks.findings import BedCover, Canopy, Clash, Closing, Lighting, Screening, Sight
from growth.checks.keepclear import Keep, keeps
from growth.checks.light import lighting
from growth.checks.lost import asked_open, with_lost
from growth.checks.lotlight import light_over_lot
from growth.checks.outlook import prospects
from growth.checks.plantedsizes import smallest_sizes
from growth.checks.screening import GAP_YEARS, expected_sizes, screening
from growth.checks.sight import sights
from growth.checks.spray import Spray, spray
from growth.checks.sunmap import LotLight
from growth.memory import Memory, digest
from growth.ranges import Range
from growth.stand import Draws, Stand
from scenes.canopyrules import CanopyCount, canopy_counts
from scenes.document import Yard
from scenes.falls import Fall, falls
from scenes.layout import Layout
from scenes.sighttriangles import sight_shapes
from scenes.terrain import Terrain

NOWHERE = np.zeros((0, 3))


@dataclass(frozen=True)
class Measured:
    """A grown yard with joint draws of its plants, and all that requirements may limit."""

    yard: Yard
    terrain: Terrain
    layout: Layout
    stand: Stand
    draws: Draws
    memory: Memory

    @cached_property
    def site(self) -> bytes:
        """A digest of all but the plants that are set and the requirements."""
        bare = self.yard.model_copy(update={"planting": (), "requirement": ()})
        built = replace(self.layout, sources=(), source=self.layout.source[:0], xyz_m=NOWHERE)
        return digest(bare, self.terrain, built)

    @cached_property
    def expected(self) -> Draws:
        """The expected size of every plant in every year, as one draw."""
        return expected_sizes(self.stand)

    @cached_property
    def _banks(self) -> Banks:
        return banks(self.terrain)

    @cached_property
    def _covers(self) -> tuple[tuple[BedCover, ...], BedCover | None]:
        return coverage(self.layout.beds, self.stand, self.draws, self.memory, ground=self._banks)

    @property
    def coverage(self) -> tuple[BedCover, ...]:
        """Cover of every bed."""
        return self._covers[0]

    @property
    def beds(self) -> BedCover | None:
        """Cover of all beds together; None where there are no beds."""
        return self._covers[1]

    @cached_property
    def closing(self) -> tuple[Closing, ...]:
        """The year each spot of every bed closes."""
        return closings(self.layout.beds, self.stand, self._banks)

    @cached_property
    def canopy(self) -> Canopy:
        """Canopy over the lot."""
        return canopy(
            self.terrain.boundary, self.stand, self.draws, self.memory,
            surfaces=self.layout.surfaces,
            rules=canopy_counts(self.yard),
            places=[source.name for source in self.layout.sources],
        )  # fmt: skip

    def canopy_area(self, name: str) -> tuple[BaseGeometry, float | None] | None:
        """Where canopy that grows is counted under a name, and the height in metres that plants
        must pass; None where mature trees are credited, or nothing is named so."""
        rule = self._canopy_rule(name)
        area = self.canopy_over(name)
        if area is None or (rule is not None and rule.counts == "mature"):
            return None
        return area, rule.taller_than_m if rule else None

    def canopy_over(self, name: str) -> BaseGeometry | None:
        """What canopy of a name is counted over; None where there is nothing of it."""
        rule = self._canopy_rule(name)
        areas = canopy_areas(self.terrain.boundary, self.layout.surfaces)
        return areas.get(rule.over if rule else name)

    def _canopy_rule(self, name: str) -> CanopyCount | None:
        return next((rule for rule in canopy_counts(self.yard) if rule.name == name), None)

    @cached_property
    def screening(self) -> tuple[Screening, ...]:
        """Every view, its gaps also in the years that requirements look at."""
        wanted = self.yard.requirement
        asked = {r.year for r in wanted if r.check in ("screening", "opening")}
        views = prospects(self.terrain, self.layout, self.memory)
        found = screening(
            views, self.terrain.height_m, self.stand, self.draws, self.memory,
            gap_years=sorted(asked | set(GAP_YEARS)),
        )  # fmt: skip
        return with_lost(found, asked_open(self.yard), views, self.layout, self.stand, self.memory)

    @cached_property
    def falls(self) -> tuple[Fall, ...]:
        """Falls of the ground beside their limits."""
        return falls(self.yard, self.terrain, self.layout)

    @cached_property
    def _things(self) -> Sequence[Keep]:
        return keeps(self.yard, self.layout)

    @cached_property
    def _pairs(self) -> Near:
        return near(self._things, self.stand, self.terrain.height_m)

    @cached_property
    def clearance(self) -> tuple[Clash, ...]:
        """Plants that come too near to things."""
        return clearance(self._things, self._pairs, self.layout, self.stand)

    def clear_of(self, name: str) -> Range | None:
        """Share of the plants clear of what bears the name."""
        return clear_of(name, self._things, self._pairs, self.stand, self.draws)

    @cached_property
    def counts(self) -> Mapping[str, Range]:
        """Counts by the words they are of."""
        found = counts(self.terrain.boundary, self.layout.beds, self.stand, self.draws)
        return {**found, **smallest_sizes(self.stand, self.layout.sources)}

    @cached_property
    def sight(self) -> tuple[Sight, ...]:
        """Drivers' sight triangles."""
        return sights(
            sight_shapes(self.yard), self._things, self.layout, self.stand, self.draws,
            self.terrain.height_m,
        )  # fmt: skip

    @cached_property
    def _heads(self) -> tuple[tuple[Spray, ...], Mapping[str, Range]]:
        return spray(
            self.yard.head, self.terrain, self.stand, self.draws, self._things, self.memory
        )

    @property
    def spray(self) -> tuple[Spray, ...]:
        """Every spray head."""
        return self._heads[0]

    @property
    def reached(self) -> Mapping[str, Range]:
        """Share of the ground that water reaches, by head and of the lot."""
        return self._heads[1]

    @cached_property
    def lot_light(self) -> LotLight | None:
        """Sun over the lot by month and year; None where the place is not known."""
        return light_over_lot(self.yard, self.terrain, self.layout, self.stand, self.memory)

    @cached_property
    def lighting(self) -> Lighting | None:
        """Hours of sun at every plant; None where the place is not known."""
        return lighting(
            self.yard.site, self.terrain, self.layout, self.stand, self.draws, self.memory
        )
