"""Stills of one view at the years of a sheet, for a page whose browser can draw no picture.

They are those of `yardyears still`, in the light usual for the view, drawn by its process. Where
no graphics library can be used the reason is told instead, with the package that mends it.
"""

from __future__ import annotations

from typing import Any

from scenes.document import Yard
from viz.errors import ShowError
from viz.grown import grown
from viz.stillprocess import drawing
from viz.stills import views_of
from viz.yearsheets import year_sheet

PICTURE_PX = 960


def view_stills(yard: Yard, view: int) -> dict[str, Any]:
    """The sheet of a view, by its number as the page has it, from the document alone; or
    `mistake`, a line that says why there is none. Raises SceneError or GrowthError for a wrong
    yard."""
    try:
        with drawing() as draw:  # opens its graphics library while the yard grows
            terrain, layout, stand = grown(yard)
            views = views_of(yard, terrain, layout, stand)
            if view >= len(views):
                return {"mistake": f"view {view} is none of this yard; it has {len(views)}"}
            parts = yard, terrain, layout, stand
            return year_sheet(*parts, views[view], draw, picture_px=PICTURE_PX)
    except ShowError as error:
        return {"mistake": str(error).removeprefix("still: ")}
