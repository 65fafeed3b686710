"""What is on the site: the document, the ground, and the place of everything.

yard = scenes.load("hillside.toml")
terrain = scenes.grade(yard)
layout = scenes.lay_out(yard, terrain)
"""

from scenes.errors import SceneError
from scenes.layout import Layout, lay_out
from scenes.reading import load
from scenes.terrain import Terrain, grade

__all__ = ["Layout", "SceneError", "Terrain", "grade", "lay_out", "load"]
