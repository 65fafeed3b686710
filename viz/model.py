"""The yard of one year as a model that other programs open: a scene graph with its meshes.

Metres, true to scale, y up as glTF has it: a place x east, y north, z up of the yard stands at
(x, z, -y). Every drawing of a kind is one mesh; every plant is a node of its own that places,
turns and stretches it to its expected size, and says whence it comes and how far it may be off.
Leaf colours are those of the kind. Colours are as bright as a level place in full sun, for so is
the ground's picture, and a program that opens the model adds its own light. Left out: what lies
beyond the yard, light, and the courses of boards and shingles.

Source: Khronos Group, glTF 2.0 specification (2021), 3.4 (coordinates), 5.25 (nodes).
"""

from collections import Counter
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np
import trimesh
from numpy.typing import NDArray
from PIL import Image
from trimesh.visual.material import PBRMaterial
from trimesh.visual.texture import TextureVisuals

from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from viz.atlas import CUT
from viz.cards import Quads
from viz.meshes import BUILT, face_normals
from viz.palette import GROUND, ROLES, Light, developed, received
from viz.stage import Stage
from viz.tableauplants import leaf_colours, nearest_drawing, season_drawing

Array = NDArray[np.float64]

YEARS_ARE = (
    "Sizes are a forecast: expected, with low and high as the 10th and 90th percentile. "
    "Year 0 is the day of planting."
)


@dataclass(frozen=True)
class Asked:
    """The year and the month (1 to 12) that a model shows."""

    year: int
    month: int


def model(yard: Yard, layout: Layout, stand: Stand, stage: Stage, asked: Asked) -> trimesh.Scene:
    """The scene of a year, with the yard's title, the year and the month in its extras."""
    scene = trimesh.Scene()
    scene.metadata.update(
        title=yard.title, year=asked.year, month=asked.month, lengths="m", sizes=YEARS_ARE
    )
    scene.add_geometry(_ground(stage), node_name="ground", geom_name="ground")
    sunny = in_the_sun(stage.light)
    for number, solid in enumerate(layout.solids, 1):
        for part in solid.parts:
            name = f"{solid.name}: {part.role} {number}"
            colour = np.clip(BUILT * ROLES[part.role] * sunny, 0, 1)
            mesh = _built(part.points_m[part.triangles], part.role, colour)
            if mesh is not None:
                scene.add_geometry(mesh, node_name=name, geom_name=name)
    _add_plants(scene, yard, layout, stand, stage, asked)
    return scene


def glb(scene: trimesh.Scene) -> bytes:
    """The scene as one binary glTF file."""
    data = scene.export(file_type="glb", include_normals=True, unitize_normals=True)
    assert isinstance(data, bytes)
    return data


def y_up(points_m: Array) -> Array:
    """Points or directions (..., 3) of the yard in the model's coordinates."""
    return np.stack([points_m[..., 0], points_m[..., 2], -points_m[..., 1]], axis=-1)


def in_the_sun(light: Light) -> Array:
    """How much brighter (3,) full sun makes level lawn than its own colour."""
    level = received(np.array([0.0, 0.0, 1.0]), light)
    return np.asarray(developed(GROUND["lawn"] * level, light) / GROUND["lawn"])


def _ground(stage: Stage) -> trimesh.Trimesh:
    points = np.asarray(stage.ground.points, dtype=float)
    faces = np.asarray(stage.ground.faces).reshape(-1, 4)[:, 1:]
    picture = Image.open(BytesIO(stage.ground_picture))
    material = PBRMaterial(
        name="ground", baseColorTexture=picture, metallicFactor=0.0, roughnessFactor=1.0
    )
    uv = np.asarray(stage.ground.active_texture_coordinates, dtype=float)
    visual = TextureVisuals(uv=uv, material=material)
    return trimesh.Trimesh(y_up(points), faces, visual=visual, process=False)


def _built(corners_m: Array, role: str, colour: Array) -> trimesh.Trimesh | None:
    """Triangles (n, 3, 3) of one role with flat faces; None where they have no area."""
    normals = y_up(face_normals(corners_m))
    whole = np.linalg.norm(normals, axis=1) > 0.5
    if not whole.any():
        return None
    points = y_up(corners_m[whole]).reshape(-1, 3)
    material = PBRMaterial(
        name=role, baseColorFactor=[*colour.tolist(), 1.0], metallicFactor=0.0, roughnessFactor=0.9,
    )  # fmt: skip
    return trimesh.Trimesh(
        points,
        np.arange(len(points)).reshape(-1, 3),
        vertex_normals=np.repeat(normals[whole], 3, axis=0),
        visual=TextureVisuals(material=material),
        process=False,
    )


