"""The plan under the hand as plain data: the yard from straight above, for a page that edits it.

Areas and lines are drawn as the document lays them out, plants at their expected spread of each
year; every plant carries the table of the document it comes from and its number there, so that
an edit can name it. Metres, x and y as in the document; nothing here is computed about growth.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from growth.plants import Plant
from growth.stand import Stand
from scenes.bedlines import bed_outline
from scenes.document import Planting, Structure, View, Yard
from scenes.layout import Layout, Source
from scenes.lengths import METRES
from scenes.points import SAME_POINT_M
from scenes.sighttriangles import sight_shapes
from scenes.written import STEPS
from viz.builtoutlines import built_outline
from viz.units import imperial

MARGIN_M = 3.0
"""Ground shown round the lot."""

REACH_M = 25.0
"""What stands farther outside the lot than this does not widen the plan."""

METER_M = 0.3
"""Radius drawn for a meter whose clearance is not written."""


@dataclass(frozen=True)
class Drawn:
    """A yard laid out and grown, ready to be drawn from above."""

    yard: Yard
    layout: Layout
    stand: Stand


def hand_plan(drawn: Drawn) -> dict[str, Any]:
    """All that the plan shows, as mappings, lists and arrays."""
    yard = drawn.yard
    feet = imperial(yard.lengths)
    return {
        "unit": "ft" if feet else "m",
        "unit_m": METRES["ft"] if feet else 1.0,
        "step_m": STEPS[yard.lengths] * METRES[yard.lengths],
        "north_deg": yard.site.north_deg,
        "bounds": _bounds_m(yard),
        "areas": list(_areas(drawn)),
        "lines": list(_lines(yard)),
        "zones": [
            {"name": zone.tree, "at": list(zone.at), "radius": zone.radius_m}
            for zone in drawn.layout.root_zones
        ],
        "beds": list(_beds(yard)),
        "heads": list(_heads(yard)),
        "views": list(_views(yard, drawn.layout)),
        "tables": list(_tables(drawn.layout)),
        "kinds": [_kind(plant) for plant in drawn.stand.plants],
        **_plants(drawn),
    }


def _bounds_m(yard: Yard) -> list[float]:
    """West, south, east and north of what is shown: the lot, with what stands near it."""
    lot = Polygon(yard.site.boundary)
    near = lot.buffer(REACH_M)
    eyes = [np.atleast_2d(view.eye) for view in yard.view if view.eye is not None]
    points = [shapely.Point(at) for eye in eyes for at in eye]
    shown = shapely.union_all([lot, *(at for at in points if near.contains(at))])
    west, south, east, north = shown.bounds
    return [west - MARGIN_M, south - MARGIN_M, east + MARGIN_M, north + MARGIN_M]


def _area(kind: str, name: str, place: str, outline: BaseGeometry) -> dict[str, Any]:
    rings = [
        np.asarray(ring.coords)[:, :2].astype(np.float32).ravel()
        for part in getattr(outline, "geoms", [outline])
        if isinstance(part, Polygon) and not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]
    return {"kind": kind, "name": name, "place": place, "rings": rings}


def _areas(drawn: Drawn) -> Iterator[dict[str, Any]]:
    """What lies on the ground, the largest first, then what stands on it, then sight triangles."""
    yard, layout = drawn.yard, drawn.layout
    yield _area("lot", "", "", Polygon(yard.site.boundary))
    flat = [("bed", bed.name, f"bed[{k}]", bed_outline(bed)) for k, bed in enumerate(yard.bed, 1)]
    flat += [
        (surface.kind, surface.name, f"surface[{k}]", surface.outline)
        for k, surface in enumerate(layout.surfaces, 1)
    ]
    for kind, name, place, outline in sorted(flat, key=lambda each: -each[3].area):
        yield _area(kind, name, place, outline)
    for k, structure in enumerate(yard.structure, 1):
        outline = built_outline(structure, layout)
        if outline is not None:
            yield _area("built", structure.name, f"structure[{k}]", outline)
    for k, sight in enumerate(sight_shapes(yard), 1):
        yield _area("sight", sight.name, f"sight[{k}]", sight.area)


def _lines(yard: Yard) -> Iterator[dict[str, Any]]:
    for structure in yard.structure:
        if structure.line is not None:
            yield _line(_line_kind(structure), structure.name, LineString(structure.line))
        if structure.kind == "meter" and structure.at is not None:
            kept_clear = shapely.Point(structure.at).buffer(structure.clear or METER_M)
            yield _line("meter", structure.name, LineString(kept_clear.exterior))
        for opening in structure.opening:
            yield _line(opening.kind, opening.name, LineString([opening.from_, opening.to]))
    for street in yard.street:
        yield _line("curb", street.name, LineString(street.curb))


def _line_kind(structure: Structure) -> str:
    return "overhead" if structure.kind == "line" else structure.kind


def _line(kind: str, name: str, line: LineString) -> dict[str, Any]:
    points = np.asarray(line.coords)[:, :2].astype(np.float32).ravel()
    return {"kind": kind, "name": name, "points": points}


def _beds(yard: Yard) -> Iterator[dict[str, Any]]:
    """Points of every bed's edge as edits number them: a first one repeated as the last is one."""
    for k, bed in enumerate(yard.bed, 1):
        closed = len(bed.edge) > 1 and math.dist(bed.edge[0], bed.edge[-1]) < SAME_POINT_M
        points = bed.edge[:-1] if closed else bed.edge
        yield {"place": f"bed[{k}]", "name": bed.name, "points": np.ravel(points).tolist()}


