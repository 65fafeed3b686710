"""Whether a survey lies over its lot; where it does not, the likely cause.

Tried in turn: another unit, the coordinates the wrong way round, a forgotten origin. A survey
that does lie over the lot is refused only when another unit would fit the lot closely, this
one does not, and neither file nor document says the unit in so many words: writing
`survey_lengths` then settles it, whichever unit it is.
"""

from collections.abc import Iterator

import shapely
from shapely.affinity import affine_transform, scale
from shapely.geometry import Polygon

from scenes.document import Yard
from scenes.errors import Mistake
from scenes.lattice import Array
from scenes.lengths import METRES

FITS = 0.8
MISFITS = 0.3
"""Area in common over area together: from FITS on one outline, below MISFITS two;
no outside source."""

OTHER_UNITS = ("m", "ft", "in", "cm", "mm")
MIRROR = [0, 1, 1, 0, 0, 0]


def misplaced(yard: Yard, points_m: Array, *, unit: str, settled: bool) -> Iterator[Mistake]:
    """What is wrong with where the survey, read in `unit`, lies: one mistake or none.

    `settled`: the file or the document says the unit in so many words.
    """
    if not len(points_m):
        return
    lot = Polygon(yard.site.boundary)
    hull = shapely.MultiPoint(points_m[:, :2]).convex_hull
    apart = not lot.intersects(hull)
    other = None if settled else _better_unit(lot, hull, unit, alike=MISFITS if apart else FITS)
    if other is not None and (apart or _alike(lot, hull) < MISFITS):
        wrong = f"read in {unit} the survey does not fit the boundary, in {other} it would"
        remedy = f'write survey_lengths = "{other}", or "{unit}" if that is right'
        yield Mistake("ground.survey_lengths", wrong, remedy)
    elif apart:
        yield _apart(yard, points_m, lot, hull, unit)


def _apart(yard: Yard, points_m: Array, lot: Polygon, hull: Polygon, unit: str) -> Mistake:
    wrong = f"the survey lies {lot.distance(hull) / METRES[yard.lengths]:,.4g} {yard.lengths}"
    if _alike(lot, affine_transform(hull, MIRROR)) > MISFITS:
        remedy = "x and y (easting and northing) seem to be swapped, correct the columns"
        return Mistake("ground.survey", f"{wrong} from the boundary", remedy)
    x, y = (points_m[:, :2].min(axis=0) + yard.site.origin[:2]) / METRES[unit]
    remedy = (
        f"write the survey's coordinates of the yard's 0, 0, 0 (the survey begins at "
        f"{x:.10g}, {y:.10g}), or correct the boundary"
    )
    return Mistake("site.origin", f"{wrong} from the boundary", remedy)


def _better_unit(lot: Polygon, hull: Polygon, unit: str, *, alike: float) -> str | None:
    """The unit, if any, in which the survey's outline would be more than `alike` the lot's."""
    for other in OTHER_UNITS:
        times = METRES[other] / METRES[unit]
        scaled = scale(hull, times, times, origin=(0, 0))
        if abs(times - 1) > 0.01 and _alike(lot, scaled) > alike:
            return other
    return None


def _alike(lot: Polygon, other: Polygon) -> float:
    return float(lot.intersection(other).area / lot.union(other).area)
