"""What the light says of plants, for the cards of a served page.

The hours of sun at every plant take half the time of all checks, so a served page leaves them
out, and asks for them when the first plant is chosen; they are found in a process of their own.
A packed page has them in it.
"""

from __future__ import annotations

from typing import Any

from scenes.document import Yard
from viz.checker import planned
from viz.lookout import LIGHT, lookout


def reckoned(yard: Yard) -> dict[str, Any]:
    """Lines about light by the number of a table, of a yard, from its document alone.

    Raises SceneError or GrowthError for a wrong yard.
    """
    found = planned(yard)
    lines = lookout(yard, found.layout, found.stand, found.findings, tellers=LIGHT)
    return {"lines": {str(table): told for table, told in lines.items()}}
