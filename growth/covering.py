"""Discs painted on cells, layer after layer: the compiled part of coverage.

Discs that only grow leave in every cell the first year in which some disc holds its centre;
discs that shrink or leave mark the years one by one, a bit a year. Places are in cells: cell
(row, column) has its centre at (column + 0.5, row + 0.5).
"""

from typing import Any

import numpy as np

from growth.compiled import compiled

MOST_YEARS = 63
"""Years that fit the marks of a cell."""


@compiled
def _paint_rising(x: Any, y: Any, square: Any, first: Any) -> None:
    """Lower the first year of the cells that a growing disc covers."""
    largest = square[-1]
    reach = np.sqrt(largest)
    rows, columns = first.shape
    for row in range(max(0, int(np.ceil(y - reach - 0.5))), rows):
        off = (row + 0.5 - y) ** 2
        if off > largest:
            break
        half = np.sqrt(largest - off)
        last = min(columns - 1, int(np.floor(x + half - 0.5)))
        for column in range(max(0, int(np.ceil(x - half - 0.5))), last + 1):
            apart = off + (column + 0.5 - x) ** 2
            year = first[row, column]
            while year > 0 and square[year - 1] >= apart:
                year -= 1
            first[row, column] = year


@compiled
def _along(centre: Any, reach: Any, many: int) -> Any:
    """First and end of the cells along one way whose centres lie within reach of a place."""
    first = max(0, int(np.ceil(centre - reach - 0.5)))
    return first, min(many, int(np.floor(centre + reach - 0.5)) + 1)


@compiled
def _paint_any(x: Any, y: Any, square: Any, largest: Any, marks: Any) -> None:
    """Mark in the cells the years in which a disc covers them."""
    reach = np.sqrt(largest)
    south, north = _along(y, reach, marks.shape[0])
    west, east = _along(x, reach, marks.shape[1])
    for row in range(south, north):
        off = (row + 0.5 - y) ** 2
        for column in range(west, east):
            apart = off + (column + 0.5 - x) ** 2
            mine = np.uint64(0)
            for year in range(len(square)):
                if square[year] >= apart:
                    mine |= np.uint64(1) << np.uint64(year)
            marks[row, column] |= mine


@compiled
def _squares(radius: Any, cell: Any, square: Any) -> Any:
    """Squared radii (Y,) of a disc in cells, negative where there is none; the largest of them,
    and whether the disc never shrinks."""
    largest, rising = -1.0, True
    for year in range(len(radius)):
        square[year] = (np.float64(radius[year]) / cell) ** 2 if radius[year] > 0 else -1.0
        largest = max(largest, square[year])
        rising &= year == 0 or radius[year] >= radius[year - 1]
    return largest, rising


@compiled
def paint(
    centre: Any, radius: Any, cell: Any, chosen: Any, first: Any, marks: Any, square: Any
) -> None:
    """Paint the chosen discs on first (ny, nx), years where none is, and marks (ny, nx).

    centre (n, 2) in cells; radius (n, Y) in metres, zero or less for no disc; cell: its side in
    metres; square (Y,) is written over.
    """
    for disc in chosen:
        x, y = centre[disc, 0], centre[disc, 1]
        largest, rising = _squares(radius[disc], cell, square)
        if largest >= 0 and rising:
            _paint_rising(x, y, square, first)
        elif largest >= 0:
            _paint_any(x, y, square, largest, marks)


@compiled
def hold(centre: Any, square: Any, holds: Any) -> None:
    """The disc that alone holds each cell's centre, into holds (ny, nx), which comes full of -1
    for none; -2 where several do. centre (n, 2) and square (n,), radii, are in cells."""
    for disc in range(len(square)):
        x, y, reach = centre[disc, 0], centre[disc, 1], np.sqrt(square[disc])
        south, north = _along(y, reach, holds.shape[0])
        west, east = _along(x, reach, holds.shape[1])
        for row in range(south, north):
            off = (row + 0.5 - y) ** 2
            for column in range(west, east):
                if square[disc] >= off + (column + 0.5 - x) ** 2:
                    holds[row, column] = disc if holds[row, column] == -1 else -2


@compiled
def _add_up(first: Any, marks: Any, weight: Any, onwards: Any, share: Any) -> None:
    """Weight of the cells covered in each year, into share (Y,); onwards (Y + 1,) is work."""
    years = len(share)
    onwards[:] = 0.0
    for row in range(first.shape[0]):
        for column in range(first.shape[1]):
            from_year = first[row, column]
            onwards[from_year] += weight[row, column]
            marked = marks[row, column]
            if marked:
                for year in range(min(years, from_year)):
                    if (marked >> np.uint64(year)) & np.uint64(1):
                        share[year] += weight[row, column]
    running = 0.0
    for year in range(years):
        running += onwards[year]
        share[year] += running


@compiled
def covered(
    centre: Any, radius: Any, cell: Any, order: Any, edges: Any, weight: Any, start: int, end: int,
    first: Any, marks: Any, square: Any, onwards: Any, share: Any,
) -> None:  # fmt: skip
    """Covered weight of layers start to end - 1 by year, into share (L, Y).

    The discs of layer l are order[edges[l]] to order[edges[l + 1] - 1]; first and marks (ny, nx),
    square (Y,) and onwards (Y + 1,) are work; the rest as in `paint`.
    """
    for layer in range(start, end):
        first[:] = radius.shape[1]
        marks[:] = 0
        chosen = order[edges[layer] : edges[layer + 1]]
        paint(centre, radius, cell, chosen, first, marks, square)
        _add_up(first, marks, weight, onwards, share[layer])
