"""What the page of a yard is sent with its picture, by the names of its component's parameters:
plain data and bytes, so that whoever sends it need not know what a yard is. What rests on the
checks comes later (viz/sentlater.py)."""

from typing import Any

import numpy as np

from growth.memory import Memory
from growth.ranges import Range
from scenes.document import Yard
from viz.content import early_story, early_words
from viz.packed import packed
from viz.rows import rows_to_come
from viz.stage import PARAMS, Stage

NO_CARDS: dict[str, Any] = {"tables": [], "table": np.zeros(0, np.uint16), "envelopes": []}
NO_CLOSING: dict[str, Any] = {"until": [], "shares": [], "beds": [], "labels": []}
"""Cards of plants and closing beds before the checks, which they tell of, are done."""


def picture(
    yard: Yard, stage: Stage, crowns_m2: Range, memory: Memory | None = None
) -> dict[str, Any]:
    """What is drawn, and what can be told before any check is done; plants' meshes, which an
    edit seldom touches, are packed anew only where those of the round before are others."""
    shown = rows_to_come(yard)
    story = early_story(yard, stage, shown, crowns_m2=crowns_m2)
    told = {"story": story, "words": early_words(yard, shown)}
    drawn = parts_of(stage, memory)
    return {**drawn, **told, "cards": packed(NO_CARDS), "closing": packed(NO_CLOSING)}


def parts_of(stage: Stage, memory: Memory | None = None) -> dict[str, Any]:
    """What the picture is drawn from, each part as one run of bytes."""
    memory = memory or Memory()
    drawn = [[(one.height_m, one.spread_m) for one in stages] for stages in stage.kinds]
    made_of = {"kinds": (repr(stage.plants), drawn)}

    def part(name: str) -> dict[str, Any]:
        if name not in made_of:
            return packed(PARAMS[name](stage))
        return memory.of((name, *made_of[name]), lambda: packed(PARAMS[name](stage)))

    return {name: part(name) for name in PARAMS}
