"""From a document to its pages in the browser."""

from contextlib import closing
from pathlib import Path
from threading import Thread

import scenes
from growth.memory import Memory
from viz.checker import checking
from viz.ports import usable_port
from viz.shown import shown
from viz.watching import look


def show(path: Path, *, port: int, open_browser: bool) -> None:
    """Grow the yard of a document and serve its pages, which follow it, until interrupted.

    Raises SceneError or GrowthError for a wrong document, ShowError for a port in use.
    """
    port = usable_port(port)  # before the work, not after it
    with checking() as checker:
        since, memory = look(path), Memory()
        ready = shown(scenes.load(path), checker, memory=memory)
        # imported only now: `shown` has loaded Panel while the checks ran
        from viz.conditionspage import Conditions, ConditionsHandler
        from viz.following import Following
        from viz.handdesk import Plans
        from viz.planpage import plan_title
        from viz.plantlight import PlantLight
        from viz.racepage import race_title
        from viz.server import serve
        from viz.sunlayer import SunHandler, Sunlight

        following = Following(ready, memory)
        Thread(target=following.follow, args=(path, since, checker), daemon=True).start()
        plans = Plans(path, ready.yard)
        Thread(target=plans.follow, daemon=True).start()
        with (
            closing(Conditions(following.yard)) as conditions,
            closing(Sunlight(following.yard)) as sunlight,
            closing(PlantLight(following.yard)) as plant_light,
        ):
            serve(
                {"": following.visit, "race": following.visit_race, "plan": plans.visit},
                titles={
                    "": ready.yard.title,
                    "race": race_title(ready.yard),
                    "plan": plan_title(ready.yard),
                },
                port=port,
                open_browser=open_browser,
                plain=[
                    ("/conditions", ConditionsHandler, {"conditions": conditions}),
                    ("/sun", SunHandler, {"sunlight": sunlight}),
                    ("/plantlight", SunHandler, {"sunlight": plant_light}),
                ],
            )
