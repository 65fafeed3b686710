"""A process of its own that checks yards, one after another, and remembers their parts.

The checks take as long as loading Panel and drawing the stage together: a thread would share
one interpreter with them and gain nothing. The process is begun before either is loaded. It
ends with the one that began it, however that ends: its line is then closed.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection
from typing import Any

import growth
import scenes
from growth.checks.findings import Findings
from growth.errors import GrowthError
from growth.memory import Memory
from scenes.document import Yard
from scenes.errors import SceneError


def checked(
    yard: Yard,
    *,
    light: bool = True,
    advising: Callable[[str], object] | None = None,
    memory: Memory | None = None,
) -> Findings:
    """The findings of a yard, from its document alone; the hours of sun may be left out, and
    advice on requirements that are not met be asked for.

    Raises SceneError or GrowthError for a wrong document.
    """
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return growth.check(yard, terrain, layout, stand, light=light, advising=advising, memory=memory)


@contextmanager
def checking() -> Iterator[Checker]:
    """The process, for as long as it is wanted."""
    # a copy of a process with threads would wait for them forever
    several = threading.active_count() > 1
    world = get_context("spawn" if several else None)
    ours, theirs = world.Pipe()
    process = world.Process(target=_answer, args=(theirs, ours), daemon=True)
    process.start()
    theirs.close()
    try:
        yield Checker(ours)
    finally:
        ours.close()
        process.terminate()
        process.join()


@dataclass
class Checker:
    """A line to the process; what is asked for last is what it answers."""

    _line: Connection
    _asked: int = 0

    def begin(self, yard: Yard) -> None:
        """Have a yard checked, without the hours of sun, which no page shows."""
        self._asked += 1
        self._line.send((self._asked, yard))

    def findings(self) -> Findings:
        """The findings of the yard begun last, once they are there.

        Raises SceneError or GrowthError for a wrong document.
        """
        number = 0
        while number != self._asked:  # answers nobody fetched, of yards that were wrong
            number, answer = self._line.recv()
        if isinstance(answer, Findings):
            return answer
        raise answer


def end_with_owner() -> None:
    """End this process when the one that began it has ended, however that ended.

    For processes of a pool, which hold the line they listen to open themselves.
    """
    owner = parent_process()
    assert owner is not None

    def wait() -> None:
        owner.join()
        os._exit(1)  # at once: nobody is left to hear of what was begun

    threading.Thread(target=wait, daemon=True).start()


def _answer(line: Connection, not_ours: Any) -> None:
    """Check every yard that comes until the line is closed."""
    not_ours.close()  # else it would stay open for as long as this process has it
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the one that began us
    memory = Memory()
    with suppress(EOFError, BrokenPipeError):
        while True:
            number, yard = line.recv()
            line.send((number, _findings_or_mistake(yard, memory)))


def _findings_or_mistake(yard: Yard, memory: Memory) -> Findings | ValueError:
    try:
        return checked(yard, light=False, memory=memory)
    except (SceneError, GrowthError) as mistake:
        return mistake
