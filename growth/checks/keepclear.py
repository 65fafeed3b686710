"""What plants have to keep clear of: walls, eaves, windows, ways, wires, meters, the lot line.

Each thing is a shape in plan with a band of levels and, for some, a distance kept round it.
Levels are above the ground at the thing's nearest point, or above one datum for what belongs
to a house.

Source: headroom of 7.5 ft over walks and 12 ft over drives, a sample contract (kipdf.com);
10 ft from overhead lines unless qualified (Flathead Electric, TCIA). The depth kept free in
front of a window, 3 ft, the height of a meter, 6 ft, and the 3 ft that thorny plants stay
back from ways are common practice. Local rules vary.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Structure, Yard
from scenes.layout import Layout
from scenes.lengths import METRES, both_units
from scenes.roofs import OVERHANG_M

FOOT_M = METRES["ft"]

WALK_HEADROOM_M, DRIVE_HEADROOM_M = 7.5 * FOOT_M, 12 * FOOT_M
"""A sample contract (kipdf.com)."""

LINE_CLEAR_M = 10 * FOOT_M
"""Flathead Electric, and TCIA: for all who are not qualified to work near lines."""

WINDOW_DEPTH_M, THORNS_M, METER_HEIGHT_M = 3 * FOOT_M, 3 * FOOT_M, 6 * FOOT_M
"""Common practice."""

ANY_HEIGHT_M = 1000.0
"""Farther up or down than any plant reaches."""

HEADROOM_M = {
    "walk": WALK_HEADROOM_M,
    "ramp": WALK_HEADROOM_M,
    "steps": WALK_HEADROOM_M,
    "patio": WALK_HEADROOM_M,
    "drive": DRIVE_HEADROOM_M,
}
"""Kinds of surface that people or cars use, and the height kept free over them."""

CLEAR_WORDS = (
    f"Clearance keeps {both_units(WALK_HEADROOM_M)} free over walks and "
    f"{both_units(DRIVE_HEADROOM_M)} over drives, {both_units(WINDOW_DEPTH_M)} in front of windows "
    f"and doors, {both_units(LINE_CLEAR_M)} below and beside lines, and thorny plants "
    f"{both_units(THORNS_M)} back from ways; local rules vary."
)


@dataclass(frozen=True)
class Keep:
    """A thing to keep clear of: its shape in plan, its band of levels, the distance round it.

    `datum_m` is None where levels are above the ground at the nearest point of the thing, or
    of `levels_of` (a curb).
    """

    of: str
    what: str  # wall | eave | window | door | walk ... drive | line | meter | lot line
    shape: BaseGeometry
    low_m: float
    high_m: float
    round_m: float = 0.0
    datum_m: float | None = None
    levels_of: BaseGeometry | None = None

    @property
    def name(self) -> str:
        """Its name for people, like 'house, eave'."""
        return self.of if self.what in (self.of, "") else f"{self.of}, {self.what}"


def keeps(yard: Yard, layout: Layout) -> tuple[Keep, ...]:
    """Everything in the yard that plants have to keep clear of; a bed within a way is no way."""
    beds = shapely.union_all([bed.outline for bed in layout.beds])
    built = (keep for structure in yard.structure for keep in _of_structure(structure))
    ways = (
        Keep(surface.name, surface.kind, outline, 0.0, HEADROOM_M[surface.kind])
        for surface in layout.surfaces
        if surface.kind in HEADROOM_M
        for outline in [shapely.difference(surface.outline, beds)]
        if not outline.is_empty
    )
    edge = Polygon(yard.site.boundary).exterior
    return (*built, *ways, Keep("lot line", "lot line", edge, 0.0, ANY_HEIGHT_M))


def _of_structure(structure: Structure) -> Iterator[Keep]:
    name, height_m = structure.name, structure.height or 0.0
    if structure.kind in ("house", "garage", "shed"):
        yield from _of_building(structure)
    elif structure.kind == "box":
        yield Keep(name, "wall", Polygon(structure.outline), 0.0, height_m)
    elif structure.kind in ("wall", "fence") and structure.line is not None:
        body = LineString(structure.line)
        yield Keep(name, structure.kind, body, 0.0, height_m, (structure.thickness or 0.0) / 2)
    elif structure.kind == "line" and structure.line is not None:
        low_m = height_m - LINE_CLEAR_M
        wires = LineString(structure.line)
        yield Keep(name, "line", wires, low_m, ANY_HEIGHT_M, LINE_CLEAR_M)
    elif structure.kind == "meter" and structure.at is not None:
        high_m = structure.height or METER_HEIGHT_M
        yield Keep(name, "meter", Point(structure.at), 0.0, high_m, structure.clear or 0.0)


def _of_building(structure: Structure) -> Iterator[Keep]:
    """Walls up to the eave, the eaves that stand out above them, windows and doors."""
    outline, floor_m, eave_m = Polygon(structure.outline), structure.floor, structure.eave or 0.0
    name = structure.name
    yield Keep(name, "wall", outline, -ANY_HEIGHT_M, eave_m, datum_m=floor_m)
    top_m = max(structure.ridge or 0.0, eave_m)
    eaves = outline.buffer(OVERHANG_M, join_style="mitre")
    yield Keep(name, "eave", eaves, eave_m, top_m, datum_m=floor_m)
    for opening in structure.opening:
        front = LineString([opening.from_, opening.to]).buffer(WINDOW_DEPTH_M, cap_style="flat")
        front = shapely.difference(front, outline)
        yield Keep(opening.name, opening.kind, front, opening.low, opening.high, datum_m=floor_m)
