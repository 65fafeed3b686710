"""The page of the Conditions reading: plain HTML, since nothing on it moves.

The changes that would meet a condition take seconds to try, so they are tried in a process of
their own at the first visit; until then the page says what is being done, and looks again.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path
from tempfile import mkstemp
from typing import Any

from tornado.web import RequestHandler

from viz.atvisit import AtVisit
from viz.errors import WrongYardError
from viz.frame import whole_page

AGAIN_S = 1
"""Seconds after which a page that waits looks again."""


def conditions_page(words: dict[str, Any]) -> str:
    """The page of a yard whose conditions are ready."""
    return whole_page("conditions.html", words, reading="conditions")


def waiting_page(title: str, doing: str) -> str:
    """The page until then; `doing` is what is being done."""
    words = {"title": f"Conditions: {title}", "subtitle": "", "doing": doing, "again": AGAIN_S}
    return whole_page("waiting.html", words, reading="conditions")


def mistaken_page(title: str, mistake: str) -> str:
    """The page where they cannot be had, and why."""
    words = {"title": f"Conditions: {title}", "subtitle": "", "mistake": mistake}
    return whole_page("waiting.html", words, reading="conditions")


def tried_words(yard: Any, told: Path) -> dict[str, Any]:
    """The words of a yard's conditions with advice; what is being tried is written to a file."""
    told.write_text("", encoding="utf-8")
    advising = partial(told.write_text, encoding="utf-8")
    words: dict[str, Any] = import_module("viz.conditions").tried_words(yard, advising)
    return words


class Conditions:
    """The conditions of one yard, tried at the first visit and kept."""

    def __init__(self, yard: Callable[[], bytes], title: Callable[[], str]) -> None:
        """`yard` gives the yard as it stands, pickled; another one than before is tried anew."""
        self._title = title
        handle, name = mkstemp(prefix="yardyears-", suffix=".txt")
        os.close(handle)
        self._told = Path(name)
        self._words = AtVisit(yard, partial(tried_words, told=self._told))

    def page(self) -> str:
        """The page as far as it is known now; work begins with the first call."""
        try:
            words = self._words.found()
        except WrongYardError as error:
            return mistaken_page(self._title(), str(error))
        return (
            waiting_page(self._title(), self._doing()) if words is None else conditions_page(words)
        )

    def close(self) -> None:
        """Stop what is being tried, and leave nothing behind."""
        self._words.close()
        self._told.unlink(missing_ok=True)

    def _doing(self) -> str:
        name = self._told.read_text(encoding="utf-8", errors="replace")
        if name:
            return f"Trying what would meet {name}"
        return "Growing the yard through 30 years, and checking it"


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
