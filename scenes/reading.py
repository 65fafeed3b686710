"""A yard document from a file: read with care, checked, in metres.

A document is text of at most 2 MB, in TOML. Files it names (a survey, a picture, a house
model) are regular files inside its own folder, of listed types, capped before they are read.
Everything wrong with the document is told at once, a line for each mistake.
"""

import tomllib
from itertools import islice
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from scenes.document import Yard
from scenes.errors import COUNTED_MISTAKES, Mistake, SceneError, mistake_of, scene_error
from scenes.files import DOCUMENT_BYTES, read_capped, text_of
from scenes.lengths import METRES
from scenes.mistakes import mistakes_of
from scenes.rules import mistakes_in
from scenes.survey import read_survey

__all__ = ["load", "read_survey"]


def load(path: str | Path) -> Yard:
    """The yard of a document, checked, in metres and degrees; SceneError if it is wrong."""
    path = Path(path)
    return checked(path, _text(path))


def checked(path: Path, text: str) -> Yard:
    """The yard of a text that is, or is to be, the document at a path; SceneError if wrong."""
    raw = _parse(path.name, text)
    try:
        yard = Yard.model_validate(raw, context=_units(raw))
    except ValidationError as error:
        raise scene_error(path.name, mistakes_of(error)) from None
    yard._path = path.resolve()
    mistakes = list(islice(mistakes_in(yard), COUNTED_MISTAKES))
    if mistakes:
        raise scene_error(path.name, mistakes)
    return yard


def _text(path: Path) -> str:
    try:
        text = text_of(read_capped(path, most_bytes=DOCUMENT_BYTES))
        if not text.strip():
            raise ValueError("is empty; write title, lengths, [site] and [ground]")
    except ValueError as error:
        raise SceneError(mistake_of(error, "").line(path.name)) from None
    return text


def _parse(file: str, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        wrong, place = "is nested too deeply", ""
    except ValueError as error:
        wrong, _, at = str(error).partition(" (at ")
        place = at.rstrip(")")
    raise SceneError(Mistake(place, f"not TOML: {wrong}", "correct it there").line(file))


def _units(raw: dict[str, Any]) -> dict[str, str]:
    ground = raw.get("ground")
    unit = _known_unit(raw.get("lengths"), "m")
    survey = ground.get("survey_lengths") if isinstance(ground, dict) else None
    return {"unit": unit, "survey_unit": _known_unit(survey, unit)}


def _known_unit(value: object, otherwise: str) -> str:
    return value if isinstance(value, str) and value in METRES else otherwise
