"""What lies beyond the yard in the picture: land to the horizon and a ring of low trees.

An empty horizon makes a yard look like a toy. The land goes on from the lattice's edge and
levels out; far away it fades into haze. The trees stand clear of the lot and of every eye, and
stand far off on the side from which the whole yard is seen. They are scenery, not the neighbours'
real trees, and nothing is computed from them. Metres.
"""

import io
from dataclasses import dataclass, replace

import numpy as np
import pyvista as pv
from numpy.typing import NDArray
from PIL import Image

from growth.plants import catalogue
from scenes.terrain import Terrain
from viz.body import Body
from viz.cards import Array, Quads
from viz.foliage_woody import far_tree
from viz.meshes import surface
from viz.palette import GROUND, HAZE, Light, developed, received, screen, smooth
from viz.patterns import GRAINS, TILE_M, tile

RINGS_M = (0.0, 1.5, 5.0, 14.0, 35.0, 80.0, 180.0, 420.0, 900.0)
"""Distances from the lattice's edge at which the land beyond has nodes."""

TREES, CLEAR_M, OPEN_DEG = 64, 8.0, 52.0
"""Number of scenery trees, their distance from the lattice, half the open side."""


@dataclass(frozen=True)
class Scenery:
    """Scenery trees: one drawing, and where it stands, how large, turned and coloured."""

    leaf: Quads
    bare: Quads
    foot_m: Array
    size: Array
    yaw: Array
    colours: NDArray[np.uint8]


def land(terrain: Terrain, light: Light) -> pv.PolyData:
    """The land from the lattice's edge to the horizon, coloured."""
    edge = _edge(terrain)
    middle = edge[:, :2].mean(axis=0)
    away = edge[:, :2] - middle
    away /= np.linalg.norm(away, axis=1, keepdims=True)
    level = float(np.median(edge[:, 2]))
    rings = []
    for distance in RINGS_M:
        settled = float(smooth(0, 60, distance))
        z = edge[:, 2] * (1 - settled) + (level - 0.4 * settled) * settled
        rings.append(np.column_stack([edge[:, :2] + away * distance, z]))
    colours = [_land_colour(distance, light) for distance in RINGS_M]
    points = np.concatenate(rings)
    corner = [terrain.lattice.x0_m, terrain.lattice.y0_m]
    return surface(
        points.astype(np.float32),
        _bands(len(RINGS_M), len(edge)),
        tcoords=((points[:, :2] - corner) / TILE_M).astype(np.float32),
        colours=np.repeat(np.stack(colours), len(edge), axis=0),
    )


def land_tile() -> bytes:
    """The grain of the land as a seamless JPEG; 127 is its mean tone."""
    strength, warmth = GRAINS["beyond"]
    level = tile()[..., None]
    tone = np.exp(strength * level) * (1 + warmth * level * np.array([1.0, 0.1, -0.8]))
    store = io.BytesIO()
    grey = np.clip(127 * tone ** (1 / 2.2), 0, 255).astype(np.uint8)
    Image.fromarray(grey, "RGB").save(store, "JPEG", quality=85)
    return store.getvalue()


def _edge(terrain: Terrain) -> Array:
    """Nodes (n, 3) round the lattice, counter-clockwise."""
    nodes = np.concatenate([terrain.lattice.nodes_m(), terrain.after_m[..., None]], axis=2)
    return np.concatenate([nodes[0, :-1], nodes[:-1, -1], nodes[-1, :0:-1], nodes[:0:-1, 0]])


def _bands(rings: int, around: int) -> NDArray[np.uint32]:
    node = np.arange(rings * around).reshape(rings, around)
    following = np.roll(node, -1, axis=1)
    a, b, c, d = node[:-1], node[1:], following[1:], following[:-1]
    return np.stack([a, b, c, a, c, d], -1).reshape(-1, 3).astype(np.uint32)


def _land_colour(distance_m: float, light: Light) -> NDArray[np.uint8]:
    lit = developed(GROUND["beyond"] * received(np.array([0.0, 0.0, 1.0]), light), light)
    haze = 1 - np.exp(-max(distance_m - 30, 0) / 260)
    return screen(lit * (1 - haze) + HAZE * haze)


def scenery(terrain: Terrain, light: Light) -> Scenery:
    """Low trees round the lattice; on the sunny side they stand far off, behind the viewer."""
    rng = np.random.default_rng(2)
    edge = _edge(terrain)
    middle, half = edge[:, :2].mean(axis=0), np.ptp(edge[:, :2], axis=0) / 2
    share = (np.arange(TREES) + rng.uniform(0, 1, TREES)) / TREES
    sunny = -0.5 * np.pi if light.towards[1] < 0 else 0.5 * np.pi
    turn = sunny + 2 * np.pi * share
    way = np.column_stack([np.cos(turn), np.sin(turn)])
    to_edge = (half / np.maximum(np.abs(way), 1e-9)).min(axis=1)
    clear = np.where(
        np.cos(turn - sunny) > np.cos(np.radians(OPEN_DEG)), 60 + 3 * half.max(), CLEAR_M
    )
    out = (
        to_edge + clear * (1 + 0.3 * np.abs(np.sin(2 * turn))) + 30 * rng.uniform(0, 1, TREES) ** 2
    )
    tone = np.exp(rng.normal(0, 0.05, (TREES, 1)) + rng.normal(0, 0.03, (TREES, 3)))
    return Scenery(
        _scenery_tree(bare=False),
        _scenery_tree(bare=True),
        np.column_stack([middle + way * out[:, None], np.full(TREES, np.median(edge[:, 2]) - 1.0)]),
        rng.uniform(0.75, 1.25, TREES) * np.where(clear > CLEAR_M, 1.6, 1.0),
        rng.uniform(0, 2 * np.pi, TREES),
        np.clip(np.array([74, 98, 58]) * tone, 0, 255).astype(np.uint8),
    )


def _scenery_tree(*, bare: bool) -> Quads:
    """One plain tree in leaf or bare, of few and large cards since it is only seen from afar."""
    plant = replace(
        catalogue()["Quercus robur"],
        name="scenery",
        form="rounded",
        kind="shrub",
        see_through_leaf=0.2,
    )
    body = Body(plant, 8.0, 8.5, 0.9, flowering=False)
    return far_tree(body, bare=bare)
