"""A yard checked from its document alone."""

from collections.abc import Callable

import growth
import scenes
from growth.checks.findings import Findings
from growth.memory import Memory
from scenes.document import Yard


def checked(
    yard: Yard,
    *,
    light: bool = True,
    advising: Callable[[str], object] | None = None,
    memory: Memory | None = None,
) -> Findings:
    """The findings of a yard, from its document alone; the hours of sun may be left out, and
    advice on requirements that are not met be asked for.

    Raises SceneError or GrowthError for a wrong document.
    """
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return growth.check(yard, terrain, layout, stand, light=light, advising=advising, memory=memory)
