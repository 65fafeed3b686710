"""All that the page of a yard is sent, by the names of its component's parameters: plain data
and bytes, so that whoever sends it need not know what a yard is."""

from typing import Any

import numpy as np

from growth.ranges import Range
from scenes.document import Yard
from viz.closinglayer import closing_layer
from viz.content import early_story, early_words, page_story, page_words
from viz.packed import packed
from viz.plantcards import plant_cards
from viz.ringed import places
from viz.rows import rows, rows_to_come
from viz.shown import Shown
from viz.stage import Stage, params
from viz.words import subtitle

NO_CARDS: dict[str, Any] = {"tables": [], "table": np.zeros(0, np.uint16), "envelopes": []}
NO_CLOSING: dict[str, Any] = {"until": [], "shares": [], "beds": [], "labels": []}
"""Cards of plants and closing beds before the checks, which they tell of, are done."""


def first_words(yard: Yard) -> dict[str, Any]:
    """What can be said of a yard as soon as its document is read."""
    return {"title": yard.title, "subtitle": subtitle(yard)}


def picture(yard: Yard, stage: Stage, crowns_m2: Range) -> dict[str, Any]:
    """What is drawn, and what can be told before any check is done."""
    shown = rows_to_come(yard)
    story = early_story(yard, stage, shown, crowns_m2=crowns_m2)
    told = {"story": story, "words": early_words(yard, shown)}
    return {**parts_of(stage), **told, "cards": packed(NO_CARDS), "closing": packed(NO_CLOSING)}


def figures(ready: Shown) -> dict[str, Any]:
    """What rests on the checks, and the views, which the story names."""
    views = packed(params(ready.stage)["views"])
    return {**told(ready), "views": views, "words": words_of(ready)}


def words_of(ready: Shown) -> dict[str, Any]:
    """All text of the page, not yet escaped."""
    return page_words(ready.yard, ready.findings, rows(ready.findings))


def parts_of(stage: Stage) -> dict[str, Any]:
    """What the picture is drawn from, each part as one run of bytes."""
    return {name: packed(part) for name, part in params(stage).items()}


def told(ready: Shown) -> dict[str, Any]:
    """What rests on the checks: the story, closing beds, and cards of plants."""
    shown = rows(ready.findings)
    story = page_story(
        ready.yard,
        ready.stage,
        ready.findings,
        shown,
        crowns_m2=ready.crowns_m2,
        places=places(ready.yard, ready.layout, ready.findings),
    )
    closing = packed(closing_layer(ready.layout, ready.findings))
    cards = packed(plant_cards(ready.yard, ready.layout, ready.stand, ready.findings))
    return {"story": story, "closing": closing, "cards": cards}
