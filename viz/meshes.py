"""Surfaces of the yard as PyVista meshes: the ground under its picture, and built things.

The ground is the graded lattice, thinned where it has more nodes than a picture needs. Built
things come from scenes.solids, which is also what sight lines meet; here they only get colours,
lit by the picture's light. Flat faces do not share corners, so every face keeps its own tone.
Metres; colours are screen values 0 to 255.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
import pyvista as pv
from numpy.typing import NDArray

from scenes.lattice import Lattice
from scenes.solids import Solid
from scenes.terrain import Terrain
from viz.coursing import coursed
from viz.palette import GLASS_SKY, ROLES, Light, developed, received, screen, smooth

Array = NDArray[np.float64]
Bytes = NDArray[np.uint8]
Ints = NDArray[np.uint32]

MOST_NODES = 40_000
UNDER_EAVES = ("wall",)
BUILT = 0.66
"""Built things are paler than leaves; so much darker they keep their drawing in full sun."""


def surface(
    points_m: NDArray[np.floating],
    triangles: NDArray[np.integer],
    *,
    tcoords: NDArray[np.floating] | None = None,
    colours: Bytes | None = None,
) -> pv.PolyData:
    """A mesh of points (n, 3) and triangles (m, 3), with texture places or colours (n, k)."""
    if not len(points_m):
        return pv.PolyData()
    mesh = pv.PolyData.from_regular_faces(np.asarray(points_m, dtype=np.float32), triangles)
    if tcoords is not None:
        mesh.active_texture_coordinates = np.asarray(tcoords, dtype=np.float32)
    if colours is not None:
        mesh.point_data["colours"] = colours
    return mesh


def grid_triangles(rows: int, columns: int) -> Ints:
    """Two triangles for each cell of a grid of nodes, counter-clockwise from above."""
    node = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = node[:-1, :-1], node[:-1, 1:], node[1:, 1:], node[1:, :-1]
    cells = np.stack([np.stack([a, b, c], -1), np.stack([a, c, d], -1)], 2)
    return cells.reshape(-1, 3).astype(np.uint32)


def ground(terrain: Terrain) -> pv.PolyData:
    """The graded ground; texture places run 0 to 1 from west to east and south to north."""
    rows, columns = kept_lines(terrain.lattice)
    nodes = terrain.lattice.nodes_m()[np.ix_(rows, columns)]
    points = np.concatenate([nodes, terrain.after_m[np.ix_(rows, columns)][..., None]], axis=2)
    last = np.array([terrain.lattice.nx - 1, terrain.lattice.ny - 1])
    u, v = np.meshgrid(columns / last[0], rows / last[1])
    return surface(
        points.reshape(-1, 3).astype(np.float32),
        grid_triangles(len(rows), len(columns)),
        tcoords=np.stack([u, v], -1).reshape(-1, 2).astype(np.float32),
    )


def kept_lines(lattice: Lattice) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Rows and columns of the lattice that the picture keeps, the outermost always."""
    step = max(1, int(np.ceil(np.sqrt(lattice.nx * lattice.ny / MOST_NODES))))
    return _every(lattice.ny, step), _every(lattice.nx, step)


def _every(count: int, step: int) -> NDArray[np.int64]:
    return np.unique(np.append(np.arange(0, count, step), count - 1))


def built(solids: Iterable[Solid], terrain: Terrain, light: Light) -> pv.PolyData:
    """All built things as one mesh with their colours, those in full shade, `shaded`, and what
    another light needs: `albedo`, and the shares of sun and sky that reach a corner, `reach`."""
    faces, colours = [np.zeros((0, 3, 3))], [np.zeros((0, 3, 3), dtype=np.uint8)]
    shaded, dull = list(colours), replace(light, sun=(0.0, 0.0, 0.0))
    albedo, reach = list(colours), [np.zeros((0, 3, 2), dtype=np.uint8)]
    for solid in solids:
        for part in solid.parts:
            corners, tones = coursed(part.role, part.points_m[part.triangles])
            faces.append(corners)
            face = _face(part.role, corners, tones, terrain)
            colours.append(_lit(face, light))
            shaded.append(_lit(face, dull))
            albedo.append(screen(face.albedo))
            shares = np.stack([face.sunlit, face.open], axis=-1)
            reach.append(np.round(255 * shares).astype(np.uint8))
    points = np.concatenate(faces).reshape(-1, 3)
    mesh = surface(
        points.astype(np.float32),
        np.arange(len(points), dtype=np.uint32).reshape(-1, 3),
        colours=np.concatenate(colours).reshape(-1, 3),
    )
    if mesh.n_points:
        mesh.point_data["shaded"] = np.concatenate(shaded).reshape(-1, 3)
        mesh.point_data["albedo"] = np.concatenate(albedo).reshape(-1, 3)
        mesh.point_data["reach"] = np.concatenate(reach).reshape(-1, 2)
    return mesh


