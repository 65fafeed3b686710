"""The stage: everything the picture of one yard is drawn from, as plain arrays.

It holds the ground and its baked picture, built things, what lies beyond, each kind of plant
at one to three sizes, and for every plant its place and its expected height and spread in all
years. The browser only places, scales, blends and darkens; nothing is computed there that a
check rests on. Metres, years 0 to 30; colours are screen values 0 to 255.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pyvista as pv
from numpy.typing import NDArray

from growth.memory import Memory
from growth.plants import Plant
from growth.stand import Stand
from scenes.document import Site, Yard
from scenes.layout import Layout
from scenes.terrain import Terrain
from viz import atlas, groundpicture, meshes, person, surroundings
from viz.cards import Quads
from viz.casters import Casters, casters, casting
from viz.foliage import Drawing, chosen, drawing, flowers, stage_sizes_m
from viz.groundlayers import ground_layers
from viz.months import looks
from viz.palette import Light, afternoon, linear, screen
from viz.suns import suns
from viz.views import Eye, Triple, eyes

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class Stage:
    """One yard, ready to be drawn."""

    light: Light
    ground: pv.PolyData
    ground_picture: bytes
    hard: pv.PolyData
    land: pv.PolyData
    land_tile: bytes
    scenery: surroundings.Scenery
    atlas: bytes
    kinds: tuple[tuple[Drawing, ...], ...]
    plants: tuple[Plant, ...]
    kind: NDArray[np.uint16]
    kept: NDArray[np.bool_]
    foot_m: Floats
    yaw: Floats
    colours: NDArray[np.uint8]
    years: NDArray[np.int64]
    height_m: Floats
    spread_m: Floats
    base_m: Floats
    months: Mapping[str, Any]
    suns: Mapping[str, Any]
    casters: Casters
    views: tuple[Eye, ...]
    figure: pv.PolyData
    """A person with the feet at the origin, and where it stands in each view."""
    feet_m: tuple[Triple | None, ...]
    layers: Mapping[str, Any]


def compose(
    yard: Yard,
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    *,
    light: Light | None = None,
    foot_shade: bool = True,
    memory: Memory | None = None,
) -> Stage:
    """The stage of a graded, laid out and grown yard, in the page's light or another.

    The ground's picture has the gloom at the foot of built things unless that is found in another
    way; what they and the plants cast moves with the sun and is drawn later.
    With a memory that is given again after an edit, what the edit left alone is not drawn anew.
    """
    memory = memory or Memory()
    memory.next_round()
    light = light or afternoon(yard.site.latitude_deg)
    built = _without_plants(layout)
    shading = built if foot_shade else replace(built, solids=())
    yaw, colours = _looks(stand)
    views = eyes(terrain, layout, light, tops_m=tops_m(stand))
    room = memory.of(("room", terrain, built), lambda: person.open_ground(terrain, built))
    lot = memory.of(("lot", terrain, light), lambda: _Lot.of(terrain, light))
    return Stage(
        light=light,
        ground=lot.ground,
        ground_picture=_ground_picture(terrain, shading, light, memory),
        hard=_hard(terrain, built, light, memory),
        land=lot.land,
        land_tile=memory.of(("land tile",), surroundings.land_tile),
        scenery=lot.scenery,
        atlas=atlas.kept(),
        kinds=tuple(_drawings(stand, kind, memory) for kind in range(len(stand.plants))),
        plants=stand.plants,
        kind=stand.plant.astype(np.uint16),
        kept=stand.kept,
        foot_m=stand.xyz_m.astype(np.float32),
        yaw=yaw,
        colours=colours,
        years=np.asarray(stand.years),
        height_m=(stand.height_m.expected * stand.present).astype(np.float32),
        spread_m=(stand.spread_m.expected * stand.present).astype(np.float32),
        base_m=(stand.crown_base_m.expected * stand.present).astype(np.float32),
        months=_months(stand, yard.site, colours, memory),
        suns=memory.of(("suns", yard.site), lambda: suns(yard.site)),
        casters=casters(layout.solids),
        views=views,
        figure=lot.figure,
        feet_m=person.standing(room, terrain, layout, stand, views),
        layers=ground_layers(yard, terrain, layout, stand, light, memory),
    )


@dataclass(frozen=True)
class _Lot:
    """What depends on the ground alone."""

    ground: pv.PolyData
    land: pv.PolyData
    scenery: surroundings.Scenery
    figure: pv.PolyData

    @classmethod
    def of(cls, terrain: Terrain, light: Light) -> "_Lot":
        """The meshes of the ground, of what lies beyond it, and of the person who stands there."""
        return cls(
            meshes.ground(terrain),
            surroundings.land(terrain, light),
            surroundings.scenery(terrain, light),
            _figure(terrain, light),
        )


def _without_plants(layout: Layout) -> Layout:
    """What is built and laid: moving a plant changes nothing of it."""
    return replace(layout, sources=(), source=layout.source[:0], xyz_m=layout.xyz_m[:0])


def _ground_picture(terrain: Terrain, built: Layout, light: Light, memory: Memory) -> bytes:
    return memory.of(
        ("ground picture", terrain, built, light),
        lambda: groundpicture.jpeg(groundpicture.picture(terrain, built, light)),
    )


def _months(
    stand: Stand, site: Site, colours: NDArray[np.uint8], memory: Memory
) -> Mapping[str, Any]:
    made_of = repr(stand.plants), stand.plant, stand.present, stand.spread_m.expected
    return memory.of(("months", *made_of, site, colours), lambda: looks(stand, site, colours))


def _hard(terrain: Terrain, built: Layout, light: Light, memory: Memory) -> pv.PolyData:
    return memory.of(
        ("hard", terrain, built, light), lambda: meshes.built(built.solids, terrain, light)
    )


def _drawings(stand: Stand, kind: int, memory: Memory) -> tuple[Drawing, ...]:
    """A kind's drawings, young to mature, for the sizes its plants go through."""
    mine = stand.plant == kind
    there = stand.present[:, mine]
    height, spread = (
        stand.height_m.expected[:, mine][there],
        stand.spread_m.expected[:, mine][there],
    )
    if height.size == 0:
        return ()
    plant, sizes = stand.plants[kind], stage_sizes_m(height, spread)
    drawn = memory.each(
        [("drawing", repr(plant), size) for size in sizes],
        lambda missing: [
            drawing(plant, height_m=sizes[number][0], spread_m=sizes[number][1])
            for number in missing
        ],
    )
    return tuple(drawn)


