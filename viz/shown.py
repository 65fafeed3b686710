"""A yard with all that its pages show, made as quickly as two cores allow.

The checks take as long as loading Panel and drawing the stage together: so they run in a
process of their own, started first and waited for last. Threads would share one interpreter
and gain nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

import growth
import scenes
from growth.checks.findings import Findings
from growth.crownarea import crown_area_m2
from growth.ranges import Range
from scenes.document import Yard
from scenes.layout import Layout

if TYPE_CHECKING:
    from viz.stage import Stage


def checked(
    yard: Yard, *, light: bool = True, advising: Callable[[str], object] | None = None
) -> Findings:
    """The findings of a yard, from its document alone; the hours of sun may be left out, and
    advice on requirements that are not met be asked for."""
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return growth.check(yard, terrain, layout, stand, light=light, advising=advising)


@dataclass(frozen=True)
class Shown:
    """A yard with all that its pages show."""

    yard: Yard
    layout: Layout
    stage: Stage
    findings: Findings
    crowns_m2: Range


def shown(yard: Yard) -> Shown:
    """A yard graded, laid out, grown, checked and ready to be drawn."""
    with ProcessPoolExecutor(max_workers=1) as other:
        checking = other.submit(checked, yard, light=False)
        terrain = scenes.grade(yard)
        layout = scenes.lay_out(yard, terrain)
        stand = growth.grow(yard, layout)
        import_module("panel")  # takes a second to load, in which the checks already run
        from viz.stage import compose

        stage = compose(yard, terrain, layout, stand)
        return Shown(yard, layout, stage, checking.result(), crown_area_m2(stand))
