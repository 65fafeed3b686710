"""The register of edits by hand, and the one way to make one: text in, text out, checked.

An edit is a record of plain values ({"do": "move", "of": "planting[3]", "by_m": [0.4, 0]}); the
new text is the document with that changed and all else to the byte. It is given only if the
document would load and could be laid out; else SceneError says what is wrong with the edit.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from scenes import plantedits, shapeedits
from scenes.blocks import parted
from scenes.document import Yard
from scenes.edits import (
    AddPoint,
    Clip,
    CopyAlong,
    Edited,
    LookAt,
    Mirror,
    Move,
    MovePoints,
    Plant,
    Remove,
    RemovePoint,
    Spray,
    Swap,
    Together,
    asked,
)
from scenes.errors import SceneError, mistake_of
from scenes.layout import can_be_laid_out
from scenes.reading import checked
from scenes.tables import Table


@dataclass(frozen=True)
class Kind:
    """One kind of edit: what is asked, and what makes the new text of it."""

    asks: type[Table]
    make: Callable[[str, Yard, Any], Edited]


EDITS: dict[str, Kind] = {
    "move": Kind(Move, plantedits.move),
    "mirror": Kind(Mirror, plantedits.mirror),
    "copy_along": Kind(CopyAlong, plantedits.copy_along),
    "plant": Kind(Plant, plantedits.plant),
    "swap": Kind(Swap, plantedits.swap),
    "clip": Kind(Clip, plantedits.clip),
    "remove": Kind(Remove, plantedits.remove),
    "move_points": Kind(MovePoints, shapeedits.move_points),
    "add_point": Kind(AddPoint, shapeedits.add_point),
    "remove_point": Kind(RemovePoint, shapeedits.remove_point),
    "look": Kind(LookAt, shapeedits.look_at),
    "spray": Kind(Spray, shapeedits.spray),
}
"""The edits by their words; adding one is a row here, its record and its function."""

TOGETHER = "together"
ALONE: dict[str, type[Table]] = {do: kind.asks for do, kind in EDITS.items()}
ASKED: dict[str, type[Table]] = {**ALONE, TOGETHER: Together}


def edited(text: str, yard: Yard, edit: dict[str, Any]) -> Edited:
    """What an edit makes of a document's text, checked; SceneError where it is wrong."""
    made = unchecked(text, yard, edit)
    laid_out(yard, made.text)
    return made


def unchecked(text: str, yard: Yard, edit: dict[str, Any]) -> Edited:
    """What an edit makes of a text, maybe no yard any more; SceneError if it makes nothing."""
    try:
        do, record = asked(ASKED, edit)
    except ValueError as error:
        raise SceneError(str(error)) from None
    if isinstance(record, Together):
        made = _together(text, yard, record)
    else:
        made = _one(text, yard, do, record)
    if made.text == text:
        raise SceneError("edit: changes nothing; move farther, or give other values")
    return made


def laid_out(yard: Yard, text: str) -> Yard:
    """The yard of a new text of its document; SceneError where it would not load or lay out."""
    new = checked(yard.path, text.removeprefix("\ufeff"))
    new._path = yard.path
    can_be_laid_out(new)
    return new


def _one(text: str, yard: Yard, do: str, record: Any) -> Edited:
    try:
        return EDITS[do].make(text, yard, record)
    except SceneError:
        raise
    except ValueError as error:
        place = getattr(record, "of", "edit")
        raise SceneError(mistake_of(error, place).line(yard.path.name)) from None


def _together(text: str, yard: Yard, several: Together) -> Edited:
    """Several edits as one; the last tables go first, so that no number shifts before its turn."""
    try:
        pairs = [asked(ALONE, edit) for edit in several.edits]
    except ValueError as error:
        raise SceneError(str(error)) from None
    places = [getattr(record, "of", "") for _, record in pairs]
    twice = {place for place in places if place and places.count(place) > 1}
    if twice:
        raise SceneError(f"edit: {min(twice)} is named twice; name each table once in a step")
    order = sorted(range(len(pairs)), key=lambda n: _turn(places[n]), reverse=True)
    made: dict[int, Edited] = {}
    for number in order:
        made[number] = _one(text, yard, *pairs[number])
        text = made[number].text
    steps = [made[number] for number in range(len(pairs))]
    words = steps[0].words + (f", and {len(steps) - 1} more changes" if len(steps) > 1 else "")
    return Edited(text, words, tuple(note for step in steps for note in step.notes))


def _turn(place: str) -> tuple[str, int]:
    if not place:
        return ("", 0)
    name, number = parted(place)
    return name, number or 0