def face_normals(corners: Array) -> Array:
    """Unit normals (n, 3) of triangles (n, 3, 3); zero for those without area."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length: Array = np.linalg.norm(across, axis=1, keepdims=True)
    return across / np.maximum(length, 1e-12)


@dataclass(frozen=True)
class _Face:
    """Triangles of one role: unit normals and reflectance (n, 3, 3), sun and sky (n, 3) let in."""

    normals: Array
    albedo: Array
    sunlit: Array
    open: Array


def _face(role: str, corners: Array, tones: Array, terrain: Terrain) -> _Face:
    normals = np.repeat(face_normals(corners)[:, None], 3, axis=1)
    colour = _glass(corners) if role == "glass" else ROLES[role] * tones[..., None]
    sunlit, open_ = np.ones(tones.shape), _openness(corners, terrain)
    if role in UNDER_EAVES:
        below = corners[..., 2].max() - corners[..., 2]
        upright = 1 - np.abs(normals[..., 2])
        sunlit = 1 - 0.85 * upright * (1 - smooth(0.28, 0.50, below))
        open_ = open_ * (1 - 0.35 * upright * (1 - smooth(0, 0.9, below)))
    return _Face(normals, BUILT * colour, sunlit, open_)


def _lit(face: _Face, light: Light) -> Bytes:
    """Screen colours (n, 3, 3) of triangles in a light."""
    lit = received(face.normals, light, sunlit=face.sunlit, open_=face.open)
    return screen(developed(face.albedo * lit, light))


def _openness(corners: Array, terrain: Terrain) -> Array:
    """Share of the sky that corners near the ground see."""
    ground = terrain.height_m(corners[..., :2].reshape(-1, 2)).reshape(-1, 3)
    return 0.55 + 0.45 * smooth(-0.05, 0.6, corners[..., 2] - ground)


def _glass(corners: Array) -> Array:
    """Panes: dark below, mirroring the sky above."""
    low, high = corners[..., 2].min(), corners[..., 2].max()
    h = ((corners[..., 2] - low) / max(high - low, 1e-6))[..., None]
    pane: Array = ROLES["glass"] * (1 - 0.55 * h) + GLASS_SKY * 0.55 * h**1.5
    return pane


def as_arrays(mesh: pv.PolyData) -> Mapping[str, NDArray[np.generic]]:
    """The mesh as plain arrays for the page."""
    arrays: dict[str, NDArray[np.generic]] = {
        "points": np.asarray(mesh.points, dtype=np.float32).ravel(),
        "triangles": np.asarray(mesh.faces, dtype=np.uint32).reshape(-1, 4)[:, 1:].ravel(),
    }
    if mesh.active_texture_coordinates is not None:
        arrays["tcoords"] = np.asarray(mesh.active_texture_coordinates, dtype=np.float32).ravel()
    if "colours" in mesh.point_data or not mesh.n_points:
        colours = mesh.point_data["colours"] if mesh.n_points else []
        arrays["colours"] = np.asarray(colours, dtype=np.uint8).ravel()
    if "reach" in mesh.point_data:
        arrays["colours"] = np.asarray(mesh.point_data["albedo"], dtype=np.uint8).ravel()
        arrays["reach"] = np.asarray(mesh.point_data["reach"], dtype=np.uint8).ravel()
    return arrays