def _add_plants(
    scene: trimesh.Scene, yard: Yard, layout: Layout, stand: Stand, stage: Stage, asked: Asked
) -> None:
    """One mesh for each drawing that a plant of the year takes, and one node for each plant."""
    atlas = Image.open(BytesIO(stage.atlas)).convert("RGBA")  # written as PNG
    leaves = PBRMaterial(
        name="leaves", baseColorTexture=atlas, alphaMode="MASK", alphaCutoff=CUT,
        doubleSided=True, metallicFactor=0.0, roughnessFactor=0.9,
    )  # fmt: skip
    sunny = in_the_sun(stage.light)
    leaf = leaf_colours(stage, yard.site, month=asked.month)
    numbers = _numbers(layout)
    for kind, (drawings, plant) in enumerate(zip(stage.kinds, stage.plants, strict=True)):
        colour = leaf[stage.kind == kind].mean(axis=0)
        height_m, spread_m = stage.height_m[asked.year], stage.spread_m[asked.year]
        mine = np.flatnonzero((stage.kind == kind) & (height_m > 0))
        chosen = nearest_drawing(drawings, height_m[mine], spread_m[mine])
        for number, drawing in enumerate(drawings):
            those = mine[chosen == number]
            if not len(those):
                continue
            name = f"{plant.name}, drawing {number + 1}"
            quads = season_drawing(drawing, plant, yard.site, month=asked.month)
            scene.geometry[name] = _leafy(quads, colour, sunny, leaves)
            for one in those.tolist():
                wide = float(spread_m[one]) / drawing.spread_m
                high = float(height_m[one]) / drawing.height_m
                place, nth = numbers[one]
                scene.graph.update(
                    frame_to=f"{plant.name}, {place} plant {nth}",
                    matrix=_stance(stage.foot_m[one], float(stage.yaw[one]), wide, high),
                    geometry=name,
                    metadata=_told(layout, stand, one, asked.year) | {"plant": plant.name},
                )


def _numbers(layout: Layout) -> list[tuple[str, int]]:
    """Table and number of every plant, as edits by hand name them."""
    counted: Counter[str] = Counter()
    numbers = []
    for source in layout.source.tolist():
        place = layout.sources[source].place
        numbers.append((place, counted[place]))
        counted[place] += 1
    return numbers


def _stance(foot_m: NDArray[np.float32], yaw: float, wide: float, high: float) -> Array:
    """The matrix that stretches a drawing, turns it about the upright, and sets it on its foot."""
    cos, sin = np.cos(yaw), np.sin(yaw)
    matrix = np.eye(4)
    matrix[:3, :3] = np.array([[cos, 0, sin], [0, 1, 0], [-sin, 0, cos]]) * [wide, high, wide]
    matrix[:3, 3] = y_up(foot_m.astype(float))
    return matrix


def _told(layout: Layout, stand: Stand, plant: int, year: int) -> dict[str, Any]:
    """What a plant's node says of it besides its picture."""
    source = layout.sources[stand.source[plant]]
    sizes = {
        f"{name}_{end}_m": round(float(getattr(size, end)[year, plant]), 3)
        for name, size in (("height", stand.height_m), ("spread", stand.spread_m))
        for end in ("low", "expected", "high")
    }
    return {"table": source.place, "name": source.name, "kept": source.kept is not None} | sizes


def _leafy(
    quads: Quads, colour: NDArray[np.float32], sunny: Array, material: PBRMaterial
) -> trimesh.Trimesh:
    """A drawing as triangles, its leaf colour in its corners."""
    points = y_up(quads.points_m).reshape(-1, 3)
    normals = y_up(quads.normals).reshape(-1, 3)
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    normals = np.where(length > 1e-6, normals / np.maximum(length, 1e-6), [0.0, 1.0, 0.0])
    own = quads.tint[..., 3:] > 0.5
    albedo = np.where(own, quads.tint[..., :3], quads.tint[..., :3] * colour)
    corners = np.clip((albedo * sunny).reshape(-1, 3), 0, 1) * 255 + 0.5
    rgba = np.column_stack([corners, np.full(len(corners), 255.0)]).astype(np.uint8)
    fourths = 4 * np.arange(len(quads.points_m))[:, None]
    faces = np.concatenate([fourths + np.array(corner) for corner in ((0, 1, 2), (0, 2, 3))])
    visual = TextureVisuals(uv=quads.uv.reshape(-1, 2), material=material)
    visual.vertex_attributes["color"] = rgba
    return trimesh.Trimesh(points, faces, vertex_normals=normals, visual=visual, process=False)
