"""The ground of a planting plan: areas by material, contours, buildings, lines and safety.

Materials differ by pattern, so that a copy in black and white still tells them apart.
Contours of the existing ground are dashed; those of the proposed ground whole, and drawn only
where grading moves it.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Structure, Yard
from scenes.layout import Layout
from scenes.lengths import METRES
from scenes.sighttriangles import sight_shapes
from scenes.terrain import Terrain
from viz.builtoutlines import built_outline
from viz.contours import ROUND, Contours, contours
from viz.planmarks import GREY, Area, Array, Line, Mark, Words, width_of
from viz.plansheet import Frame
from viz.units import imperial

MATERIALS = {
    "lawn": ("#eef4e4", ""),
    "walk": ("#f1ece4", "++"),
    "patio": ("#efe6da", "xx"),
    "drive": ("#e6e6e6", "\\\\"),
    "deck": ("#eddfc8", "|||"),
    "gravel": ("#f3f0ea", "ooo"),
    "water": ("#dcebf5", "---"),
    "ramp": ("#f1ece4", "//"),
    "steps": ("#f1ece4", "----"),
    "bed": ("#f5f1e6", ".."),
    "building": ("#d4d4d4", "////"),
}
"""Fill and pattern of each material."""

STROKES: dict[str, tuple[float, tuple[float, ...]]] = {
    "property": (0.9, (9.0, 1.6, 1.6, 1.6, 1.6, 1.6)),
    "existing contour": (0.18, (1.6, 1.0)),
    "proposed contour": (0.18, ()),
    "root zone": (0.35, (0.6, 0.9)),
    "throw": (0.25, (2.0, 0.8, 0.4, 0.8)),
    "sight triangle": (0.35, (3.0, 1.0)),
    "overhead line": (0.35, (6.0, 1.5, 0.7, 1.5)),
}
"""Width and dashes of lines that the key explains, in mm."""

MOVED_M = 0.02
MOST_LINES = 14
TURN = np.linspace(0, 2 * np.pi, 73)
ROUND_1 = np.column_stack([np.cos(TURN), np.sin(TURN)])


def ground_marks(yard: Yard, terrain: Terrain, layout: Layout, frame: Frame) -> Iterator[Mark]:
    """Everything under the plants."""
    yield from _flat(layout, frame)
    yield from _contours(yard, terrain, frame)
    yield from _built(yard, layout, frame)
    yield from _safety(yard, layout, frame)
    lot = frame.mm(np.array(yard.site.boundary))
    yield _outlined("property", (lot,))
    for street in yard.street:
        yield Line("curb", frame.mm(np.array(street.curb)), 0.6, (), GREY)


def rings(outline: BaseGeometry, frame: Frame) -> tuple[Array, ...]:
    """The rings of an area on the sheet."""
    return tuple(
        frame.mm(np.asarray(ring.coords)[:, :2])
        for part in getattr(outline, "geoms", [outline])
        if isinstance(part, Polygon) and not part.is_empty
        for ring in (part.exterior, *part.interiors)
    )


def _outlined(role: str, on: tuple[Array, ...]) -> Area:
    edge, dash = STROKES[role]
    return Area(role, on, edge=edge, dash=dash)


def area_of(material: str, on: tuple[Array, ...]) -> Iterator[Mark]:
    """An area in its material's fill and pattern."""
    fill, hatch = MATERIALS[material]
    yield Area(material, on, fill=fill)
    if hatch:
        yield Area(f"{material} pattern", on, hatch=hatch, colour="#b5b5b5")
    yield Area(f"{material} edge", on, edge=0.25, colour=GREY)


def _flat(layout: Layout, frame: Frame) -> Iterator[Mark]:
    flat = [("bed", bed.outline) for bed in layout.beds]
    flat += [(surface.kind, surface.outline) for surface in layout.surfaces]
    for kind, outline in sorted(flat, key=lambda each: -each[1].area):
        yield from area_of(kind, rings(outline, frame))


def _contours(yard: Yard, terrain: Terrain, frame: Frame) -> Iterator[Mark]:
    unit = METRES["ft"] if imperial(yard.lengths) else 1.0
    relief = float(np.ptp(terrain.before_m)) / unit
    step = next((each for each in ROUND if relief / each <= MOST_LINES), ROUND[-1])
    nodes = terrain.lattice.nodes_m()
    x, y = nodes[0, :, 0], nodes[:, 0, 1]
    lot = Polygon(yard.site.boundary)
    moved = np.abs(terrain.after_m - terrain.before_m) > MOVED_M
    yield from _levels(
        contours(x, y, terrain.before_m, interval_m=step * unit), lot, frame, step, dashed=True
    )
    if moved.any():
        graded = np.ma.masked_array(terrain.after_m, ~moved)
        found = contours(x, y, graded, interval_m=step * unit)
        yield from _levels(found, lot, frame, step, dashed=False)


