"""A yard's open pages follow its document: what a save changed is sent, and nothing else.

One thread waits for saves and reads the yard again, for all pages at once. The picture is sent
as soon as it is there, the figures when the checks are done. A document with a mistake changes
nothing: the last good yard stays, and the mistake is told until it is mended. Pages are only
touched in their own documents' turn.
"""

import time
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Any

import panel as pn
from bokeh.document import Document

import scenes
from growth.errors import GrowthError
from growth.memory import Memory
from scenes.document import Yard
from scenes.errors import SceneError
from viz.checker import Checker
from viz.page import YardView, build_page, contents, parts_of, told_outside
from viz.race import as_params
from viz.racepage import RaceView, race_contents, race_page
from viz.shown import Shown, shown
from viz.stage import Stage
from viz.watching import Look, saves


class Following:
    """The yard as last read well, what is wrong with its document since, and its open pages."""

    _ready: Shown
    _read: str
    _told: dict[str, Any]

    def __init__(self, ready: Shown, memory: Memory) -> None:
        """The yard that was read first, and what its parts were remembered in."""
        self._memory = memory
        self._pages: dict[Document, YardView] = {}
        self._races: dict[Document, RaceView] = {}
        self._racing = Lock()
        self._race_memory = Memory()
        self._raced: tuple[Yard, dict[str, Any]] | None = None
        self._take(ready)
        self._news: dict[str, Any] = {"count": 0, "mistakes": [], "figures": True}
        self._news["read"] = self._read

    def follow(self, path: Path, since: Look, checker: Checker) -> None:
        """Read the document again after every save, without end."""
        for _ in saves(path, since):
            self.read_again(path, checker)

    def read_again(self, path: Path, checker: Checker) -> None:
        """Read the document and tell the pages."""
        try:
            yard = scenes.load(path)
            ready = shown(yard, checker, memory=self._memory, drawn=self._take_picture)
        except (SceneError, GrowthError) as mistake:
            self._tell(mistakes=str(mistake).splitlines(), figures=True)
        else:
            self._take(ready)
            self._tell(mistakes=[], figures=True)

    def yard(self) -> Yard:
        """The yard as last read well."""
        return self._ready.yard

    def visit(self) -> Any:
        """A fresh page for one session, which will follow."""
        view = YardView(sizing_mode="stretch_width")
        _remember(view, self._pages)
        self._bring(view)
        return build_page(self._ready, view)

    def visit_race(self) -> Any:
        """A fresh page of the growth race for one session, which will follow."""
        view = RaceView(sizing_mode="stretch_width")
        _remember(view, self._races)
        self._bring_race(view)
        return race_page(self._ready.yard, view)

    def _take(self, ready: Shown) -> None:
        self._ready = ready
        self._read = time.strftime("%H:%M")
        self._told = {**contents(ready), "words": told_outside(ready)}

    def _take_picture(self, stage: Stage) -> None:
        """Tell the picture before the figures; views belong to the story, and wait for it."""
        parts = parts_of(stage)
        self._told = {**self._told, **parts, "views": self._told["views"]}
        self._read = time.strftime("%H:%M")
        self._tell(mistakes=[], figures=False)

    def _tell(self, *, mistakes: list[str], figures: bool) -> None:
        count = self._news["count"] + 1
        self._news = {"count": count, "mistakes": mistakes, "figures": figures, "read": self._read}
        for document, view in list(self._pages.items()):
            document.add_next_tick_callback(partial(self._bring, view))
        if figures and self._races:
            self._race()  # here, so that no page has to wait for it
            for document, race in list(self._races.items()):
                document.add_next_tick_callback(partial(self._bring_race, race))

    def _bring(self, view: YardView) -> None:
        _send(view, self._told, self._news)

    def _bring_race(self, view: RaceView) -> None:
        _send(view, self._race(), self._news)

    def _race(self) -> dict[str, Any]:
        """What a page of the growth race shows; grown at the first visit."""
        with self._racing:
            ready = self._ready
            if self._raced is None or self._raced[0] is not ready.yard:
                raced = as_params(ready.yard, ready.layout.sources, self._race_memory)
                self._raced = ready.yard, race_contents(ready.yard, raced)
            return self._raced[1]


def _remember(view: Any, views: dict[Document, Any]) -> None:
    """Keep the component of the page being made for as long as the page is open.

    Done first: what is told from then on comes on top of what the page begins with.
    """
    document = pn.state.curdoc
    views[document] = view
    document.on_session_destroyed(lambda _: views.pop(document, None))


def _send(view: Any, told: Mapping[str, Any], news: Mapping[str, Any]) -> None:
    """Send a page what it does not have yet; the news last, for they set it to work."""
    has = view.param.values()
    view.param.update(**{name: told[name] for name in told if has[name] != told[name]})
    view.news = news
