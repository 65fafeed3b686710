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
            return [_sheet(planned, view, draw, telling) for view in views], ""
    except ShowError as error:
        return [], str(error)


def _sheet(
    planned: Planned, view: Eye, draw: Callable[[Any], Pixels], telling: Callable[[str], object]
) -> dict[str, Any]:
    from viz.stills import tableaux

    yard, stand = planned.yard, planned.stand
    years = tuple(year for year in SHEET_YEARS if year <= stand.years[-1])
    month = summer_month(yard.site)
    hour = usual_hour(yard.site, view.eye_m, view.focal_m, month=month)
    asked = Asked(years, view.name, month, hour, 2 * PICTURE_PX)
    pictures: list[dict[str, str]] = []
    for shown in tableaux(yard, planned.terrain, planned.layout, stand, view, asked):
        year = years[len(pictures)]
        telling(f"Drawing {view.name}, year {year} ...")
        words = caption(stand, year)
        pictures.append({"image": jpeg(draw(shown)), "caption": words})
    return {
        "view": view.name,
        "heading": heading(yard, planned.terrain, view, asked).removeprefix(f"{view.name}; "),
        "pictures": pictures,
    }


def jpeg(pixels: Pixels) -> str:
    """A picture (rows, columns, 3) as the address of a JPEG that holds it."""
    out = BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=QUALITY)
    return f"data:image/jpeg;base64,{b64encode(out.getvalue()).decode()}"
