"""A second yard beside the first on one page: two schemes for one lot.

One camera serves both pictures and stands in yard coordinates, so that both yards must lie on
the same lot: in plan, and at about the same level. Rows of figures are paired by their names;
what only the second yard has is told by name.
"""

from pathlib import Path
from typing import Any

import numpy as np
from shapely.geometry import Polygon

from scenes.document import Yard
from scenes.errors import Mistake, scene_error
from viz.content import range_data, value_id
from viz.rows import Row, rows
from viz.sent import parts_of
from viz.shown import Shown
from viz.units import length_text

LEAST_COMMON = 0.8
"""Share of the ground of both lots together that they must have in common."""

MOST_APART_M = 5.0
"""The middle levels of both grounds may differ by this much."""


def check_lots(first: Yard, second: Yard, *, files: tuple[Path, Path]) -> None:
    """Raise SceneError where one camera could not show both lots."""
    one, other = Polygon(first.site.boundary), Polygon(second.site.boundary)
    common = one.intersection(other).area / one.union(other).area
    if common < LEAST_COMMON:
        wrong = f"has {round(100 * common)} % of its ground in common with the lot of {files[0]}"
        remedy = (
            "two yards are shown by one camera in yard coordinates: "
            "write both for the same lot and the same 0, 0, 0"
        )
        raise scene_error(str(files[1]), [Mistake("site.boundary", wrong, remedy)])


def check_levels(first: Shown, second: Shown, *, files: tuple[Path, Path]) -> None:
    """Raise SceneError where one ground lies far above the other."""
    levels = [float(np.median(ready.stage.ground.points[:, 2])) for ready in (first, second)]
    apart_m = levels[1] - levels[0]
    if abs(apart_m) > MOST_APART_M:
        side = "above" if apart_m > 0 else "below"
        apart = length_text(abs(apart_m), lengths=second.yard.lengths)
        wrong = f"lies {apart} {side} the ground of {files[0]}"
        remedy = "two yards are shown by one camera: give both the same zero of levels"
        raise scene_error(str(files[1]), [Mistake("ground", wrong, remedy)])


def second_yard(first: Shown, second: Shown) -> dict[str, Any]:
    """What the page needs of the second yard: title, parts of the picture, courses, the rest."""
    mine, theirs = rows(first.findings), rows(second.findings)
    names = {row.name for row in mine}
    return {
        "title": second.yard.title,
        "parts": parts_of(second.stage),
        "courses": paired(mine, theirs),
        "only": [row.name for row in theirs if row.name not in names],
    }


def paired(mine: tuple[Row, ...], theirs: tuple[Row, ...]) -> dict[str, dict[str, list[float]]]:
    """Courses of the second yard by the ids of those of the first that have the same names."""
    found = {}
    for number, row in enumerate(mine):
        twin = next((each for each in theirs if each.name == row.name), None)
        for course in row.courses:
            courses = twin.courses if twin else ()
            same = [each for each in courses if each.season == course.season] or courses[:1]
            if same:
                found[value_id(number, course.season)] = range_data(same[0].fraction)
    return found
