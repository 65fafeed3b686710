"""Sizes seen locally: rows of years since planting, height and spread in metres.

A document may write what was measured near the site; such rows outrank every other source
of a plant's curve. Here they are checked: years rise, and no plant was seen to shrink.
How a curve is drawn through them stands in `fitting`.
"""

from collections.abc import Sequence
from itertools import pairwise

SeenRow = tuple[float, float, float]
"""Years since planting, height and spread in metres."""


def seen_faults(rows: Sequence[SeenRow]) -> list[str]:
    """What is wrong with rows of sizes seen, as `key: value; remedy` lines."""
    faults = []
    for number, (before, row) in enumerate(pairwise(rows), start=2):
        if row[0] <= before[0]:
            faults.append(
                f"seen[{number}]: year {row[0]:g} is not after year {before[0]:g}; "
                "write one row a year, the earliest first"
            )
        for name, was_m, is_m in zip(("height", "spread"), before[1:], row[1:], strict=True):
            if is_m < was_m:
                faults.append(
                    f"seen[{number}]: {name} shrinks from {was_m:.3g} m to {is_m:.3g} m; "
                    "leave out plants that were cut back or died back"
                )
    return faults
