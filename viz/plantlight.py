"""What the light says of plants, for the cards of a served page.

The hours of sun at every plant take half the time of all checks, so a served page leaves them
out, and asks for them when the first plant is chosen; they are found in a process of their own.
A packed page has them in it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import growth
import scenes
from growth.errors import GrowthError
from scenes.document import Yard
from scenes.errors import SceneError
from viz.atvisit import AtVisit
from viz.checker import checked
from viz.lookout import LIGHT, lookout


def reckoned(yard: Yard) -> dict[str, Any]:
    """Lines about light by the number of a table, from a document alone."""
    layout = scenes.lay_out(yard, scenes.grade(yard))
    stand = growth.grow(yard, layout)
    lines = lookout(yard, layout, stand, checked(yard), tellers=LIGHT)
    return {"lines": {str(table): told for table, told in lines.items()}}


class PlantLight:
    """The lines of one yard, reckoned when first asked for and kept."""

    def __init__(self, yard: Callable[[], Yard]) -> None:
        """`yard` gives the yard as it stands; another one than before is reckoned anew."""
        self._found = AtVisit(yard, reckoned)
        self.close = self._found.close

    def layer(self) -> dict[str, Any] | None:
        """The lines, or what is wrong as `mistake`; None while they are being reckoned."""
        try:
            return self._found.found()
        except (SceneError, GrowthError) as error:
            return {"mistake": str(error)}