def _heads(yard: Yard) -> Iterator[dict[str, Any]]:
    for k, head in enumerate(yard.head, 1):
        yield {
            "place": f"head[{k}]", "name": head.name, "at": list(head.at),
            "throw": head.throw, "arc": list(head.arc), "riser": head.riser,
        }  # fmt: skip


def _views(yard: Yard, layout: Layout) -> Iterator[dict[str, Any]]:
    """Eyes with the panels they look at, as far as those are computed."""
    looks = {look.name: look for look in layout.looks}
    for k, view in enumerate(yard.view, 1):
        look = looks.get(view.name)
        if look is not None:
            yield {
                "place": f"view[{k}]", "name": view.name, "purpose": view.purpose,
                "eye": look.eye_m[:2].tolist(), "panel": look.panel_m[:2, :2].ravel().tolist(),
                "single": view.eye is not None and np.ndim(view.eye) == 1,
                "eye_height": view.eye_height, "target": _written_panel(view),
            }  # fmt: skip


def _written_panel(view: View) -> dict[str, Any] | None:
    """The panel a view looks at as the document writes it; None where it names a thing."""
    panel = view.target
    if isinstance(panel, str):
        return None
    return {
        "from": list(panel.from_), "to": list(panel.to), "low": panel.low, "high": panel.high,
    }  # fmt: skip


def _tables(layout: Layout) -> Iterator[dict[str, Any]]:
    """The tables of the document that hold plants, in the layout's order."""
    places = list(dict.fromkeys(source.place for source in layout.sources))
    for place in places:
        sources = [source for source in layout.sources if source.place == place]
        first = sources[0]
        yield {
            "place": place,
            "name": first.name,
            "plants": [source.plant for source in sources],
            "kept": first.kept is not None,
            "how": _how(first),
            "size": _size(first.planting),
        }


def _how(source: Source) -> str:
    """How the table places its plants, as a person says it."""
    table = source.planting or source.kept
    assert table is not None
    if table.fill is not None:
        return f"filling {table.fill}"
    return "in a row" if table.along is not None else "each at its point"


def _size(planting: Planting | None) -> str:
    return (planting.size if planting else None) or ""


def _kind(plant: Plant) -> Mapping[str, Any]:
    return {
        "name": plant.name, "common": plant.common, "colour": plant.colour_leaf,
        "mature": sum(plant.spread_m) / 2, "type": plant.kind,
    }  # fmt: skip


def _plants(drawn: Drawn) -> dict[str, Any]:
    """Every plant's place, table, number there and kind; its spreads by one of few courses."""
    layout, stand = drawn.layout, drawn.stand
    places = list(dict.fromkeys(source.place for source in layout.sources))
    table_of = np.array([places.index(source.place) for source in layout.sources], dtype=np.uint16)
    table = table_of[layout.source]
    number = np.arange(len(table)) - np.searchsorted(table, table)
    order = np.argsort(table, kind="stable")
    assert np.array_equal(order, np.arange(len(table))), "plants come table after table"
    sizes = stand.spread_m
    ends = np.concatenate([sizes.low, sizes.expected, sizes.high]).astype(np.float32)
    courses, course = np.unique(ends * np.tile(stand.present, (3, 1)), axis=1, return_inverse=True)
    low, expected, high = np.split(courses, 3)
    return {
        "plants": {
            "x": layout.xyz_m[:, 0].astype(np.float64),
            "y": layout.xyz_m[:, 1].astype(np.float64),
            "table": table,
            "number": number.astype(np.uint32),
            "kind": stand.plant.astype(np.uint16),
            "course": course.ravel().astype(np.uint16),
        },
        "spreads": {
            "years": len(stand.years),
            "low": low.T.ravel(),
            "expected": expected.T.ravel(),
            "high": high.T.ravel(),
        },
    }
