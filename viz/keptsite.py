"""Ground and layout of one document after another, made anew only where an edit reaches them.

Plants, beds, spray heads and requirements leave the ground as it is; plants and
requirements leave everything else where it stands. `files` is whatever tells the files that the
document names from those of another time, as `viz.watching` looks at them.
"""

from typing import Any

import scenes
from scenes.document import Yard
from scenes.layout import Layout, replanted
from scenes.terrain import Terrain

OFF_THE_GROUND = ("planting", "requirement", "bed", "head")
"""Tables that the ground does not depend on, so that it is graded anew for others alone."""

OFF_THE_SITE = ("planting", "requirement")


class KeptSite:
    """The last ground and the last layout without plants, with what they were made of."""

    _graded: tuple[Any, Terrain] | None = None
    _bare: tuple[Any, Layout] | None = None

    def terrain(self, yard: Yard, files: Any) -> Terrain:
        """The ground of a yard, before and after grading."""
        made_of = _without(yard, OFF_THE_GROUND), files
        if self._graded is None or self._graded[0] != made_of:
            self._graded = made_of, scenes.grade(yard)
        return self._graded[1]

    def layout(self, yard: Yard, terrain: Terrain, files: Any) -> Layout:
        """Where everything of a yard stands on its ground."""
        made_of = _without(yard, OFF_THE_SITE), files
        if self._bare is None or self._bare[0] != made_of:
            self._bare = made_of, scenes.lay_out(yard, terrain)
        return replanted(yard, terrain, self._bare[1])


def _without(yard: Yard, tables: tuple[str, ...]) -> Yard:
    return yard.model_copy(update=dict.fromkeys(tables, ()))
