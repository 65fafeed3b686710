"""A yard graded, laid out and grown, from its document alone."""

import growth
import scenes
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.terrain import Terrain


def grown(yard: Yard) -> tuple[Terrain, Layout, Stand]:
    """The ground, the place of everything, and every plant through the years.

    Raises SceneError or GrowthError for a wrong document.
    """
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return terrain, layout, growth.grow(yard, layout)
