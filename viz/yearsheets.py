"""Year sheets of a report: each view at years 0, 1, 5 and 15, as pictures inside the file.

The stills are those of `yardyears still`, drawn by its process, in the light usual for the view.
Where no graphics library can be used there are no pictures, and the reason is told instead.
"""

from base64 import b64encode
from collections.abc import Callable, Sequence
from io import BytesIO
from typing import Any

from PIL import Image

from growth.checks.working import Planned
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.terrain import Terrain
from viz.errors import ShowError
from viz.months import summer_month
from viz.stillprocess import Pixels, drawing
from viz.stillsun import usual_hour
from viz.stillwords import Asked, caption, heading
from viz.views import WHOLE_YARD, Eye

SHEET_YEARS = (0, 1, 5, 15)
PICTURE_PX, QUALITY = 720, 84


def shown_views(planned: Planned) -> tuple[str, ...]:
    """The document's views that have an eye; the whole yard where it has none."""
    named = tuple(view.name for view in planned.yard.view if view.eye is not None)
    return named or (WHOLE_YARD,)


def year_sheets(
    planned: Planned, names: Sequence[str], *, telling: Callable[[str], object]
) -> tuple[list[dict[str, Any]], str]:
    """The sheets of some views, and why there are none: "" where there are.

    Raises GrowthError where the yard has no view of a name.
    """
    from viz.stills import view_asked  # loads PyVista, half a second

    parts = (planned.yard, planned.terrain, planned.layout, planned.stand)
    views = [view_asked(*parts, name) for name in names]
    try:
        with drawing() as draw:
            sheets = [
                year_sheet(*parts, view, draw, picture_px=PICTURE_PX, telling=telling)
                for view in views
            ]
            return sheets, ""
    except ShowError as error:
        return [], str(error)


def year_sheet(
    yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, view: Eye,
    draw: Callable[[Any], Pixels], *, picture_px: int, telling: Callable[[str], object] = len,
) -> dict[str, Any]:  # fmt: skip
    """One view's name, its season and light in words, and a picture a year with its caption."""
    from viz.stills import tableaux

    years = tuple(year for year in SHEET_YEARS if year <= stand.years[-1])
    month = summer_month(yard.site)
    hour = usual_hour(yard.site, view.eye_m, view.focal_m, month=month)
    asked = Asked(years, view.name, month, hour, 2 * picture_px)
    pictures: list[dict[str, Any]] = []
    for shown in tableaux(yard, terrain, layout, stand, view, asked):
        year = years[len(pictures)]
        telling(f"Drawing {view.name}, year {year} ...")
        words = caption(stand, year)
        pictures.append({"year": year, "image": jpeg(draw(shown)), "caption": words})
    return {
        "view": view.name,
        "heading": heading(yard, terrain, view, asked).removeprefix(f"{view.name}; "),
        "pictures": pictures,
    }


def jpeg(pixels: Pixels) -> str:
    """A picture (rows, columns, 3) as the address of a JPEG that holds it."""
    out = BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=QUALITY)
    return f"data:image/jpeg;base64,{b64encode(out.getvalue()).decode()}"
