"""A yard with all that its pages show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import growth
import scenes
from growth.checks.findings import Findings
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


def composed(yard: Yard, found: Callable[[], Findings]) -> Shown:
    """A yard ready to be drawn, and the findings that `found` gives once it is.

    Raises SceneError or GrowthError for a wrong document.
    """
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    stage = compose(yard, terrain, layout, stand)
    return Shown(yard, layout, stand, stage, found(), crown_area_m2(stand))
