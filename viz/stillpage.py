"""Stills that a served page asks for where its browser can draw no picture: those of one view.

They are drawn when a view is first asked for, one view after the other, in a process of its own
(viz/viewstills.py), and kept until the document changes. The server itself opens no graphics.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from importlib import import_module
from typing import Any

from tornado.web import RequestHandler

from viz.atvisit import AtVisit, Worker
from viz.errors import WrongYardError


def stills(yard: Any, view: int) -> dict[str, Any]:
    """The stills of a view, by its number."""
    drawn: dict[str, Any] = import_module("viz.viewstills").view_stills(yard, view)
    return drawn


class AskedStills:
    """The stills of one yard, each view's drawn when first asked for, and kept."""

    def __init__(self, yard: Callable[[], bytes]) -> None:
        """`yard` gives the yard as it stands, pickled; another one than before is drawn anew."""
        self._yard = yard
        self._worker = Worker()
        self._views: dict[int, AtVisit[dict[str, Any]]] = {}
        self.close = self._worker.close

    def of(self, view: int) -> dict[str, Any] | None:
        """A view's stills, or what is wrong as `mistake`; None while they are being drawn."""
        if view not in self._views:
            self._views[view] = AtVisit(self._yard, partial(stills, view=view), self._worker)
        try:
            return self._views[view].found()
        except WrongYardError as error:
            return {"mistake": str(error)}


class StillsHandler(RequestHandler):
    """Answers with a view's stills as JSON, an empty answer (202) while they are being drawn."""

    def initialize(self, asked: AskedStills) -> None:
        """Whose stills."""
        self._asked = asked

    def get(self, view: str) -> None:
        """The stills of a view, by its number."""
        self.set_header("Cache-Control", "no-store")
        drawn = self._asked.of(int(view))
        if drawn is None:
            self.set_status(202)
        else:
            self.write(drawn)
