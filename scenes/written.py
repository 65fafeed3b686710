"""Lengths, points and lists as a document writes them: in its unit, in whole steps, in its style.

A length that was text with a unit of its own ("18 in") stays that, in the same unit; a bare
number stays bare. New lengths are rounded to a step that suits the unit, about half an inch or
a centimetre: finer than anyone plants, and short to read.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Any

import tomlkit
from tomlkit.items import Item

from scenes.lengths import METRES
from scenes.points import Point

STEPS = {"m": 0.01, "cm": 1.0, "mm": 10.0, "ft": 0.05, "in": 0.5, "yd": 0.02, "us-ft": 0.05}
"""The step to which a new length is rounded, in its own unit."""

LINE_CHARACTERS = 96
"""A list longer than this is written over several lines."""

Written = int | float | str
"""A length as TOML holds it."""


def length_written(metres: float, *, unit: str, like: object = None) -> Written:
    """A length in the unit and style of `like`, else as a bare number in the document's unit."""
    text = like if isinstance(like, str) else ""
    match = re.fullmatch(r"(\s*)[-+.\deE]+(\s*)([A-Za-z-]+)(\s*)", text)
    if match is None:
        number = _stepped(metres, unit)
        return float(number) if isinstance(like, float) else number
    before, between, own, after = match.groups()
    return f"{before}{_stepped(metres, own)}{between}{own}{after}"


def unit_written(metres: float, *, unit: str) -> str:
    """A length as text that carries its unit, as the trade wants it: inches or millimetres."""
    own = "in" if unit in ("ft", "in", "yd", "us-ft") else "mm"
    return f"{_stepped(metres, own)} {own}"


def length_told(metres: float, *, unit: str) -> str:
    """A length in words, rounded as it would be written: 1.3 ft."""
    return f"{_stepped(metres, unit)} {unit}"


def point_written(point: Point, *, unit: str, like: Sequence[object] = (None, None)) -> list[Any]:
    """A point [x, y], each of the two in the unit and style it had."""
    return [
        length_written(metres, unit=unit, like=old)
        for metres, old in zip(point, like, strict=False)
    ]


def list_written(values: Iterable[Any]) -> Item:
    """A list on one line, or where it is long, over as many as it takes."""
    texts = [tomlkit.item(value).as_string() for value in values]
    short = f"[{', '.join(texts)}]"
    if len(short) <= LINE_CHARACTERS:
        return tomlkit.value(short)
    lines, line = [], " "
    for text in texts:
        if len(line) + len(text) + 2 > LINE_CHARACTERS:
            lines.append(line)
            line = " "
        line += f" {text},"
    return tomlkit.value("[\n" + "\n".join([*lines, line]) + "\n]")


def _stepped(metres: float, unit: str) -> int | float:
    step = STEPS[unit]
    number = round(round(metres / METRES[unit] / step) * step, 6) + 0.0
    return int(number) if number == int(number) else number
