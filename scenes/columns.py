"""Which column of a survey's rows holds what: by a header, or as the document says.

Surveyors write point number, northing, easting, level, description; or easting before
northing; or just x, y, z. A header names the columns in any order, and columns it names
otherwise are passed over. Without one, three columns are x, y, z and a fourth of words is
their code; whatever could be read in more than one way is refused with its readings.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Annotated

from pydantic import AfterValidator

from scenes.errors import shown

NAMES = {
    "number": frozenset({"number", "no", "point", "pt", "p", "id", "point number", "point id"}),
    "x": frozenset({"x", "easting", "east", "e"}),
    "y": frozenset({"y", "northing", "north", "n"}),
    "z": frozenset({"z", "level", "elevation", "elev", "height", "rl"}),
    "code": frozenset({"code", "description", "desc", "d"}),
}
MOST_COLUMNS = 100
PASSED_OVER = "-"
READINGS = {
    4: ("easting northing level code", "number easting northing level",
        "number northing easting level"),
    5: ("number northing easting level code", "number easting northing level code"),
}  # fmt: skip
"""What headerless rows of four or five columns are when surveyors write them."""

_BRACKETED = re.compile(r"\s*[(\[].*[)\]]$")


@dataclass(frozen=True)
class Columns:
    """The place of x, y, z and the code in a row, counted from 0."""

    x: int
    y: int
    z: int
    code: int | None = None

    @property
    def fewest(self) -> int:
        """How many values a row holds at the least."""
        return max(self.x, self.y, self.z) + 1


def _code_word(written: str) -> str:
    if not written or written[-1].isdigit() or any(c.isspace() for c in written):
        raise ValueError(f'{shown(written)} is no code; write one word without its number, "TOP"')
    return written


def stated_columns(written: str) -> Columns:
    """The columns as `ground.columns` names them; ValueError "wrong; remedy" if it does not."""
    words = written.split()
    for word in words:
        if _noun(word) is None and word != PASSED_OVER:
            wrong = f"{shown(word)} is no column"
            raise ValueError(f"{wrong}; known are number, easting, northing, level, code and -")
    return _columns(words)


def header_columns(words: Sequence[str]) -> Columns:
    """The columns as a header names them; ValueError "wrong; remedy" if x, y or z is missing."""
    if len(words) > MOST_COLUMNS:
        raise ValueError(f"the header names {len(words):,} columns; name {MOST_COLUMNS} at most")
    try:
        return _columns([_BRACKETED.sub("", word) for word in words])
    except ValueError as error:
        wrong, _, remedy = str(error).partition("; ")
        header = shown(", ".join(words))
        raise ValueError(f"the header {header} is not known: {wrong}; {remedy}") from None


def unnamed_columns(rows: Sequence[Sequence[str]]) -> Columns:
    """The columns of rows without a header; ValueError "wrong; remedy" if that is not certain."""
    count = len(rows[0])
    coded = any(row[3].strip() and not is_number(row[3]) for row in rows if len(row) > 3)
    if count == 3 or (count == 4 and coded and is_number(rows[0][0])):
        return Columns(0, 1, 2, 3)
    if count not in READINGS:
        raise ValueError(_wrong_count(rows[0]))
    readings = " or ".join(f'"{reading}"' for reading in READINGS[count])
    wrong = f"{count} columns without a header may be {readings}"
    raise ValueError(f"{wrong}; write the right one as ground.columns = ...")


def is_header(values: Sequence[str]) -> bool:
    """Whether a row is a header: words, and not one number."""
    return any(value.strip() for value in values) and not any(map(is_number, values))


def _columns_stated(written: str) -> str:
    stated_columns(written)
    return written


ColumnWords = Annotated[str, AfterValidator(_columns_stated)]
"""The columns of a survey in order, like "number northing easting level code"."""

CodeWord = Annotated[str, AfterValidator(_code_word)]
"""A code without the number of its line: TOP stands for TOP, TOP1, TOP2."""


def is_number(text: str) -> bool:
    """Whether a text is a finite number as a survey writes it."""
    try:
        return isfinite(float(text)) and "_" not in text
    except ValueError:
        return False


def _columns(words: Sequence[str]) -> Columns:
    nouns = [_noun(word) for word in words]
    for noun in NAMES:
        if nouns.count(noun) > 1:
            twice = ", ".join(word for word in words if _noun(word) == noun)
            raise ValueError(f"{twice} are two columns for one thing; name it once")
    missing = [noun for noun in ("x", "y", "z") if noun not in nouns]
    if missing:
        remedy = "name easting (x), northing (y) and level (z)"
        raise ValueError(f"{' and '.join(missing)} is missing; {remedy}")
    x, y, z = (nouns.index(noun) for noun in ("x", "y", "z"))
    return Columns(x, y, z, nouns.index("code") if "code" in nouns else None)


def _noun(word: str) -> str | None:
    plain = " ".join(word.lower().replace("_", " ").replace(".", "").split())
    return next((noun for noun, names in NAMES.items() if plain in names), None)


def _wrong_count(values: Sequence[str]) -> str:
    count = len(values)
    if count == 6:
        return "has 6 values; write x, y, z with decimal points, or name the columns in a header"
    return f"has {count} values; write x, y, z and optionally a code, or add a header"
