"""Rules on where things lie: outlines that cross themselves, plants outside, crowded spacing.

Points and lengths in the messages are in the document's own unit. An opening may lie up to
half a metre off its wall, for plans are drawn to the inner or the outer face.
"""

import math
import re
from collections.abc import Iterator, Mapping

import numpy as np
import shapely
from shapely.geometry import LinearRing, LineString, Point, Polygon

from scenes.document import Kept, Opening, Planting, Yard
from scenes.errors import Mistake
from scenes.lengths import METRES

PLANTS_MOST = 100_000
OFF_WALL_M = 0.5
ON_LINE_M = 0.001
THINNEST_SHARE = 1e-6
"""An outline whose hull is under this share of its length squared has no area."""

Ring = tuple[tuple[float, float], ...]


def outlines(yard: Yard) -> Iterator[tuple[str, Ring]]:
    """Every outline of the yard with its place, the boundary first."""
    yield "site.boundary", yard.site.boundary
    for table in ("grading", "surface", "structure"):
        for number, item in enumerate(getattr(yard, table), 1):
            if item.outline is not None:
                yield f"{table}[{number}].outline", item.outline
    for number, bed in enumerate(yard.bed, 1):
        yield f"bed[{number}].edge", bed.edge


def crossing_outlines(yard: Yard) -> Iterator[Mistake]:
    """Outlines without an area, and outlines that cross themselves, with where."""
    for place, ring in outlines(yard):
        if _is_flat(ring):
            yield Mistake(place, "all its points lie on one line", "give it an area")
            continue
        at = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(Polygon(ring)))
        if at:
            where = point_shown(yard, (float(at[1]), float(at[2])))
            yield Mistake(place, f"crosses or touches itself at {where}", "reorder its points")


def crossing_lines(yard: Yard) -> Iterator[Mistake]:
    """Lines along which ground is graded that cross themselves, with where."""
    for table in ("grading", "surface"):
        for number, item in enumerate(getattr(yard, table), 1):
            for key in ("centreline", "line"):
                line = LineString(getattr(item, key, None) or ())
                if not line.is_empty and not line.is_simple:
                    x, y = _crossing(line)
                    wrong = f"crosses itself at {point_shown(yard, (x, y))}"
                    yield Mistake(
                        f"{table}[{number}].{key}", wrong, "split it, or reorder its points"
                    )


def _crossing(line: LineString) -> tuple[float, float]:
    """A place where a line meets itself away from its own points, or a point it meets."""
    places = shapely.get_coordinates(shapely.node(line))
    own = {(x, y) for x, y in line.coords}
    met = [(float(x), float(y)) for x, y in places if (x, y) not in own]
    return met[0] if met else (float(line.coords[1][0]), float(line.coords[1][1]))


def points_outside(yard: Yard) -> Iterator[Mistake]:
    """Points of plantings, beds and drains that lie outside the boundary."""
    if not Polygon(yard.site.boundary).is_valid:
        return
    lot = Polygon(yard.site.boundary).buffer(ON_LINE_M)
    remedy = "move it inside or enlarge site.boundary"
    placed = list(_points_inside_the_lot(yard))
    inside = shapely.intersects_xy(lot, np.array([at for _, at in placed]).reshape(-1, 2))
    for (place, at), lies_inside in zip(placed, inside, strict=True):
        if not lies_inside:
            yield Mistake(place, f"{point_shown(yard, at)} lies outside the boundary", remedy)
    yield from _rows_outside(yard, lot)


def corners_there(yard: Yard) -> Iterator[Mistake]:
    """Sharp corners of beds whose number is not that of a point."""
    for number, bed in enumerate(yard.bed, 1):
        last = len(bed.edge) - 1
        for k, corner in enumerate(bed.corners, 1):
            if corner > last:
                wrong = f"{corner} is not the number of a point"
                remedy = f"the points are numbered 0 to {last}"
                yield Mistake(f"bed[{number}].corners[{k}]", wrong, remedy)


def openings_on_walls(yard: Yard) -> Iterator[Mistake]:
    """Openings off their structure's outline, without a width, or above its eave."""
    for number, structure in enumerate(yard.structure, 1):
        for k, opening in enumerate(structure.opening, 1):
            place = f"structure[{number}].opening[{k}]"
            if structure.outline is not None:
                yield from _off_wall(yard, opening, LinearRing(structure.outline), place)
            gable = structure.roof == "gable"
            if structure.eave is not None and opening.high > structure.eave and not gable:
                wrong = f"{length_shown(yard, opening.high)} is above the eave"
                remedy = f"write {length_shown(yard, structure.eave)} or less"
                yield Mistake(f"{place}.high", wrong, remedy)


