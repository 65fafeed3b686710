"""All that the page of the growth race is sent, by the names of its component's parameters."""

from collections.abc import Mapping, Sequence
from typing import Any

from growth.memory import Memory
from scenes.document import Yard
from scenes.layout import Source
from scenes.lengths import METRES
from viz.content import area_unit
from viz.forecast import START_YEAR
from viz.packed import packed
from viz.race import as_params
from viz.units import imperial
from viz.words import season_dates


def race_contents(
    yard: Yard, sources: Sequence[Source], memory: Memory | None = None
) -> dict[str, Any]:
    """All that the component shows; with a memory only what an edit touched is grown anew."""
    raced: Mapping[str, Any] = as_params(yard, sources, memory)
    return {"story": race_story(yard), **{name: packed(part) for name, part in raced.items()}}


def race_story(yard: Yard) -> dict[str, Any]:
    """What the component tells beside the plants: units, dates and the year to begin with."""
    feet = imperial(yard.lengths)
    unit, unit_m2 = area_unit(yard)
    return {
        "title": f"Growth race: {yard.title}",
        "start_year": START_YEAR,
        "newly": "Set out side by side; none has passed another yet.",
        "no_passing": "None of these plants is expected to pass another within 30 years.",
        "nobody": "No plants chosen yet.",
        "dates": season_dates(yard, years=30),
        "area_unit": unit,
        "area_m2": unit_m2,
        "unit": "ft" if feet else "m",
        "unit_m": METRES["ft"] if feet else 1.0,
    }
