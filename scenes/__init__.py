"""What is on the site: the document, the ground, and the place of everything.

yard = scenes.load("hillside.toml")
terrain = scenes.grade(yard)
layout = scenes.lay_out(yard, terrain)

Each name is loaded when it is first asked for: who only wants the error class does not wait
for scipy.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from scenes.errors import SceneError
    from scenes.layout import Layout, lay_out
    from scenes.reading import load
    from scenes.terrain import Terrain, grade

__all__ = ["Layout", "SceneError", "Terrain", "grade", "lay_out", "load"]

_HOME = {
    "SceneError": "scenes.errors",
    "Layout": "scenes.layout",
    "lay_out": "scenes.layout",
    "load": "scenes.reading",
    "Terrain": "scenes.terrain",
    "grade": "scenes.terrain",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
