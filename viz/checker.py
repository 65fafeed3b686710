"""A yard laid out, grown and checked, from its document alone."""

from collections.abc import Callable

import growth
from growth.checks.working import Planned
from scenes.document import Yard
from viz.grown import grown


def planned(
    yard: Yard, *, light: bool = True, advising: Callable[[str], object] | None = None
) -> Planned:
    """A yard with its findings; the hours of sun may be left out, and advice on requirements
    that are not met be asked for.

    Raises SceneError or GrowthError for a wrong document.
    """
    terrain, layout, stand = grown(yard)
    findings = growth.check(yard, terrain, layout, stand, light=light, advising=advising)
    return Planned(yard, terrain, layout, stand, findings)
