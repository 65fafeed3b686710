"""Materials below the plant schedule: mulch, edging, sod, paving; what is ordered, waste included.

Plants stand in the schedule and are left out here.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from scenes.quantities import Quantity
from viz.groundreport import amount_text
from viz.planmarks import Line, Mark, Words, wrapped

LETTERS, LINE = 1.75, 2.45
HEADING = 6.5
LEAST_COLUMN, AMOUNT, BETWEEN = 58.0, 15.0, 4.0
"""A column, the room in it for the amount, and the room beside it, in mm."""

Cells = tuple[tuple[str, str], ...]


def material_cells(quantities: Sequence[Quantity], *, lengths: str) -> Cells:
    """Item and amount of what is ordered besides plants."""
    return tuple(
        (one.item, amount_text(one, lengths=lengths))
        for one in quantities
        if one.unit != "plants" and one.amount > 0
    )


def materials_height(cells: Cells, width: float) -> float:
    """Height of the block in mm; none where nothing is ordered."""
    return HEADING + max(map(_column_height, _columns(cells, width))) if cells else 0.0


def materials_marks(cells: Cells, left: float, top: float, width: float) -> Iterator[Mark]:
    """The block from its upper left corner down, in as many columns as the width holds."""
    if not cells:
        return
    heading = "Materials, waste included"
    yield Words("schedule", heading, (left, top - 3.2), 2.8, bold=True)
    wide = _column_width(width)
    for number, column in enumerate(_columns(cells, width)):
        x, y = left + number * wide, top - 5
        for lines, amount in column:
            yield Line("rule", np.array([[x, y], [x + wide - BETWEEN, y]]), 0.1)
            for n, line in enumerate(lines):
                yield Words("cell", line, (x + 0.5, y - 2.1 - LINE * n), LETTERS)
            yield Words("cell", amount, (x + wide - BETWEEN - 0.5, y - 2.1), LETTERS, "right")
            y -= _height(lines)


def _column_count(width: float) -> int:
    return max(1, int((width + BETWEEN) // LEAST_COLUMN))


def _column_width(width: float) -> float:
    """Width of a column with the room beside it."""
    return (width + BETWEEN) / _column_count(width)


def _columns(cells: Cells, width: float) -> list[list[tuple[list[str], str]]]:
    """The cells in columns of like length, every item as the lines it takes."""
    wide = _column_width(width)
    broken = [
        (wrapped(item, size=LETTERS, width=wide - AMOUNT - BETWEEN), much) for item, much in cells
    ]
    each = -(-len(broken) // _column_count(width))
    return [broken[first : first + each] for first in range(0, len(broken), each)]


def _column_height(column: Sequence[tuple[Sequence[str], str]]) -> float:
    return sum(_height(lines) for lines, _ in column)


def _height(lines: Sequence[str]) -> float:
    return LINE * len(lines) + 0.9
