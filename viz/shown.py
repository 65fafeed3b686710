"""A yard with all that its pages show."""

from __future__ import annotations

from dataclasses import dataclass

from growth.checks.findings import Findings
from growth.checks.working import Planned
from growth.crownarea import crown_area_m2
from growth.ranges import Range
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from viz.stage import Stage, compose


@dataclass(frozen=True)
class Shown:
    """A yard with all that its pages show."""

    yard: Yard
    layout: Layout
    stand: Stand
    stage: Stage
    findings: Findings
    crowns_m2: Range


def composed(planned: Planned) -> Shown:
    """A yard that is checked, ready to be drawn."""
    yard, layout, stand = planned.yard, planned.layout, planned.stand
    stage = compose(yard, planned.terrain, layout, stand)
    return Shown(yard, layout, stand, stage, planned.findings, crown_area_m2(stand))
