"""From a document to its pages in the browser."""

from contextlib import closing
from functools import cache
from pathlib import Path

import scenes
from viz.checker import checking
from viz.ports import usable_port
from viz.shown import shown


def show(path: Path, *, port: int, open_browser: bool) -> None:
    """Grow the yard of a document and serve its pages until interrupted.

    Raises SceneError or GrowthError for a wrong document, ShowError for a port in use.
    """
    port = usable_port(port)  # before the work, not after it
    with checking() as checker:
        ready = shown(scenes.load(path), checker)
    # imported only now: `shown` has loaded Panel while the checks ran
    from viz.conditionspage import Conditions, ConditionsHandler
    from viz.page import build_page
    from viz.race import as_params
    from viz.racepage import race_page, race_title
    from viz.server import serve

    yard = ready.yard
    conditions = Conditions(lambda: yard)
    raced = cache(lambda: as_params(yard, ready.layout.sources))  # grown at the first visit
    with closing(conditions):
        serve(
            {"": lambda: build_page(ready), "race": lambda: race_page(yard, raced())},
            titles={"": yard.title, "race": race_title(yard)},
            port=port,
            open_browser=open_browser,
            plain=[("/conditions", ConditionsHandler, {"conditions": conditions})],
        )
