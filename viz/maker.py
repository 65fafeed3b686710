"""A process of its own that makes what a yard's pages show, and makes it anew after every save.

It tells what it does in order: the document read, each step, the picture, then the figures, for
the checks take longest; last the growth race. So the process that serves the pages loads neither
the floors below nor any graphics, is there while the yard is still being made, and answers all
pages meanwhile. What is told is plain data and bytes.
"""

from __future__ import annotations

import gc
import pickle
import signal
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import partial
from importlib import import_module
from multiprocessing import get_context
from multiprocessing.connection import Connection
from os import nice
from pathlib import Path
from types import MappingProxyType
from typing import Any

import growth
import scenes
from growth.errors import GrowthError
from scenes.errors import SceneError
from viz.footprint import give_back, one_heap
from viz.owner import end_with_owner
from viz.watching import Look, look, saves

STEPS = ("Ground", "Plants placed", "Growth", "Picture", "Checks")
"""What is done to a yard until its page is whole, in order."""

LOWER = 10
"""How far the checks, which use all processors, stand back behind what else there is to do; so
does what comes after them, for a process cannot be raised again."""

SEEN_WITHIN_S = 4.0
"""How long the first checks wait for the picture to be on a screen, in seconds: systems that
share processors out by program would give them half of what the browser needs to draw it."""

SEEN, REPLACED = "seen", "replaced"
"""What the process is told."""

Telling = Callable[[str, Any], object]


@contextmanager
def making(path: Path, *, pictures: Path | None = None) -> Iterator[Connection]:
    """What the process tells of a document, as pairs (what, value), for as long as it is wanted.

    Where there is a folder of pictures kept from earlier starts, one of the same yard is told
    first, before any step, and another one later only if it differs.

    `read`: title and subtitle, the steps to come, and the yard, pickled; `step`: the number of
    the step begun; `picture` and `figures`: what the page of the yard shows, by the names of its
    parameters, after an edit only the parts that are others; `race`: all of the growth race;
    `mistakes`: lines that say what is wrong.
    What is sent back: `seen`, the first picture is on a screen; `replaced`, the document was just
    replaced by a whole one.
    """
    # a copy of a process with threads would wait for them forever
    several = threading.active_count() > 1
    world = get_context("spawn" if several else None)
    ours, theirs = world.Pipe()
    process = world.Process(target=_make_on, args=(path, pictures, theirs, ours), daemon=True)
    process.start()
    theirs.close()
    try:
        yield ours
    finally:
        ours.close()
        process.terminate()
        process.join()


def _make_on(path: Path, pictures: Path | None, line: Connection, not_ours: Connection) -> None:
    """Make the yard of a document, and again after every save, without end."""
    not_ours.close()  # else the line would stay open for as long as this process has it
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the one that began us
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # and that one ends us
    end_with_owner()
    one_heap()
    with suppress(ConnectionError, EOFError):  # nobody listens any more
        since = look(path)
        maker = Maker(partial(_told, line), partial(_stand_back, line), pictures)
        gc.disable()  # it would walk through all that is loaded again and again
        maker.make(path)
        gc.freeze()
        gc.enable()
        give_back()
        for _ in saves(path, since, told_in=partial(_told_in, line)):
            maker.make(path)
            give_back()


def _told(line: Connection, what: str, value: Any) -> None:
    line.send((what, value))


def _stand_back(line: Connection) -> None:
    """Wait for the first picture to be on a screen; from then on, leave processors to others."""
    line.poll(SEEN_WITHIN_S)
    nice(LOWER)


def _told_in(line: Connection, seconds: float) -> bool:
    """Wait so long, or until something is sent: whether it says that the document was replaced."""
    heard = [line.recv()] if line.poll(seconds) else []
    while line.poll():
        heard.append(line.recv())
    return REPLACED in heard