def _levels(
    found: Contours, lot: Polygon, frame: Frame, step: float, *, dashed: bool
) -> Iterator[Mark]:
    role = "existing contour" if dashed else "proposed contour"
    thick, dash = STROKES[role]
    colour = "#8a7350" if dashed else "#5b4420"
    for line, level in zip(found.lines_m, found.level, strict=True):
        if len(line) < 2:
            continue
        inside = shapely.intersection(LineString(line), lot)
        for part in getattr(inside, "geoms", [inside]):
            if not isinstance(part, LineString) or frame.size(part.length) < 2:
                continue
            yield Line(role, frame.mm(np.asarray(part.coords)), thick, dash, colour)
            if frame.size(part.length) > 22:
                text = f"({level * step:g})" if dashed else f"{level * step:g}"
                share = 0.06 if dashed else 0.5
                at = part.interpolate(share, normalized=True)
                place = frame.mm(np.array([[at.x, at.y]]))[0]
                yield Words("level", text, (place[0], place[1]), 1.6, "center", backed=True)


def _built(yard: Yard, layout: Layout, frame: Frame) -> Iterator[Mark]:
    for structure in yard.structure:
        outline = built_outline(structure, layout)
        if outline is not None:
            on = rings(outline, frame)
            yield from area_of("building", on)
            yield Area(structure.kind, on, edge=0.6)
            yield from _name(structure, shapely.transform(outline, frame.mm), frame)
        if structure.line is not None:
            yield from _wall(structure, frame)
        if structure.kind == "meter":
            at = frame.mm(np.array([structure.at]))[0]
            yield Area("meter", (at + 1.0 * _square(),), fill="#ffffff", edge=0.3)
        for opening in structure.opening:
            way = frame.mm(np.array([opening.from_, opening.to]))
            yield Line(opening.kind, way, 1.1, (), "#ffffff")
            yield Line(opening.kind, way, 0.2 if opening.kind == "window" else 0.35)


def _name(structure: Structure, on: BaseGeometry, frame: Frame) -> Iterator[Mark]:
    west, south, east, north = frame.window
    window = shapely.box(west, south + frame.low, east, north)
    seen = on.intersection(window)
    if not seen.is_empty and seen.area > 40:
        at = seen.representative_point()
        size = min(2.6, 0.85 * (seen.bounds[2] - seen.bounds[0]) / width_of(structure.name, 1.0))
        yield Words("name", structure.name, (at.x, at.y), size, "center", backed=True)


def _wall(structure: Structure, frame: Frame) -> Iterator[Mark]:
    on = frame.mm(np.array(structure.line))
    if structure.kind == "line":
        yield Line("overhead line", on, *STROKES["overhead line"])
    elif structure.kind == "fence":
        yield Line("fence", on, 0.25)
        path = LineString(on)
        for along in np.arange(2.0, path.length, 5.0):
            at = path.interpolate(along)
            place = np.array([at.x, at.y])
            for turn in (np.array([0.6, 0.6]), np.array([0.6, -0.6])):
                yield Line("fence", np.array([place - turn, place + turn]), 0.2)
    else:
        width = max(frame.size(structure.thickness or 0.2), 0.6)
        yield Line("wall", on, width, (), "#222222")


def _safety(yard: Yard, layout: Layout, frame: Frame) -> Iterator[Mark]:
    for sight in sight_shapes(yard):
        on = rings(sight.area, frame)
        yield Area("sight triangle", on, hatch="..", colour="#999999")
        yield _outlined("sight triangle", on)
    for zone in layout.root_zones:
        middle = frame.mm(np.array([zone.at]))[0]
        ring = middle + frame.size(zone.radius_m) * ROUND_1
        yield _outlined("root zone", (ring,))
    for head in yard.head:
        yield from _head(head.at, head.throw, head.arc, frame)


def _head(
    at: tuple[float, float], throw: float, arc: tuple[float, float], frame: Frame
) -> Iterator[Mark]:
    """A spray head, and the edge of what it wets; azimuths run clockwise from north."""
    middle = frame.mm(np.array([at]))[0]
    sweep = (arc[1] - arc[0]) % 360 or 360.0
    angle = np.radians(arc[0] + sweep * np.linspace(0, 1, 37))
    edge = middle + frame.size(throw) * np.column_stack([np.sin(angle), np.cos(angle)])
    whole = edge if sweep == 360 else np.concatenate([[middle], edge, [middle]])
    yield Line("throw", whole, *STROKES["throw"], "#2a5f8a")
    disc = np.array(Point(*middle).buffer(0.8).exterior.coords)
    yield Area("spray head", (disc,), fill="#ffffff", edge=0.3, colour="#2a5f8a")


def _square() -> Array:
    return np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
