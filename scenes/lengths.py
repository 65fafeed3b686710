"""Lengths as people write them, in metres.

A bare number is in the document's unit; a string carries its own ("18 in", "2.4 m", "5 ft 6 in").
Lengths that the trade gives in inches or millimetres must carry a unit, since a bare
number there has two readings that differ by a factor of twelve or more.

Source: international foot and inch, 0.3048 m and 25.4 mm exactly (1959 agreement).
"""

import math
import re
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo

from scenes.errors import shown

METRES = {
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "ft": 0.3048,
    "in": 0.0254,
    "yd": 0.9144,
    "us-ft": 1200 / 3937,
}
"""Unit name to metres; us-ft is the survey foot of older state-plane coordinates."""

METRIC = frozenset({"m", "cm", "mm"})

UNIT_NAMES = ", ".join(METRES)

LARGEST_M = 1e8
"""No length of a yard or of its survey's grid is longer than 100,000 km."""

_FEET_AND_INCHES = re.compile(
    r"^\s*(\d+)\s*(?:ft|')\s*-?\s*((?:\d|1[01])(?:\.\d+)?)\s*(?:in|\"|'')\s*$"
)
"""As it is written in the trade: 5 ft 6 in, 5' 6", 5'-6"; less than twelve inches."""

_TEXT = re.compile(r"^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([A-Za-z-]+)\s*$")


def parse_length_m(value: Any, *, unit: str | None, metric: bool = False) -> float:
    """A length in metres from a number in `unit`, or from a string with its own unit.

    `unit` None refuses bare numbers, with both readings in feet, or in metres where the document
    is `metric`. Raises ValueError with the value and the remedy.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f'{shown(value)} is not a length; write a number, or text like "2.4 m"')
    if isinstance(value, str):
        return _length_with_unit_m(value)
    if unit is None and abs(value) <= LARGEST_M:
        raise ValueError(_both_readings(value, metric=metric))
    return _within_m(value, unit or "m", written=shown(value))


def _length_with_unit_m(text: str) -> float:
    if both := _FEET_AND_INCHES.match(text):
        inches = 12 * float(both[1]) + float(both[2])
        return _within_m(inches, "in", written=shown(text))
    match = _TEXT.match(text)
    if match is None:
        raise ValueError(f'{shown(text)} is not a length; write a number and a unit, like "18 in"')
    number, unit = match.groups()
    if unit not in METRES:
        wrong = f"{shown(text)} has an unknown unit {shown(unit)}"
        raise ValueError(f"{wrong}; known are {UNIT_NAMES}")
    return _within_m(float(number), unit, written=shown(text))


def both_units(metres: float) -> str:
    """A length of a rule for readers of either kind of unit, like 2.3 m (7.5 ft)."""
    return f"{metres:.2g} m ({metres / METRES['ft']:.2g} ft)"


def _within_m(number: float, unit: str, *, written: str) -> float:
    """The number in metres, refused where it is not finite or longer than any yard."""
    if number != number or abs(number) == math.inf:
        raise ValueError(f"{written} is not a length; write a finite number")
    if abs(number) > LARGEST_M / METRES[unit]:
        raise ValueError(f"{written} is longer than {LARGEST_M:,.0f} m; write a smaller number")
    return float(number) * METRES[unit]


def _both_readings(number: float, *, metric: bool) -> str:
    small, large = ("mm", "m") if metric else ("in", "ft")
    others = "inches or feet" if metric else "mm or m"
    return (
        f"{number:g} has no unit, and here a unit is needed; "
        f'write "{number:g} {small}" ({number * METRES[small]:.3g} m) '
        f'or "{number:g} {large}" ({number * METRES[large]:.3g} m), or the same in {others}'
    )


def _bare(value: Any, info: ValidationInfo) -> float:
    context = info.context or {}
    return parse_length_m(value, unit=context.get("unit", "m"))


def _survey(value: Any, info: ValidationInfo) -> float:
    context = info.context or {}
    return parse_length_m(value, unit=context.get("survey_unit", context.get("unit", "m")))


def _with_unit(value: Any, info: ValidationInfo) -> float:
    unit = (info.context or {}).get("unit", "m")
    return parse_length_m(value, unit=None, metric=unit in METRIC)


def _not_negative(metres: float, written: Any) -> float:
    if metres < 0:
        raise ValueError(f"{shown(written)} is negative; write zero or more")
    return metres


def _positive(metres: float, written: Any) -> float:
    if metres <= 0:
        raise ValueError(f"{shown(written)} is not above zero; write a positive length")
    return metres


Length = Annotated[float, BeforeValidator(_bare)]
"""Metres; a bare number is read in the document's unit. May be negative (a level)."""

Size = Annotated[float, BeforeValidator(lambda v, info: _positive(_bare(v, info), v))]
"""Metres above zero; a bare number is read in the document's unit."""

Depth = Annotated[float, BeforeValidator(lambda v, info: _not_negative(_bare(v, info), v))]
"""Metres, zero or more; a bare number is read in the document's unit."""

InchSize = Annotated[float, BeforeValidator(lambda v, info: _positive(_with_unit(v, info), v))]
"""Metres above zero; the unit must be written."""

SurveyLength = Annotated[float, BeforeValidator(_survey)]
"""Metres; a bare number is read in ground.survey_lengths, else in the document's unit."""

VOLUMES_M3 = {"m3": 1.0, "yd3": METRES["yd"] ** 3}
AREAS_M2 = {"m2": 1.0, "ft2": METRES["ft"] ** 2, "sf": METRES["ft"] ** 2}


def parse_volume_m3(value: Any) -> float:
    """A volume in cubic metres above zero, from text with its unit, like "12 yd3" or "9 m3"."""
    return _measure(value, VOLUMES_M3, wanted="a volume", examples='"12 yd3" or "9 m3"')


def parse_area_m2(value: Any) -> float:
    """An area in square metres above zero, from text with its unit, like "400 ft2" or "37 m2"."""
    return _measure(value, AREAS_M2, wanted="an area", examples='"400 ft2" or "37 m2"')


def _measure(value: Any, units: dict[str, float], *, wanted: str, examples: str) -> float:
    """A number above zero with one of some units, in the unit of theirs that is 1."""
    pattern = rf"\s*(\d{{1,7}}(?:\.\d{{1,6}})?)\s*({'|'.join(units)})\s*"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match is None or float(match[1]) == 0:
        raise ValueError(f"{shown(value)} is not {wanted} above zero; write text like {examples}")
    return float(match[1]) * units[match[2]]


Volume = Annotated[float, BeforeValidator(parse_volume_m3)]
"""Cubic metres above zero; the unit must be written."""

Area = Annotated[float, BeforeValidator(parse_area_m2)]
"""Square metres above zero; the unit must be written."""
