"""The page of the Conditions reading: plain HTML, since nothing on it moves.

The changes that would meet a condition take seconds to try, so they are tried in a process of
their own at the first visit; until then the page says what is being done, and looks again.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import suppress
from multiprocessing import get_context
from pathlib import Path
from tempfile import mkstemp
from typing import Any

from bokeh.core.templates import get_env
from jinja2 import ChoiceLoader, FileSystemLoader
from tornado.web import RequestHandler

from growth.errors import GrowthError
from scenes.document import Yard
from scenes.errors import SceneError
from viz.checker import checked, end_with_owner
from viz.conditions import conditions_words
from viz.frame import HERE, escaped, readings, style_source

AGAIN_S = 1
"""Seconds after which a page that waits looks again."""


def conditions_page(words: dict[str, Any]) -> str:
    """The page of a yard whose conditions are ready."""
    return _rendered("conditions.html", words)


def waiting_page(yard: Yard, doing: str) -> str:
    """The page until then; `doing` is what is being done."""
    words = {"title": f"Conditions: {yard.title}", "subtitle": "", "doing": doing, "again": AGAIN_S}
    return _rendered("waiting.html", words)


def _rendered(name: str, words: dict[str, Any]) -> str:
    env = get_env()
    env.loader = ChoiceLoader([FileSystemLoader(HERE), env.loader])
    page = escaped({**words, "readings": readings("conditions", one_file=False)})
    return str(env.get_template(name).render(page=page, style=style_source("page.css")))


def tried_words(yard: Yard, told: Path) -> dict[str, Any]:
    """The words of a yard's conditions with advice; what is being tried is written to a file."""
    advising = lambda name: told.write_text(json.dumps(name), encoding="utf-8")  # noqa: E731
    return conditions_words(yard, checked(yard, advising=advising))


class Conditions:
    """The conditions of one yard, tried at the first visit and kept."""

    def __init__(self, yard: Callable[[], Yard]) -> None:
        """`yard` gives the yard as it stands; another one than before is tried anew."""
        self._yard = yard
        self._of: Yard | None = None
        self._words: Future[dict[str, Any]] | None = None
        handle, name = mkstemp(prefix="yardyears-", suffix=".json")
        os.close(handle)
        self._told = Path(name)
        self._pool: ProcessPoolExecutor | None = None

    def page(self) -> str:
        """The page as far as it is known now; work begins with the first call."""
        yard = self._yard()
        if yard is not self._of:
            self._of = yard
            self._told.write_text(json.dumps(""), encoding="utf-8")
            self._pool = self._pool or _pool()
            self._words = self._pool.submit(tried_words, yard, self._told)
        assert self._words is not None
        if not self._words.done():
            return waiting_page(yard, self._doing())
        try:
            return conditions_page(self._words.result())
        except (SceneError, GrowthError) as error:
            return waiting_page(yard, str(error))

    def close(self) -> None:
        """Stop what is being tried, and leave nothing behind."""
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
        self._told.unlink(missing_ok=True)

    def _doing(self) -> str:
        name = ""
        with suppress(OSError, ValueError):
            name = json.loads(self._told.read_text(encoding="utf-8"))
        if name:
            return f"Trying what would meet {name}"
        return "Growing the yard through 30 years, and checking it"


def _pool() -> ProcessPoolExecutor:
    """One process, no copy of this one: that would wait for the threads this one has."""
    return ProcessPoolExecutor(
        max_workers=1, mp_context=get_context("spawn"), initializer=end_with_owner
    )


class ConditionsHandler(RequestHandler):
    """Answers with the page."""

    def initialize(self, conditions: Conditions) -> None:
        """Which yard's conditions."""
        self._conditions = conditions

    def get(self) -> None:
        """The page as far as it is known."""
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.set_header("Cache-Control", "no-store")
        self.write(self._conditions.page())
