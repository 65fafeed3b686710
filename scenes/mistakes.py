"""Mistakes that pydantic finds in a document, as one line each in the words of the document.

Answers where (`planting[2].spacing`, counted from 1), what the value was, and what would be
right: the nearest known key for an unknown one, the words a key takes, the kind of value
it wants. A choice between two shapes (one point or several) is settled by the shape that was
written, in `scenes.document`, so that it never gives a line for each branch.
"""

import difflib
import types
import typing
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from scenes.document import Yard
from scenes.errors import Mistake, shown
from scenes.tables import Table

NAMES_COMPARED = 1000
"""Nearest names are sought among so many, for comparing takes time."""

Loc = tuple[int | str, ...]

_WANTED = {
    "string_type": ("is not text", 'write it in quotes, like "lane bed"'),
    "string_too_short": ("is empty", "write a name"),
    "string_too_long": ("is too long", "write at most 200 characters"),
    "int_type": ("is not a whole number", "write a number like 5"),
    "int_parsing": ("is not a whole number", "write a number like 5"),
    "int_from_float": ("is not a whole number", "write a number like 5"),
    "int_parsing_size": ("is not a whole number of ordinary size", "write a number like 5"),
    "float_type": ("is not a number", "write a number like 2.5"),
    "float_parsing": ("is not a number", "write a number like 2.5"),
    "finite_number": ("is not a finite number", "write a finite number"),
    "bool_type": ("is neither true nor false", "write true or false"),
    "bool_parsing": ("is neither true nor false", "write true or false"),
    "date_type": ("is not a date", "write it like 2027-03-15, without quotes"),
    "tuple_type": ("is not a list", "write it in square brackets, like [[0, 0], [4, 0]]"),
    "dict_type": ("is not a table", "write { name = value }"),
}
"""Error type of pydantic to what is wrong and what would be right."""

_BEGUN = {
    "site": " with boundary = [[0, 0], [40, 0], [40, 30], [0, 30]]",
    "ground": ' with points = [[x, y, level], ...], three or more, or survey = "lot.csv"',
}
"""How a table that every yard needs may begin."""

_BOUNDS = {
    "greater_than_equal": ("ge", "or more"),
    "less_than_equal": ("le", "or less"),
    "greater_than": ("gt", "or something above it"),
    "less_than": ("lt", "or something below it"),
}


def mistakes_of(error: ValidationError) -> Iterator[Mistake]:
    """One Mistake for each thing pydantic found, in the order of the tables.

    A list that is too short only because some of its values are wrong themselves is left out.
    """
    details = error.errors(include_url=False)
    around = {detail["loc"][:depth] for detail in details for depth in range(len(detail["loc"]))}
    for detail in details:
        if detail["type"] != "too_short" or detail["loc"] not in around:
            yield _mistake(detail)


def nearest(word: str, known: Iterable[str], *, count: int = 3) -> list[str]:
    """The known words most like `word`, likest first; letter case does not matter."""
    by_folded = {name.casefold(): name for name in islice(known, NAMES_COMPARED)}
    close = difflib.get_close_matches(word.casefold(), by_folded, n=count, cutoff=0.6)
    return [by_folded[name] for name in close]


def place_of(loc: Sequence[int | str]) -> str:
    """A path like `planting[2].at[1]`, list positions counted from 1."""
    text = ""
    for part in loc:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        elif not part.startswith("<"):
            text += f".{part}" if text else part
    return text


def _mistake(detail: ErrorDetails) -> Mistake:
    loc, kind, value = detail["loc"], detail["type"], detail["input"]
    context: dict[str, Any] = detail.get("ctx", {})
    place = place_of(loc)
    if kind == "extra_forbidden":
        return _unknown_key(loc)
    if kind == "missing":
        return _missing(loc)
    if kind == "value_error":
        wrong, _, remedy = str(context["error"]).partition("; ")
        return Mistake(place, wrong, remedy or "write a value that fits")
    if kind == "literal_error":
        return _not_a_choice(place, value, str(context["expected"]))
    if kind in {"model_type", "model_attributes_type"}:
        return Mistake(place, f"{shown(value)} is not a table", f"write {_table_words(loc)}")
    if kind == "tuple_type" and _holds_tables(loc):
        name = place_of(loc)
        return Mistake(place, f"{shown(value)} is not a list of tables", f"write [[{name}]]")
    if kind in {"too_short", "too_long"}:
        return _wrong_length(place, kind, context)
    if kind in _BOUNDS:
        key, side = _BOUNDS[kind]
        return Mistake(place, f"{shown(value)} is out of range", f"write {context[key]:g} {side}")
    wrong, remedy = _WANTED.get(kind, (f"does not fit ({detail['msg']})", "correct the value"))
    return Mistake(place, f"{shown(value)} {wrong}", remedy)


def _unknown_key(loc: Loc) -> Mistake:
    key = str(loc[-1])
    known = _keys(_table_at(loc[:-1]))
    close = nearest(key, known, count=1)
    remedy = f'did you mean "{close[0]}"?' if close else f"known here are {', '.join(known)}"
    return Mistake(place_of(loc[:-1]), f"unknown key {shown(key)}", remedy)


def _missing(loc: Loc) -> Mistake:
    if isinstance(loc[-1], int):
        remedy = f"write {loc[-1] + 1} or more values"
        return Mistake(place_of(loc[:-1]), f"value {loc[-1] + 1} is missing", remedy)
    key = str(loc[-1])
    remedy = (
        f"add [{place_of(loc)}]{_BEGUN.get(key, '')}" if _holds_tables(loc) else f"add {key} = ..."
    )
    return Mistake(place_of(loc[:-1]), f'the key "{key}" is missing', remedy)


def _not_a_choice(place: str, value: object, expected: str) -> Mistake:
    choices = expected.replace(" or ", ", ").replace("'", "")
    close = nearest(value, choices.split(", "), count=1) if isinstance(value, str) else []
    hint = f'did you mean "{close[0]}"? ' if close else ""
    return Mistake(place, f"{shown(value)} is not known here", f"{hint}known are {choices}")


def _wrong_length(place: str, kind: str, context: dict[str, Any]) -> Mistake:
    actual = "too many" if context["actual_length"] is None else context["actual_length"]
    limit, side = (
        (context["min_length"], "at least")
        if kind == "too_short"
        else (context["max_length"], "at most")
    )
    return Mistake(place, f"holds {actual} values", f"write {side} {limit}")


def _table_words(loc: Loc) -> str:
    name = place_of([part for part in loc if isinstance(part, str)])
    in_list = any(isinstance(part, int) for part in loc)
    return f"[[{name}]] and its keys" if in_list else f"[{name}] and its keys"


def _holds_tables(loc: Loc) -> bool:
    return isinstance(loc[-1], str) and _table_at(loc) is not None


def _keys(table: type[BaseModel] | None) -> list[str]:
    if table is None:
        return []
    return [field.alias or name for name, field in table.model_fields.items()]


def _table_at(loc: Loc) -> type[BaseModel] | None:
    """The table of the document model at a place, or None where there is none."""
    table: type[BaseModel] | None = Yard
    for part in loc:
        if table is None or isinstance(part, int) or part.startswith("<"):
            continue
        fields = {field.alias or name: field for name, field in table.model_fields.items()}
        table = _table_in(fields[part].annotation) if part in fields else None
    return table


def _table_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and not isinstance(annotation, types.GenericAlias):
        return annotation if issubclass(annotation, Table) else None
    found = (_table_in(part) for part in typing.get_args(annotation))
    return next((table for table in found if table is not None), None)
