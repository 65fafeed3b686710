"""What the light says of plants, for the cards of a served page.

The hours of sun at every plant take half the time of all checks, so a served page leaves them
out, and asks for them when the first plant is chosen; they are found in a process of their own.
A packed page has them in it.
"""

from __future__ import annotations

import pickle
from typing import Any

from growth.errors import GrowthError
from scenes.errors import SceneError
from viz.checker import planned
from viz.errors import WrongYardError
from viz.lookout import LIGHT, lookout


def reckoned(kept: bytes) -> dict[str, Any]:
    """Lines about light by the number of a table, of a pickled yard, from its document alone.

    Raises WrongYardError.
    """
    yard = pickle.loads(kept)
    try:
        found = planned(yard)
        lines = lookout(yard, found.layout, found.stand, found.findings, tellers=LIGHT)
    except (SceneError, GrowthError) as mistake:
        raise WrongYardError(str(mistake)) from None
    return {"lines": {str(table): told for table, told in lines.items()}}
