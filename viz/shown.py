"""A yard with all that its pages show, made as quickly as two cores allow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

import growth
import scenes
from growth.checks.findings import Findings
from growth.crownarea import crown_area_m2
from growth.memory import Memory
from growth.ranges import Range
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from viz.checker import Checker

if TYPE_CHECKING:
    from viz.stage import Stage


@dataclass(frozen=True)
class Shown:
    """A yard with all that its pages show."""

    yard: Yard
    layout: Layout
    stand: Stand
    stage: Stage
    findings: Findings
    crowns_m2: Range


def shown(
    yard: Yard,
    checker: Checker,
    *,
    memory: Memory | None = None,
    drawn: Callable[[Stage], object] | None = None,
) -> Shown:
    """A yard graded, laid out, grown, checked and ready to be drawn.

    `memory` keeps the drawn parts from one edit to the next; `drawn` is handed the stage as
    soon as it is there, before the findings are. Raises SceneError or GrowthError for a wrong
    document.
    """
    checker.begin(yard)
    return composed(yard, checker.findings, memory=memory, drawn=drawn)


def composed(
    yard: Yard,
    found: Callable[[], Findings],
    *,
    memory: Memory | None = None,
    drawn: Callable[[Stage], object] | None = None,
) -> Shown:
    """A yard ready to be drawn, and the findings that `found` gives once it is."""
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    import_module("panel")  # takes a second to load, in which the checks may already run
    from viz.stage import compose

    stage = compose(yard, terrain, layout, stand, memory=memory)
    if drawn is not None:
        drawn(stage)
    crowns_m2 = crown_area_m2(stand)
    return Shown(yard, layout, stand, stage, found(), crowns_m2)