def _figure(terrain: Terrain, light: Light) -> pv.PolyData:
    """The person lit as on open ground in the lot's middle, then moved to the origin."""
    middle = terrain.boundary.centroid
    at = middle.x, middle.y, float(terrain.height_m(np.array([[middle.x, middle.y]]))[0])
    lit = meshes.built([person.figure(at)], terrain, light)
    lit.points = np.asarray(lit.points) - np.asarray(at, dtype=np.float32)
    return lit


SHOWN_YEAR = 15
"""The whole view has room for the plants' expected height at this year."""


def tops_m(stand: Stand) -> NDArray[np.float64]:
    """Points (plant, 3) that the whole view must show."""
    rise = stand.height_m.expected[SHOWN_YEAR]
    tops: NDArray[np.float64] = stand.xyz_m + rise[:, None] * [0.0, 0.0, 1.0]
    return tops


def _looks(stand: Stand) -> tuple[Floats, NDArray[np.uint8]]:
    """Turn and summer leaf of every plant: alike within a kind, but no two the same."""
    count = len(stand.plant)
    rng = np.random.default_rng(17)
    yaw = rng.uniform(0, 2 * np.pi, count).astype(np.float32)
    value = rng.normal(0, 0.05, count)[:, None]
    own = np.exp(value + rng.normal(0, 0.03, (count, 3)) * [1, 0, 1])
    leaf = np.array([linear(plant.colour_leaf) for plant in stand.plants]).reshape(-1, 3)
    return yaw, screen(leaf[stand.plant] * own)


def _ground_params(stage: Stage) -> dict[str, Any]:
    return dict(meshes.as_arrays(stage.ground)) | {"picture": stage.ground_picture}


