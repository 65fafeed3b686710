"""House models from other programs, as solids: GLB and OBJ files beside the document.

A file is read in metres and turned from y up, which glTF asks for and OBJ mostly has, to z up;
the middle of its foot is set on `at`, its lowest point on `floor` or else on the ground there,
and where a height is written it is scaled to that as a whole. Only triangles are taken:
materials and pictures are left out. A model of more triangles than sight lines can be tried
against is made coarser: its corners are drawn together on a grid, fine at first, until few
enough are left; how far a corner may have moved is told. What is drawn is what is tried.

Source: J. Rossignac, P. Borrel, Multi-resolution 3D approximations for rendering complex
scenes (1993), for corners drawn together; Khronos Group, glTF 2.0 specification (2021), 3.4.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from scenes.document import Structure
from scenes.files import MODEL_BYTES, MODEL_TYPES, file_inside, read_capped
from scenes.lattice import Array, IntArray
from scenes.solids import HeightAt, Part, Solid

MOST_READ = 2_000_000
"""Triangles, corners and places a file may bring, every use of a mesh counted."""

MOST_TRIANGLES = 4_000
FINEST_M, COARSEST_M = 0.01, 2.0
WIDEST_M = 300.0
"""No house is wider or higher; a file in other units than metres is told by it."""


@dataclass(frozen=True)
class Shape:
    """Triangles (m, 3) over points (n, 3), z up, and how far a point may have been moved."""

    points_m: Array
    triangles: IntArray
    off_m: float = 0.0


def model(structure: Structure, folder: Path, ground_m: HeightAt) -> tuple[Solid, float]:
    """A model as a solid in its place, and how far its corners may be off in metres.

    Raises ValueError "wrong; remedy" where its file cannot be used.
    """
    path = file_inside(folder, structure.file or "", types=MODEL_TYPES, most_bytes=MODEL_BYTES)
    told = path.stat()
    shape = _shape(path, told.st_mtime_ns, told.st_size, structure.height)
    points = _turned(shape.points_m, structure.turn_deg)
    at = np.array(structure.at, dtype=float)
    floor_m = structure.floor
    if floor_m is None:
        floor_m = float(ground_m(at[None])[0])
    placed = points + np.array([*at, floor_m])
    part = Part("model", placed, shape.triangles)
    return Solid(structure.name, "model", structure.open, (part,)), shape.off_m


@lru_cache(maxsize=8)
def _shape(path: Path, time_ns: int, size: int, height_m: float | None) -> Shape:
    """A file's shape with the middle of its foot at 0, 0, 0; kept while the file stays as it is."""
    read = _read(read_capped(path, most_bytes=MODEL_BYTES), path.suffix.lower())
    low, high = read.points_m.min(axis=0), read.points_m.max(axis=0)
    size_m = high - low
    if height_m is not None and size_m[2] <= 0:
        raise ValueError("is flat; leave out its height")
    scale = 1.0 if height_m is None else height_m / size_m[2]
    if scale * size_m.max() > WIDEST_M:
        wrong = f"is {scale * size_m.max():,.0f} m across where its numbers are metres"
        raise ValueError(f"{wrong}; write height = ..., and it is scaled to that")
    foot = np.array([*(low + high)[:2] / 2, low[2]])
    return coarser(Shape((read.points_m - foot) * scale, read.triangles), most=MOST_TRIANGLES)


def coarser(shape: Shape, *, most: int) -> Shape:
    """A shape of so many triangles at the most, its corners drawn together on a grid."""
    cell_m = FINEST_M
    made = shape
    while len(made.triangles) > most:
        if cell_m > COARSEST_M:
            raise ValueError(f"keeps over {most:,} triangles however coarse; simplify it")
        made = _drawn_together(shape, cell_m)
        cell_m *= 2**0.5
    return made


def _drawn_together(shape: Shape, cell_m: float) -> Shape:
    """Corners within one cell of a grid become their middle; triangles without area go."""
    cell = np.floor(shape.points_m / cell_m).astype(np.int64)
    _, group = np.unique(cell, axis=0, return_inverse=True)
    group = group.reshape(-1)
    count = np.bincount(group)
    points = np.stack([np.bincount(group, shape.points_m[:, k]) / count for k in range(3)], axis=-1)
    triangles = group[shape.triangles]
    a, b, c = triangles.T
    triangles = triangles[(a != b) & (b != c) & (c != a)]
    _, first = np.unique(np.sort(triangles, axis=1), axis=0, return_index=True)
    moved_m = np.linalg.norm(points[group] - shape.points_m, axis=1)
    return Shape(points, triangles[np.sort(first)], float(moved_m.max()))


