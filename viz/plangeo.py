"""The plan as GeoJSON (RFC 7946): longitude and latitude in degrees, rings right-handed.

The yard's own 0, 0 is put at the document's latitude and longitude and its y axis turned to
north_deg; metres become degrees by the radii of the WGS 84 ellipsoid there. A place typed to
four decimals is known to some ten metres: shapes are true, their place on a map is as good as
the document's figures.
"""

import json
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon, mapping
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from scenes.document import Yard
from scenes.errors import Mistake, scene_error
from scenes.layout import Layout
from scenes.sighttriangles import sight_shapes
from viz.planschedule import Row

AXIS_M, FLATTENING = 6378137.0, 1 / 298.257223563
DIGITS = 9


def as_geojson(yard: Yard, layout: Layout, rows: Sequence[Row]) -> str:
    """The plan as one FeatureCollection. Raises SceneError where the yard has no place."""
    site = yard.site
    lacks = [each for each in ("latitude_deg", "longitude_deg") if getattr(site, each) is None]
    if lacks:
        wrong = "a map needs to know where the yard is"
        mistake = Mistake(f"site.{lacks[0]}", wrong, f"add {' and '.join(lacks)} under [site]")
        raise scene_error(yard.path.name, [mistake])
    features = [
        {"type": "Feature", "properties": told, "geometry": _placed(yard, shape)}
        for told, shape in _shapes(yard, layout)
    ]
    features += _plants(yard, layout, rows)
    record = {"type": "FeatureCollection", "features": features}
    return json.dumps(record, allow_nan=False, ensure_ascii=False)


def degrees(yard: Yard, x_m: Any, y_m: Any) -> tuple[Any, Any]:
    """Longitude and latitude of places in the yard."""
    latitude = float(yard.site.latitude_deg or 0.0)
    turn = np.radians(yard.site.north_deg)
    x, y = np.asarray(x_m, float), np.asarray(y_m, float)
    east, north = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    squared = FLATTENING * (2 - FLATTENING)
    bulge = 1 - squared * np.sin(np.radians(latitude)) ** 2
    along = AXIS_M * (1 - squared) / bulge**1.5
    across = AXIS_M / np.sqrt(bulge) * np.cos(np.radians(latitude))
    longitude = float(yard.site.longitude_deg or 0.0) + np.degrees(east / across)
    return np.round(longitude, DIGITS), np.round(latitude + np.degrees(north / along), DIGITS)


def _placed(yard: Yard, shape: BaseGeometry) -> dict[str, Any]:
    moved = shapely.transform(shape, lambda at: np.column_stack(degrees(yard, at[:, 0], at[:, 1])))
    if isinstance(moved, Polygon):
        moved = orient(moved, sign=1.0)
    elif hasattr(moved, "geoms"):
        moved = type(moved)([orient(part, sign=1.0) for part in moved.geoms])
    return dict(mapping(moved))


def _shapes(yard: Yard, layout: Layout) -> Iterator[tuple[dict[str, Any], BaseGeometry]]:
    yield {"what": "lot", "name": yard.title}, Polygon(yard.site.boundary)
    for bed in layout.beds:
        yield {"what": "bed", "name": bed.name, "area_m2": round(bed.outline.area, 2)}, bed.outline
    for surface in layout.surfaces:
        yield {"what": surface.kind, "name": surface.name}, surface.outline
    for structure in yard.structure:
        if structure.outline is not None:
            yield {"what": structure.kind, "name": structure.name}, Polygon(structure.outline)
        if structure.line is not None:
            yield {"what": structure.kind, "name": structure.name}, LineString(structure.line)
    for zone in layout.root_zones:
        yield {"what": "root zone", "name": zone.tree, "radius_m": zone.radius_m}, zone.zone
    for sight in sight_shapes(yard):
        yield {"what": "sight triangle", "name": sight.name}, sight.area


def _plants(yard: Yard, layout: Layout, rows: Sequence[Row]) -> Iterator[dict[str, Any]]:
    """One point a plant, with its row of the schedule."""
    row_of = {number: row for row in rows for number in row.sources}
    longitude, latitude = degrees(yard, layout.xyz_m[:, 0], layout.xyz_m[:, 1])
    for number, source in enumerate(layout.source):
        row = row_of[int(source)]
        told = {
            "what": "plant", "key": row.key, "botanical_name": row.cells[0],
            "common_name": row.cells[1], "size": row.cells[2], "kept": row.kept,
        }  # fmt: skip
        point = [float(longitude[number]), float(latitude[number])]
        yield {
            "type": "Feature",
            "properties": told,
            "geometry": {"type": "Point", "coordinates": point},
        }