def _far_params(stage: Stage) -> dict[str, Any]:
    return {
        "land": dict(meshes.as_arrays(stage.land)) | {"picture": stage.land_tile},
        "trees": _scenery(stage.scenery),
    }


def _kinds_params(stage: Stage) -> dict[str, Any]:
    return {
        "atlas": stage.atlas,
        "kinds": [[_stage_arrays(one) for one in stages] for stages in stage.kinds],
    }


def _plants_params(stage: Stage) -> dict[str, Any]:
    return {
        "kind": stage.kind,
        "kept": stage.kept.astype(np.uint8),
        "foot": stage.foot_m.ravel(),
        "yaw": stage.yaw,
    }


def _sizes_params(stage: Stage) -> dict[str, Any]:
    return {
        "years": stage.years.astype(np.float32),
        "height": stage.height_m.ravel(),
        "spread": stage.spread_m.ravel(),
        "base": _share_of_height(stage.base_m, stage.height_m),
    }


def _views_params(stage: Stage) -> dict[str, Any]:
    return {
        "views": [_view(eye) for eye in stage.views],
        "person": {
            "figure": dict(meshes.as_arrays(stage.figure)),
            "feet": [None if at is None else list(at) for at in stage.feet_m],
        },
    }


PARAMS: Mapping[str, Callable[[Stage], dict[str, Any]]] = {
    "ground": _ground_params,
    "hard": lambda stage: {**meshes.as_arrays(stage.hard), **casting(stage.casters)},
    "far": _far_params,
    "kinds": _kinds_params,
    "plants": _plants_params,
    "sizes": _sizes_params,
    "months": lambda stage: dict(stage.months),
    "suns": lambda stage: dict(stage.suns),
    "layers": lambda stage: dict(stage.layers),
    "views": _views_params,
}
"""What the page is sent of a stage, by the names of its parts."""


def _share_of_height(base_m: Floats, height_m: Floats) -> NDArray[np.uint8]:
    """Crown base as a share of the height, in 255ths, flat."""
    share = base_m / np.where(height_m > 0, height_m, 1)
    return np.round(255 * share).astype(np.uint8).ravel()


def _view(eye: Eye) -> Mapping[str, Any]:
    return {
        "name": eye.name, "eye": list(eye.eye_m), "focal": list(eye.focal_m),
        "angle": eye.angle_deg, "up": list(eye.up),
    }  # fmt: skip


def _stage_arrays(one: Drawing) -> Mapping[str, Any]:
    flower = flowers(one.leaf)
    return {
        "height": one.height_m,
        "spread": one.spread_m,
        "leaf": packed(chosen(one.leaf, ~flower)),
        "flowers": packed(chosen(one.leaf, flower)) if flower.any() else None,
        "bare": None if one.bare is None else packed(one.bare),
    }


def _scenery(trees: surroundings.Scenery) -> Mapping[str, Any]:
    return {
        "leaf": packed(trees.leaf),
        "bare": packed(trees.bare),
        "foot": trees.foot_m.astype(np.float32).ravel(),
        "size": trees.size.astype(np.float32),
        "yaw": trees.yaw.astype(np.float32),
        "colours": trees.colours.ravel(),
    }


MOST_TINT = 4.0
"""Largest tint a packed mesh can carry; tints are kept as square roots, 0 to 255."""


def packed(mesh: Quads) -> Mapping[str, Any]:
    """A drawn plant in small whole numbers; four corners a piece, in order."""
    points = mesh.points_m.reshape(-1, 3)
    reach = float(np.abs(points).max())
    rgb = np.sqrt(np.clip(mesh.tint[..., :3], 0, MOST_TINT) / MOST_TINT)
    tint = np.concatenate([rgb, mesh.tint[..., 3:]], axis=2) * 255 + 0.5
    return {
        "reach": reach,
        "points": np.round(points / reach * 32767).astype(np.int16).ravel(),
        "normals": np.round(mesh.normals * 127).astype(np.int8).ravel(),
        "tcoords": np.round(mesh.uv * 65535).astype(np.uint16).ravel(),
        "tint": tint.astype(np.uint8).ravel(),
    }
