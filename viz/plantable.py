"""The plant schedule as a table on a sheet: under the plan where it fits, else on its own sheet."""

from collections.abc import Iterator, Sequence

import numpy as np

from viz.planmarks import Line, Mark, Words, wrapped
from viz.planschedule import HEADS, Row

LETTERS = 1.75
LINE = 2.45
PAD = 1.0
SHARES = (5, 4, 19, 15, 11, 11, 8, 15, 8, 26)
"""Widths of the columns, in shares of the whole."""


def table_height(rows: Sequence[Row], width: float) -> float:
    """Height of the table with its heading and total, in mm."""
    return 6 + sum(_row_height(cells) for cells in _lines(rows, width))


def table_marks(rows: Sequence[Row], left: float, top: float, width: float) -> Iterator[Mark]:
    """The table from its upper left corner down."""
    yield Words("schedule", "Plant schedule", (left, top - 3.2), 2.8, bold=True)
    y = top - 5
    for number, cells in enumerate(_lines(rows, width)):
        yield Line("rule", np.array([[left, y], [left + width, y]]), 0.35 if number < 2 else 0.1)
        for text_lines, x in zip(cells, _starts(left, width), strict=True):
            for n, line in enumerate(text_lines):
                yield Words("cell", line, (x, y - 2.1 - LINE * n), LETTERS, bold=number == 0)
        y -= _row_height(cells)
    yield Line("rule", np.array([[left, y], [left + width, y]]), 0.35)


def parts(rows: Sequence[Row], width: float, height: float) -> list[list[Row]]:
    """The rows cut into as many tables as sheets of that height need."""
    tables: list[list[Row]] = [[]]
    for row in rows:
        if tables[-1] and table_height([*tables[-1], row], width) > height:
            tables.append([])
        tables[-1].append(row)
    return tables


def _lines(rows: Sequence[Row], width: float) -> list[list[list[str]]]:
    """Heading and rows, every cell as the lines of text it takes."""
    rooms = [share / sum(SHARES) * width - PAD for share in SHARES]
    return [
        [wrapped(cell, size=LETTERS, width=room) for cell, room in zip(cells, rooms, strict=True)]
        for cells in (HEADS, *(row.all_cells for row in rows))
    ]


def _starts(left: float, width: float) -> list[float]:
    edges = np.cumsum([0, *SHARES]) / sum(SHARES) * width + left + PAD / 2
    return [float(edge) for edge in edges[:-1]]


def _row_height(cells: Sequence[Sequence[str]]) -> float:
    return LINE * max(len(cell) for cell in cells) + 0.9
