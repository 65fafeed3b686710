"""From a document to its pages in the browser, as quickly as two cores allow.

The checks take as long as loading Panel and drawing the stage together: so they run in a
process of their own, started first and waited for last. Threads would share one interpreter
and gain nothing.
"""

from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path

import growth
import scenes
from growth.checks.findings import Findings
from growth.crownarea import crown_area_m2
from scenes.document import Yard
from viz.ports import usable_port


def checked(yard: Yard) -> Findings:
    """The findings of a yard, from its document alone."""
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return growth.check(yard, terrain, layout, growth.grow(yard, layout))


def show(path: Path, *, port: int, open_browser: bool) -> None:
    """Grow the yard of a document and serve its pages until interrupted.

    Raises SceneError or GrowthError for a wrong document, ShowError for a port in use.
    """
    port = usable_port(port)  # before the work, not after it
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    with ProcessPoolExecutor(max_workers=1) as other:
        checking = other.submit(checked, yard)
        # imported only now: Panel takes a second to load, in which the checks already run
        from viz.page import build_page
        from viz.race import as_params
        from viz.racepage import race_page, race_title
        from viz.server import serve
        from viz.stage import compose

        stage = compose(yard, terrain, layout, stand)
        crowns_m2 = crown_area_m2(stand)
        findings = checking.result()
    raced = cache(lambda: as_params(yard, layout.sources))  # grown at the first visit
    serve(
        {
            "": lambda: build_page(yard, stage, findings, crowns_m2=crowns_m2),
            "race": lambda: race_page(yard, raced()),
        },
        titles={"": yard.title, "race": race_title(yard)},
        port=port,
        open_browser=open_browser,
    )