def _turned(points_m: Array, turn_deg: float) -> Array:
    """Points (n, 3) turned clockwise, seen from above."""
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    x, y, z = points_m.T
    return np.stack([cos * x + sin * y, cos * y - sin * x, z], axis=-1)


def _read(data: bytes, suffix: str) -> Shape:
    """The triangles of a file, z up; ValueError "wrong; remedy" where there are none."""
    import trimesh  # takes a third of a second to load, which only yards with a model need

    (_check_glb if suffix == ".glb" else _check_obj)(data)
    try:
        scene = trimesh.load_scene(
            BytesIO(data), file_type=suffix[1:], resolver=None, process=False, skip_materials=True
        )
        pieces = list(_pieces(scene))
    except (ValueError, KeyError, IndexError, TypeError, AttributeError, NotImplementedError):
        raise ValueError("cannot be read as a model; write it anew from its program") from None
    if not pieces:
        raise ValueError("holds no triangles; write it anew with its faces")
    starts = np.cumsum([0] + [len(piece.points_m) for piece in pieces[:-1]])
    points = np.concatenate([piece.points_m for piece in pieces])
    faces = [piece.triangles + start for piece, start in zip(pieces, starts, strict=True)]
    if not np.isfinite(points).all():
        raise ValueError("holds numbers that are not finite; write it anew from its program")
    return Shape(points, np.concatenate(faces))


def _pieces(scene: Any) -> Iterator[Shape]:
    """Every use of every mesh, in place, z up."""
    for node in scene.graph.nodes_geometry:
        matrix, name = scene.graph[node]
        mesh = scene.geometry[name]
        if not len(getattr(mesh, "faces", ())):
            continue  # lines and single points
        x, y, z = (mesh.vertices @ matrix[:3, :3].T + matrix[:3, 3]).T
        mirrored = np.linalg.det(matrix[:3, :3]) < 0
        faces = np.asarray(mesh.faces)[:, ::-1] if mirrored else np.asarray(mesh.faces)
        yield Shape(np.stack([x, -z, y], axis=-1), faces)


def _check_obj(data: bytes) -> None:
    _check_count(data.count(b"\nf ") + data.count(b"\nv ") + data.count(b"\nf\t"))


def _check_glb(data: bytes) -> None:
    """ValueError where a GLB is damaged, asks for other files, or would unfold beyond reason."""
    wrong = ValueError("is no whole GLB file; write it anew from its program")
    if data[:4] != b"glTF" or data[16:20] != b"JSON":
        raise wrong
    length = int.from_bytes(data[12:16], "little")
    try:
        tree = json.loads(data[20 : 20 + length])
        if any("uri" in one for key in ("buffers", "images") for one in tree.get(key, [])):
            raise ValueError("names other files; write it with all in one file")
        meshes = [_places_in(mesh, tree["accessors"]) for mesh in tree.get("meshes", [])]
        _check_count(sum(one["count"] for one in tree.get("accessors", [])))
        _check_count(_unfolded(tree.get("nodes", []), meshes))
        required = tree.get("extensionsRequired", [])
    except (KeyError, IndexError, TypeError, AttributeError, RecursionError, UnicodeDecodeError,
            json.JSONDecodeError):  # fmt: skip
        raise wrong from None
    if required:
        names = ", ".join(map(str, required))
        raise ValueError(f"needs {names}; write it without compression")


def _places_in(mesh: dict[str, Any], accessors: list[dict[str, Any]]) -> int:
    """How many corners the triangles of a mesh go through."""
    total = 0
    for primitive in mesh["primitives"]:
        by = primitive.get("indices", primitive["attributes"].get("POSITION"))
        total += int(accessors[by]["count"]) if by is not None else 0
    return total


def _unfolded(nodes: list[dict[str, Any]], meshes: list[int]) -> int:
    """Corners of all nodes together; IndexError where a node has two parents, as in a ring."""
    children = [child for node in nodes for child in node.get("children", [])]
    if len(children) != len(set(children)) or len(nodes) > MOST_READ // 100:
        raise IndexError
    above = {child: n for n, node in enumerate(nodes) for child in node.get("children", [])}
    free = [n for n in range(len(nodes)) if n not in above]
    seen = 0
    while free:
        seen += 1
        free += nodes[free.pop()].get("children", [])
    if seen != len(nodes):
        raise IndexError
    return sum(meshes[node["mesh"]] for node in nodes if "mesh" in node)


def _check_count(count: int) -> None:
    if count > MOST_READ:
        raise ValueError(f"holds {count:,} corners and more; simplify it in its program")
