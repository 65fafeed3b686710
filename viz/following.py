"""A yard's open pages follow its document: what a save changed is sent, and nothing else.

The yard is made in a process of its own (viz/maker.py); one thread here hears of it, for all
pages at once. A page that is opened before the picture is there shows the steps, done and to
come. The picture is sent as soon as it is there, the figures when the checks are done. A document
with a mistake changes nothing: the last good yard stays, and the mistake is told until it is
mended. Pages are only touched in their own documents' turn.
"""

import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from multiprocessing.connection import Connection
from threading import Thread
from typing import Any

import panel as pn
from bokeh.document import Document

from viz.errors import ShowError, WrongYardError
from viz.maker import REPLACED, SEEN
from viz.page import YardView, build_page, told_outside
from viz.racepage import RaceView, race_page

DONE, NOW, TO_COME = "done", "now", "to come"


class Following:
    """The yard as last read well, what is wrong with its document since, and its open pages."""

    def __init__(self, line: Connection) -> None:
        """What the making process tells comes along the line; waits until the document is read.

        Raises WrongYardError for a wrong document, ShowError where the process ended.
        """
        self._line = line
        self._pages: dict[Document, YardView] = {}
        self._races: dict[Document, RaceView] = {}
        self._told: dict[str, Any] = {}
        self._raced: dict[str, Any] = {}
        self._words: dict[str, Any] = {}
        self._yard = b""
        self._read = ""
        self._seen = False
        self._whole = False
        self._steps: tuple[str, ...] = ()
        self._news: dict[str, Any] = {"count": 0, "mistakes": [], "figures": False}
        self.failed: Exception | None = None
        """Why there is nothing to show any more."""
        while not self._words:
            self._hear(*self._heard())

    def attend(self, stop: Callable[[], object]) -> None:
        """Hear what is told from now on; `stop` is called when there is nothing to be shown."""

        def attend() -> None:
            try:
                while True:
                    self._hear(*self._heard())
            except (WrongYardError, ShowError) as failed:
                self.failed = failed
                stop()

        Thread(target=attend, daemon=True).start()

    def make_again(self) -> None:
        """Have the document made anew at once: it was just replaced by a whole one."""
        with suppress(OSError):  # the process has ended, which is heard of elsewhere
            self._line.send(REPLACED)

    def yard(self) -> bytes:
        """The yard as last read well, pickled."""
        return self._yard

    def title(self) -> str:
        """Its title."""
        return str(self._words["title"])

    def visit(self) -> Any:
        """A fresh page for one session, which will follow."""
        view = YardView(sizing_mode="stretch_width", served=True)
        self._bring(view)
        _remember(view, self._pages, self._bring)
        view.param.watch(lambda _: self._say_seen(), "seen")
        return build_page(self._words, view)

    def visit_race(self) -> Any:
        """A fresh page of the growth race for one session, which will follow."""
        view = RaceView(sizing_mode="stretch_width")
        self._bring_race(view)
        _remember(view, self._races, self._bring_race)
        return race_page(self.title(), view)

    def _say_seen(self) -> None:
        """Say once that a picture is on a screen: the first checks wait for it."""
        if not self._seen:
            self._seen = True
            with suppress(OSError):  # nobody there to hear it: that is told when nothing comes
                self._line.send(SEEN)

    def _heard(self) -> tuple[str, Any]:
        try:
            what, value = self._line.recv()
        except (EOFError, OSError, TypeError):  # the last where the line is closed meanwhile
            raise ShowError("the process that makes the yard has ended; start again") from None
        return what, value

    def _hear(self, what: str, value: Any) -> None:
        takes: dict[str, Callable[[Any], None]] = {
            "read": self._take_read,
            "step": self._take_step,
            "picture": self._take_picture,
            "figures": self._take_figures,
            "race": self._take_race,
            "mistakes": self._take_mistakes,
        }
        takes[what](value)

    def _take_read(self, read: Mapping[str, Any]) -> None:
        """The document is a yard; until its picture is there, it is only told by its name."""
        if not self._told:
            self._words, self._yard, self._steps = read["words"], read["yard"], read["steps"]

    def _take_step(self, number: int) -> None:
        if self._whole:
            return  # read again: the page stands, and is told when something is there
        states = [DONE] * number + [NOW] + [TO_COME] * (len(self._steps) - number - 1)
        self._tell(steps=list(map(list, zip(self._steps, states, strict=True))))

    def _take_picture(self, made: dict[str, Any]) -> None:
        """Tell the picture before the figures; what belongs to them waits for them."""
        self._read = time.strftime("%H:%M")
        if self._told:
            later = ("views", "story", "words", "cards", "closing")
            self._told |= {name: part for name, part in made.items() if name not in later}
            self._tell(count=self._news["count"] + 1, mistakes=[], figures=False)
        else:
            self._words = made["words"]
            self._told = {**made, "words": told_outside(made["words"])}
            self._tell()

    def _take_figures(self, made: dict[str, Any]) -> None:
        told = dict(made)
        yard = told.pop("yard", self._yard)
        if self._whole or yard != self._yard:  # else what it was asked for meanwhile stands
            self._yard = yard
        if "words" in told:
            self._words = told["words"]
            told["words"] = told_outside(self._words)
        self._told = {**self._told, **told}
        self._read = time.strftime("%H:%M")
        count = self._news["count"] + self._whole  # the first time nothing is read again
        self._whole = True
        self._tell(count=count, mistakes=[], figures=True, steps=[])

    def _take_race(self, made: dict[str, Any]) -> None:
        self._raced = made
        self._tell_races()

    def _take_mistakes(self, lines: list[str]) -> None:
        if not self._told:
            raise WrongYardError("\n".join(lines))
        self._tell(count=self._news["count"] + 1, mistakes=lines, figures=True, steps=[])
        self._tell_races()

    def _tell(self, **news: Any) -> None:
        self._news = {**self._news, **news, "read": self._read}
        for document, view in _here(self._pages):
            document.add_next_tick_callback(partial(self._bring, view))
        if not self._raced:
            self._tell_races()

    def _tell_races(self) -> None:
        for document, race in _here(self._races):
            document.add_next_tick_callback(partial(self._bring_race, race))

    def _bring(self, view: YardView) -> None:
        _send(view, self._told, self._news)

    def _bring_race(self, view: RaceView) -> None:
        _send(view, self._raced, self._news)


def _remember(view: Any, views: dict[Document, Any], bring: Callable[[Any], None]) -> None:
    """Keep the component of the page being made for as long as the page is open.

    It is told nothing until it says that it is here: what is sent while a browser still loads
    the page may be lost.
    """
    document = pn.state.curdoc
    views[document] = view
    view.param.watch(lambda _: bring(view), "here")
    document.on_session_destroyed(lambda _: views.pop(document, None))


def _here(views: Mapping[Document, Any]) -> list[tuple[Document, Any]]:
    """The pages that have said that they are here."""
    return [(document, view) for document, view in list(views.items()) if view.here]


def _send(view: Any, told: Mapping[str, Any], news: Mapping[str, Any]) -> None:
    """Send a page what it does not have yet; the news last, for they set it to work."""
    has = view.param.values()
    view.param.update(**{name: told[name] for name in told if has[name] != told[name]})
    fresh = {**news, "shown": bool(told)}
    if view.news != fresh:
        view.news = fresh
