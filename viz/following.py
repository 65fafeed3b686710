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
from viz.racepage import race_page
from viz.shown import Shown, shown
from viz.stage import Stage
from viz.watching import Look, saves


class Following:
    """The yard as last read well, what is wrong with its document since, and its open pages."""

    _ready: Shown
    _raced: tuple[Shown, Mapping[str, Any]] | None = None
    _read: str
    _told: dict[str, Any]

    def __init__(self, ready: Shown, memory: Memory) -> None:
        """The yard that was read first, and what its parts were remembered in."""
        self._memory = memory
        self._pages: dict[Document, YardView] = {}
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
        document = pn.state.curdoc
        view = YardView(sizing_mode="stretch_width")
        self._pages[document] = view  # first: what is told from now on comes on top
        document.on_session_destroyed(lambda _: self._pages.pop(document, None))
        self._bring(view)
        return build_page(self._ready, view)

    def visit_race(self) -> Any:
        """A fresh page of the growth race for one session."""
        ready, raced = self._ready, self._raced
        if raced is None or raced[0] is not ready:  # grown at the first visit
            self._raced = raced = ready, as_params(ready.yard, ready.layout.sources)
        return race_page(ready.yard, raced[1])

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

    def _bring(self, view: YardView) -> None:
        """Send a page what it does not have yet; the news last, for they set it to work."""
        told, news = self._told, self._news
        has = view.param.values()
        view.param.update(**{name: told[name] for name in told if has[name] != told[name]})
        view.news = news