class Maker:
    """Makes a yard again and again, and remembers the parts that an edit leaves alone."""

    def __init__(
        self,
        tell: Telling,
        stand_back: Callable[[], object] = bool,
        pictures: Path | None = None,
    ) -> None:
        """Who is told, what is called once after the first picture, where pictures are kept."""
        self._tell, self._stand_back = tell, stand_back
        self._pictures = import_module("viz.keptpictures").KeptPictures(pictures)
        memory = import_module("growth.memory").Memory
        self._drawn, self._checked, self._raced = memory(), memory(), memory()
        self._said: dict[str, dict[str, Any]] = {}
        self._unkept: tuple[Look, dict[str, Any]] | None = None
        self._site = import_module("viz.keptsite").KeptSite()

    def make(self, path: Path) -> None:
        """Make the yard of a document, or tell what is wrong with it."""
        try:
            self._made(path)
        except (SceneError, GrowthError) as mistake:
            self._tell("mistakes", str(mistake).splitlines())
        self._keep(path)

    def _made(self, path: Path) -> None:
        watched = look(path)
        yard = scenes.load(path)
        kept = pickle.dumps(yard)
        words = import_module("viz.words").heading(yard)
        self._tell("read", {"words": words, "steps": STEPS, "yard": kept})
        early = self._tell_early(path, watched)
        files = watched.facts[1:]
        terrain = self._step(0, lambda: self._site.terrain(yard, files))
        layout = self._step(1, lambda: self._site.layout(yard, terrain, files))
        stand = self._step(2, lambda: growth.grow(yard, layout))
        compose = import_module("viz.stage").compose
        stage = self._step(3, lambda: compose(yard, terrain, layout, stand, memory=self._drawn))
        crowns_m2 = import_module("growth.crownarea").crown_area_m2(stand, self._drawn)
        # loaded only now: it brings all that draws
        picture = import_module("viz.sent").picture(yard, stage, crowns_m2, self._drawn)
        if picture != early:
            self._tell_fresh("picture", picture)
            self._unkept = watched, picture
        self._seen_once(path)
        findings = self._step(
            4,
            lambda: growth.check(yard, terrain, layout, stand, light=False, memory=self._checked),
        )
        shown = import_module("viz.shown").Shown(yard, layout, stand, stage, findings, crowns_m2)
        figures = import_module("viz.sentlater").figures(shown)
        # the yard always: a file it names may be another one, and its document the same
        self._tell_fresh("figures", figures, always={"yard": kept})
        race = import_module("viz.racesent").race_contents
        self._tell("race", race(yard, layout.sources, self._raced))

    def _tell_early(self, path: Path, watched: Look) -> dict[str, Any] | None:
        """Tell, at the first making, the picture kept from an earlier start, if there is one."""
        if self._said:
            return None
        early: dict[str, Any] | None = self._pictures.kept(self._pictures.name_of(watched.files))
        if early:
            self._tell_fresh("picture", early)
            self._seen_once(path)
        return early

    def _seen_once(self, path: Path) -> None:
        """After the first picture, keep it while the browser draws, and stand back."""
        if self._stand_back is not bool:
            self._keep(path)
            self._stand_back()
        self._stand_back = bool

    def _keep(self, path: Path) -> None:
        """Keep the last picture told, unless its document has changed since it was read."""
        if self._unkept and look(path) == self._unkept[0]:
            watched, picture = self._unkept
            self._pictures.keep(self._pictures.name_of(watched.files), picture)
        self._unkept = None

    def _tell_fresh(
        self, what: str, parts: dict[str, Any], *, always: Mapping[str, Any] = MappingProxyType({})
    ) -> None:
        """Tell the parts that are others than when the same was told before, and some always."""
        old = self._said.get(what, {})
        self._said[what] = parts
        fresh = {n: part for n, part in parts.items() if n not in old or old[n] != part}
        self._tell(what, {**always, **fresh})

    def _step(self, number: int, work: Callable[[], Any]) -> Any:
        self._tell("step", number)
        return work()
