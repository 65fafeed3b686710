"""Plants from a file of their own, or from the [[plant]] tables of a whole yard.

A plant file is TOML with `lengths` and [[plant]] tables, written as in a yard; a nursery's
or an office's list can so be used for a single plant without a yard around it.
"""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

import scenes
from growth.errors import growth_error
from growth.plants import Plant, own_plants, plants_of_facts
from scenes.document import LengthUnit, PlantFacts
from scenes.errors import scene_error
from scenes.files import DOCUMENT_BYTES, read_capped, text_of
from scenes.lengths import METRES
from scenes.mistakes import mistakes_of
from scenes.tables import Table


class PlantFile(Table):
    """The tables of a file of plants."""

    lengths: LengthUnit
    plant: tuple[PlantFacts, ...]


def plants_in_file(path: str | Path) -> Mapping[str, Plant]:
    """Plants of a plant file or a yard, by name.

    Raises SceneError or GrowthError with a line for everything that is wrong.
    """
    path = Path(path)
    raw = _tables(path)
    if "site" in raw:
        return own_plants(scenes.load(path))
    unit = raw.get("lengths")
    context = {"unit": unit if isinstance(unit, str) and unit in METRES else "m"}
    try:
        tables = PlantFile.model_validate(raw, context=context)
    except ValidationError as error:
        raise scene_error(path.name, mistakes_of(error)) from None
    return plants_of_facts(tables.plant, file=path.name)


def _tables(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text_of(read_capped(path, most_bytes=DOCUMENT_BYTES)))
    except RecursionError:
        raise growth_error(path.name, ["is nested too deeply; correct it there"]) from None
    except tomllib.TOMLDecodeError as error:
        raise growth_error(path.name, [f"not TOML: {error}; correct it there"]) from None
    except ValueError as error:
        raise growth_error(path.name, [str(error)]) from None
