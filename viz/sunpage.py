"""What a served page asks for when it is first looked at, as JSON: the light at spots and plants.

Each is reckoned in a process of its own by the function `reckoned` of a module that is loaded
there alone, for it takes seconds.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from importlib import import_module
from typing import Any

from tornado.web import RequestHandler

from viz.atvisit import AtVisit
from viz.errors import WrongYardError


def reckoned(yard: Any, module: str) -> dict[str, Any]:
    """What a module reckons of a yard."""
    layer: dict[str, Any] = import_module(module).reckoned(yard)
    return layer


class AskedLayer:
    """What is reckoned of one yard when first asked for, and kept."""

    def __init__(self, yard: Callable[[], bytes], module: str) -> None:
        """`yard` gives the yard as it stands, pickled; another one than before is reckoned anew."""
        self._found = AtVisit(yard, partial(reckoned, module=module))
        self.close = self._found.close

    def layer(self) -> dict[str, Any] | None:
        """What was reckoned, or what is wrong as `mistake`; None while it is being reckoned."""
        try:
            return self._found.found()
        except WrongYardError as error:
            return {"mistake": str(error)}


class LayerHandler(RequestHandler):
    """Answers with a layer as JSON, an empty answer (202) while it is being reckoned."""

    def initialize(self, asked: AskedLayer) -> None:
        """Whose layer."""
        self._asked = asked

    def get(self) -> None:
        """The layer as far as it is known."""
        self.set_header("Cache-Control", "no-store")
        layer = self._asked.layer()
        if layer is None:
            self.set_status(202)
        else:
            self.write(layer)
