"""The ground as the page may look at it: earth moved, slope, water, roots, contours, sections.

All on the nodes that the ground's mesh keeps, south row first: how far grading raises the
ground there, and how bright the existing ground lies in the picture's light. The page paints
these over the ground only when they are first asked for. Volumes are those of the earthwork,
not of the picture. Metres; heights in whole steps, so that unmoved ground stays exactly so.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from growth.memory import Memory
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.lengths import METRES
from scenes.surfaces import BUILDINGS
from scenes.terrain import Terrain
from viz.contours import contours, intervals, packed
from viz.groundpicture import slope_light
from viz.meshes import kept_lines
from viz.palette import Light
from viz.rootlayer import root_layer
from viz.section import section
from viz.slopelayer import slope_layer
from viz.units import imperial
from viz.waterlayer import water_layer

Array = NDArray[np.float64]

MOST_STEPS = 32767
LEAST_M = 0.003
"""Ground that moves less is not coloured as cut or fill."""

DEPTHS = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
"""Round depths, in feet or metres, where cut and fill change their tone."""


def ground_layers(
    yard: Yard,
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    light: Light,
    memory: Memory | None = None,
) -> Mapping[str, Any]:
    """All layers of a yard's ground as plain data for the page; what plants set anew leave alone
    is remembered."""
    memory = memory or Memory()
    bare = yard.model_copy(update={"planting": (), "requirement": ()})
    made_of = (bare, terrain, layout.beds, layout.surfaces, layout.solids, layout.root_zones)
    still = memory.of(
        ("ground layers", *made_of, light), lambda: _still(yard, terrain, layout, light)
    )
    return {**still, "section": section(yard, terrain, layout, stand)}


def _still(yard: Yard, terrain: Terrain, layout: Layout, light: Light) -> Mapping[str, Any]:
    """What no planting changes."""
    rows, columns = kept_lines(terrain.lattice)
    x_m, y_m = _axes(terrain, rows, columns)
    rise = rise_m(terrain)
    unit = "ft" if imperial(yard.lengths) else "m"
    return {
        "x": x_m.astype(np.float32),
        "y": y_m.astype(np.float32),
        "unit": {"name": unit, "metres": METRES[unit]},
        "light": _brightness(terrain, light)[np.ix_(rows, columns)].ravel(),
        "beyond": terrain.extrapolated[np.ix_(rows, columns)].astype(np.uint8).ravel(),
        "boundary": _ring(terrain.boundary),
        "boxes": [_box(solid) for solid in layout.solids if solid.kind in BUILDINGS],
        "earth": _earth(terrain, rise, METRES[unit]),
        "contours": _contours(terrain, METRES[unit]),
        "slope": _thinned(slope_layer(yard, terrain, layout), "tier", terrain),
        "water": _water(yard, terrain),
        "sunlit": yard.site.latitude_deg is not None,
        "roots": root_layer(yard, layout.root_zones),
        **_packed_rise(rise),
    }


def rise_m(terrain: Terrain) -> Array:
    """How far grading raises the ground (below zero: cuts it) at the kept nodes, in metres."""
    kept = np.ix_(*kept_lines(terrain.lattice))
    return terrain.after_m[kept] - terrain.before_m[kept]


def _axes(
    terrain: Terrain, rows: NDArray[np.int64], columns: NDArray[np.int64]
) -> tuple[Array, Array]:
    grid = terrain.lattice
    xy_m = grid.nodes_m()
    return xy_m[0, columns, 0], xy_m[rows, 0, 1]


def _thinned(layer: Mapping[str, Any], key: str, terrain: Terrain) -> Mapping[str, Any]:
    """The layer with one of its node arrays thinned to the kept nodes."""
    kept = np.ix_(*kept_lines(terrain.lattice))
    return {**layer, key: layer[key][kept].ravel()}


def _water(yard: Yard, terrain: Terrain) -> Mapping[str, Any]:
    """The water layer with its depths in whole millimetres."""
    layer = _thinned(water_layer(yard, terrain), "depth", terrain)
    millimetres = np.clip(np.round(1000 * layer["depth"]), 0, 65535)
    return {**layer, "depth": millimetres.astype(np.uint16)}


def _packed_rise(rise: Array) -> Mapping[str, Any]:
    step = max(float(np.abs(rise).max()), 1e-3) / MOST_STEPS
    return {"rise": np.round(rise / step).astype(np.int16).ravel(), "riseStep": step}


def _brightness(terrain: Terrain, light: Light) -> NDArray[np.uint8]:
    """How bright the existing ground lies, level ground being 170; south row first."""
    bright = slope_light(terrain.before_m, terrain.lattice.cell_m, light)
    return np.clip(170 * bright[::-1], 0, 255).astype(np.uint8)


def _ring(outline: shapely.Polygon) -> NDArray[np.float32]:
    return np.asarray(shapely.get_coordinates(outline.exterior), dtype=np.float32).ravel()


def _box(solid: Any) -> list[float]:
    points = np.concatenate([part.points_m for part in solid.parts])
    return [*points.min(axis=0).tolist(), *points.max(axis=0).tolist()]


def _earth(terrain: Terrain, rise: Array, unit_m: float) -> Mapping[str, Any]:
    """Bank volumes, the deepest cut and highest fill, and where the tones change."""
    return {
        "cut_m3": terrain.earth.cut_m3,
        "fill_m3": terrain.earth.fill_m3,
        "deepest_m": float(max(-rise.min(), 0.0)),
        "highest_m": float(max(rise.max(), 0.0)),
        "least_m": LEAST_M,
        "steps_m": [unit_m * depth for depth in tone_depths(float(np.abs(rise).max()) / unit_m)],
    }


def tone_depths(deepest: float) -> tuple[float, ...]:
    """At most two round depths at which the tone of cut and fill changes, in the same unit."""
    return tuple(each for each in DEPTHS if each < 0.85 * deepest)[-2:]


def _contours(terrain: Terrain, unit_m: float) -> Mapping[str, Any]:
    """Contours before and after, with the intervals a reader may choose."""
    rows, columns = kept_lines(terrain.lattice)
    x_m, y_m = _axes(terrain, rows, columns)
    before, after = (each[np.ix_(rows, columns)] for each in (terrain.before_m, terrain.after_m))
    offered = intervals(float(max(np.ptp(before), np.ptp(after))) / unit_m)
    fine = offered[0]
    lines = (contours(x_m, y_m, each, interval_m=fine * unit_m) for each in (before, after))
    before_lines, after_lines = (packed(each, x_m, y_m) for each in lines)
    return {
        "fine": fine,
        "every": [round(each / fine) for each in offered],
        "before": before_lines,
        "after": after_lines,
    }
