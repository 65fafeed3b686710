"""From a document to its pages in the browser."""

import argparse
import gc
import pickle
import signal
from collections.abc import Callable
from contextlib import closing
from importlib import import_module
from pathlib import Path
from threading import Thread
from typing import Any

from viz.keptpictures import cache_folder
from viz.maker import making
from viz.ports import usable_port
from viz.typed import one_or_two

DEMO_YARD = Path(__file__).parents[1] / "scenes" / "library" / "terrace.toml"


class PlansLater:
    """The pages of the plan; what edits a document is loaded when one is first asked for."""

    def __init__(
        self, path: Path, yard: Callable[[], bytes], *, wrote: Callable[[], object]
    ) -> None:
        """A document, the yard as it was last read well, pickled, and whom to tell of changes."""
        self._path, self._yard, self._wrote = path, yard, wrote
        self._plans: Any = None

    def visit(self) -> Any:
        """A fresh page for one session."""
        if self._plans is None:
            self._plans = import_module("viz.handdesk").Plans(
                self._path, pickle.loads(self._yard()), wrote=self._wrote
            )
            Thread(target=self._plans.follow, daemon=True).start()
        return self._plans.visit()


def run_show(args: argparse.Namespace) -> int:
    """`yardyears show`: the yard in the browser until it is stopped."""
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # told to end, as by Ctrl+C
    path, second = one_or_two(args.yard or [DEMO_YARD])
    if second:
        showtwo = import_module("viz.showtwo")
        showtwo.show_two(path, second, port=args.port, open_browser=not args.no_browser)
    else:
        show(path, port=args.port, open_browser=not args.no_browser)
    return 0


def _loaded(*names: str) -> list[Any]:
    """Modules of this floor; the collector would walk all that they hold again and again."""
    gc.disable()
    modules = [import_module(f"viz.{name}") for name in names]
    gc.freeze()
    gc.enable()
    return modules


def show(path: Path, *, port: int, open_browser: bool) -> None:
    """Serve the pages of a document, which follow it, until interrupted.

    Raises WrongYardError for a wrong document, ShowError for a port in use.
    """
    port = usable_port(port)  # before the work, not after it
    with making(path, pictures=cache_folder()) as line:
        # loaded only now, in a second in which the yard is already being made
        conditionspage, sunpage, stillpage, server, pages = _loaded(
            "conditionspage", "sunpage", "stillpage", "server", "following"
        )
        following = pages.Following(line)
        plans = PlansLater(path, following.yard, wrote=following.make_again)
        with (
            closing(conditionspage.Conditions(following.yard, following.title)) as conditions,
            closing(sunpage.AskedLayer(following.yard, "viz.sunlayer")) as sunlight,
            closing(sunpage.AskedLayer(following.yard, "viz.plantlight")) as plant_light,
            closing(stillpage.AskedStills(following.yard)) as stills,
        ):
            server.serve(
                {"": following.visit, "race": following.visit_race, "plan": plans.visit},
                titles={
                    "": following.title(),
                    "race": f"Growth race: {following.title()}",
                    "plan": f"Plan: {following.title()}",
                },
                port=port,
                open_browser=open_browser,
                plain=[
                    ("/conditions", conditionspage.ConditionsHandler, {"conditions": conditions}),
                    ("/sun", sunpage.LayerHandler, {"asked": sunlight}),
                    ("/plantlight", sunpage.LayerHandler, {"asked": plant_light}),
                    (r"/stills/(\d{1,3})", stillpage.StillsHandler, {"asked": stills}),
                ],
                meanwhile=following.attend,
            )
        if following.failed:
            raise following.failed
