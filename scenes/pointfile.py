"""Surveyed points from a text file: a row each, parted by commas, tabs, semicolons or blanks.

Blank lines and lines that begin with # are passed over. A row that does not give three
finite numbers is told with its line; decimal commas are refused, for 10,5 may be two values.
Which column holds what is in `scenes.columns`.
"""

import csv
from collections.abc import Sequence
from itertools import islice

import numpy as np

from scenes.columns import (
    Columns,
    header_columns,
    is_header,
    is_number,
    stated_columns,
    unnamed_columns,
)
from scenes.document import Yard
from scenes.errors import COUNTED_MISTAKES, Mistake, mistake_of, scene_error, shown
from scenes.files import text_of
from scenes.shots import MOST_POINTS, Shots, too_many

LONGEST_CODE = 60
"""A code longer than this is a remark: it is cut, and can name no breakline."""

LONGEST_QUOTED = 100_000
"""The reader of quoted values takes no longer ones, and no survey has them."""

Row = tuple[int, list[str]]
"""A line's number in the file, and its values."""


def shots_of_text(data: bytes, place: str, *, yard: Yard) -> Shots:
    """The points of a text file in its own unit; SceneError if a row is wrong."""
    rows = _rows(text_of(data))
    if not rows:
        mistake = Mistake(place, "holds 0 points", "write rows of x, y, z")
        raise scene_error(yard.path.name, [mistake])
    if len(rows) > MOST_POINTS:
        raise scene_error(yard.path.name, [too_many(place, f"{len(rows):,} rows")])
    try:
        which, points = _which(rows, yard.ground.columns)
    except ValueError as error:
        mistake = mistake_of(error, f"{place} line {rows[0][0]}")
        raise scene_error(yard.path.name, [mistake]) from None
    most = max(len(rows[0][1]), (which.code or 0) + 1)
    wrong = (mistake for row in points for mistake in _wrong(row, which, place, most=most))
    if mistakes := list(islice(wrong, COUNTED_MISTAKES)):
        raise scene_error(yard.path.name, mistakes)
    return _shots(points, which, place)


def _rows(text: str) -> list[Row]:
    lines = [(i, line) for i, line in enumerate(text.splitlines(), 1) if line.strip()]
    lines = [(i, line) for i, line in lines if not line.lstrip().startswith("#")]
    mark = next((mark for mark in ";\t," if lines and mark in lines[0][1]), None)
    if mark is None:
        return [(i, line.split()) for i, line in lines]
    return [(i, _parted(line, mark)) for i, line in lines]


def _parted(line: str, mark: str) -> list[str]:
    quoted = '"' in line and len(line) < LONGEST_QUOTED
    values = next(csv.reader([line], delimiter=mark)) if quoted else line.split(mark)
    return [value.strip().strip('"') for value in values]


def _which(rows: list[Row], columns: str | None) -> tuple[Columns, list[Row]]:
    """The columns, and the rows below the header; ValueError "wrong; remedy"."""
    first = rows[0][1]
    stated = None if columns is None else stated_columns(columns)
    if not is_header(first):
        return stated or unnamed_columns([values for _, values in rows]), rows
    try:
        named = header_columns(first)
    except ValueError:
        if stated is None:
            raise
        named = stated
    if stated is not None and named != stated:
        wrong = f"the header {shown(', '.join(first))} is not what ground.columns says"
        raise ValueError(f"{wrong}; remove ground.columns or correct it")
    return named, rows[1:]


def _wrong(row: Row, which: Columns, place: str, *, most: int) -> list[Mistake]:
    number, values = row
    at = f"{place} line {number}"
    remark = which.code == most - 1
    if not which.fewest <= len(values) or (len(values) > most and not remark):
        remedy = f"write {which.fewest} to {most}, with decimal points, as in the first row"
        return [Mistake(at, f"has {len(values)} values", remedy)]
    wanted = (values[which.x], values[which.y], values[which.z])
    bad = next((value for value in wanted if not is_number(value)), None)
    if bad is None:
        return []
    if "," in bad:
        return [Mistake(at, f"{shown(bad)} has a comma", "write decimal points, like 102.35")]
    return [Mistake(at, f"{shown(bad)} is not a finite number", "write it like 102.35")]


def _shots(rows: list[Row], which: Columns, place: str) -> Shots:
    xyz = np.array([[v[which.x], v[which.y], v[which.z]] for _, v in rows], dtype=float)
    return Shots(
        xyz.reshape(-1, 3),
        place=[f"{place} line {number}" for number, _ in rows],
        codes=_codes(rows, which.code),
    )


def _codes(rows: Sequence[Row], column: int | None) -> list[str]:
    if column is None:
        return []
    return [values[column][:LONGEST_CODE] if len(values) > column else "" for _, values in rows]
