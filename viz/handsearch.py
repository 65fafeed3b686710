"""Plants to set or to swap in, found by words: as the plan's page lists them."""

from typing import Any

from growth.errors import GrowthError
from growth.plants import Plant, catalogue, own_plants
from growth.search import search
from scenes.document import Yard
from viz.race import short_cautions, sizes_offered

MOST_FOUND = 12


def found(yard: Yard | None, words: str) -> dict[str, Any]:
    """Plants that fit every word with the sizes they are sold in, and what to say of them."""
    plants = {**catalogue(), **(own_plants(yard) if yard else {})}
    exact = {name.lower(): plant for name, plant in plants.items()}.get(words.strip().lower())
    if exact is not None:
        return {"words": words, "say": "", "plants": [_listed(exact)]}
    if not words.strip():
        return {"words": words, "say": f"{len(plants)} plants are known.", "plants": []}
    try:
        fitting = search(words.split(), tuple(plants.values()))
    except GrowthError as error:
        return {"words": words, "say": str(error), "plants": []}
    shown = fitting.plants[:MOST_FOUND]
    return {"words": words, "say": _say(fitting), "plants": [_listed(plant) for plant in shown]}


def _say(fitting: Any) -> str:
    if fitting.unmatched:
        near = f"; near are {', '.join(fitting.near)}" if fitting.near else ""
        return f"No plant is known by {', '.join(fitting.unmatched)}{near}."
    count = len(fitting.plants)
    if not count:
        return "No plant fits all of these words."
    more = f", the first {MOST_FOUND} below" if count > MOST_FOUND else ""
    return f"{count} plant{'s' if count > 1 else ''}{more}."


def _listed(plant: Plant) -> dict[str, Any]:
    return {
        "name": plant.name,
        "common": plant.common,
        "mature": sum(plant.spread_m) / 2,
        "cautions": short_cautions(plant),
        "sizes": list(sizes_offered(plant)),
    }
