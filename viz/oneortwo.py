"""How many yards a command may be given: one, or two to see side by side."""

from collections.abc import Sequence
from pathlib import Path

from viz.errors import WrongYardError

MOST_YARDS = 2


def one_or_two(yards: Sequence[Path]) -> tuple[Path, Path | None]:
    """The first yard, and the second or None; WrongYardError for more."""
    if len(yards) > MOST_YARDS:
        raise WrongYardError(
            f"{len(yards)} yards cannot be shown together; name one, or two to see side by side"
        )
    return yards[0], yards[1] if len(yards) == MOST_YARDS else None
