"""What the page of a yard is sent when its checks are done, by the names of its component's
parameters; what the picture needs stands in viz/sent.py, which is loaded before."""

from typing import Any

from viz.closinglayer import closing_layer
from viz.content import page_story, page_words
from viz.packed import packed
from viz.plantcards import plant_cards
from viz.ringed import places
from viz.rows import rows
from viz.shown import Shown
from viz.stage import PARAMS


def figures(ready: Shown) -> dict[str, Any]:
    """What rests on the checks, and the views, which the story names."""
    views = packed(PARAMS["views"](ready.stage))
    return {**told(ready), "views": views, "words": words_of(ready)}


def words_of(ready: Shown) -> dict[str, Any]:
    """All text of the page, not yet escaped."""
    return page_words(ready.yard, ready.findings, rows(ready.findings))


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