def _off_wall(yard: Yard, opening: Opening, walls: LinearRing, place: str) -> Iterator[Mistake]:
    off = False
    for key, point in (("from", opening.from_), ("to", opening.to)):
        if walls.distance(Point(point)) > OFF_WALL_M:
            off = True
            wrong = f"{point_shown(yard, point)} is not on the outline"
            yield Mistake(f"{place}.{key}", wrong, "move it onto a wall")
    width = LineString([opening.from_, opening.to])
    if width.length < ON_LINE_M:
        yield Mistake(place, "from and to are the same point", "give it a width")
    elif not off and walls.distance(width.centroid) > OFF_WALL_M:
        yield Mistake(place, "from and to are on two walls", "keep it on one wall")


def crowded_plants(yard: Yard) -> Iterator[Mistake]:
    """Rows and fills of over 100,000 plants, with the spacing that would do; and the sum."""
    total = 0.0
    areas_m2 = {bed.name: Polygon(bed.edge).area for bed in yard.bed}
    for table in ("planting", "kept"):
        for number, plants in enumerate(getattr(yard, table), 1):
            count, at_most_m = _count(plants, areas_m2)
            total += count
            if count > PLANTS_MOST and at_most_m:
                spacing = length_shown(yard, plants.spacing)
                wrong = f"{spacing} makes about {count:,.0f} plants"
                needed = _rounded_up(at_most_m / METRES[yard.lengths])
                remedy = f"at most {PLANTS_MOST:,}: write {needed:g} {yard.lengths} or more"
                yield Mistake(f"{table}[{number}].spacing", wrong, remedy)
                return
    if total > PLANTS_MOST:
        wrong = f"about {total:,.0f} plants in all"
        yield Mistake("planting", wrong, f"at most {PLANTS_MOST:,}: widen the spacing")


def point_shown(yard: Yard, point: tuple[float, float]) -> str:
    """A point like (41.2, 8.0) in the document's own unit."""
    x, y = (round(value / METRES[yard.lengths], 3) + 0.0 for value in point)
    return f"({x}, {y})"


def length_shown(yard: Yard, metres: float) -> str:
    """A length like 2.5 ft in the document's own unit."""
    return f"{metres / METRES[yard.lengths]:.4g} {yard.lengths}"


def _is_flat(ring: Ring) -> bool:
    length_m = LinearRing(ring).length
    return bool(Polygon(ring).convex_hull.area < THINNEST_SHARE * length_m**2)


def _points_inside_the_lot(yard: Yard) -> Iterator[tuple[str, tuple[float, float]]]:
    """Points that have to lie inside the boundary, each with its place."""
    lines = [
        (f"planting[{number}].{key}", getattr(planting, key) or ())
        for number, planting in enumerate(yard.planting, 1)
        for key in ("at", "along")
    ]
    lines += [(f"bed[{number}].edge", bed.edge) for number, bed in enumerate(yard.bed, 1)]
    for place, points in lines:
        yield from ((f"{place}[{number}]", at) for number, at in enumerate(points, 1))
    for number, drain in enumerate(yard.drain, 1):
        yield f"drain[{number}].at", drain.at


def _rows_outside(yard: Yard, lot: Polygon) -> Iterator[Mistake]:
    """Rows whose points are all inside but that leave a boundary with a notch between them."""
    for number, planting in enumerate(yard.planting, 1):
        line = planting.along or ()
        if not line or not shapely.intersects_xy(lot, np.array(line)).all():
            continue
        outside = LineString(line).difference(lot)
        if not outside.is_empty:
            middle = outside.interpolate(0.5, normalized=True)
            wrong = f"the row leaves the boundary near {point_shown(yard, (middle.x, middle.y))}"
            yield Mistake(f"planting[{number}].along", wrong, "split it into two plantings")


def _count(plants: Planting | Kept, areas_m2: Mapping[str, float]) -> tuple[float, float | None]:
    """How many plants there will be about, and the least spacing in metres for the most."""
    if plants.at is not None:
        return float(len(plants.at) if isinstance(plants.at[0], tuple) else 1), None
    if plants.spacing is None:
        return 0.0, None
    if plants.along is not None:
        length_m = LineString(plants.along).length
        return length_m / plants.spacing, length_m / PLANTS_MOST
    area_m2 = areas_m2.get(plants.fill or "", 0.0)
    across = math.sqrt(area_m2) / plants.spacing
    return across * across, math.sqrt(area_m2 / PLANTS_MOST)


def _rounded_up(value: float) -> float:
    """The value to two figures, not below itself."""
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return math.ceil(value / step - 1e-9) * step
