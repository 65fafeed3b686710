"""Ground, built things, land and sky of a still, in its light but before its shadows.

The ground is the page's picture without its baked shade, which a still finds by depth maps.
Built things come twice coloured, in full sun and in full shade. Metres; colours
are screen values 0 to 255.
"""

from io import BytesIO

import numpy as np
import pyvista as pv
from numpy.typing import NDArray
from PIL import Image

from scenes.terrain import Terrain
from viz import groundpicture, meshes
from viz.palette import (
    GROUND,
    SKY_LOW,
    ZENITH,
    Light,
    developed,
    linear,
    received,
    screen,
    smooth,
)
from viz.stage import Stage
from viz.surroundings import RINGS_M, land_tile
from viz.tableau import Bytes, Floats, Sheet, Surface, Triple

COARSER = 2
TILE_GAIN = 1.5
"""The tile's mean is half of white; so much brighter, colours below it keep their range."""

EDGE_SAMPLES, EDGE_SOFT = (24, 24), 61
"""Cells of the picture that the land's edge is matched to, and nodes it is smoothed over."""

SKY_M, SKY_RINGS, SKY_SIDES = 1000.0, 40, 72


def ground(stage: Stage, *, bare: bool) -> Surface:
    """The ground under its picture without any shade; duller grass in the bare season."""
    picture = np.asarray(Image.open(BytesIO(stage.ground_picture)).convert("RGB"))
    return Surface(
        points_m=np.asarray(stage.ground.points, dtype=np.float32),
        triangles=_triangles(stage.ground),
        uv=np.asarray(stage.ground.active_texture_coordinates, dtype=np.float32),
        picture=winter_grass(picture) if bare else picture,
    )


def sheet(terrain: Terrain, light: Light, picture: Bytes) -> Sheet:
    """Where every second pixel of the ground's picture lies, and how dark its shade is."""
    canvas = groundpicture.canvas(terrain)
    rows, columns = picture.shape[0] // COARSER, picture.shape[1] // COARSER
    x = canvas.west_m + (np.arange(columns) + 0.5) / columns * (canvas.east_m - canvas.west_m)
    y = canvas.north_m - (np.arange(rows) + 0.5) / rows * (canvas.north_m - canvas.south_m)
    north_first = Image.fromarray(terrain.after_m[::-1].astype(np.float32))
    z = np.asarray(north_first.resize((columns, rows), Image.Resampling.BILINEAR))
    places = np.stack([*np.meshgrid(x, y), z], axis=-1).astype(np.float32)
    return Sheet(places, canvas.pixel_m * COARSER, shade_left(light))


def shade_left(light: Light) -> Floats:
    """What full shade leaves of screen red, green and blue on level lawn."""
    level = np.array([0.0, 0.0, 1.0])
    sunny, dull = (
        screen(developed(GROUND["lawn"] * received(level, light, sunlit=share), light))
        for share in (1.0, 0.0)
    )
    left: Floats = (dull / np.maximum(sunny, 1)).astype(np.float32)
    return left


def winter_grass(picture: Bytes) -> Bytes:
    """Grass of the bare season, as the page has it: what is green turns duller and browner."""
    values = picture.astype(np.float32)
    greener = values[..., 1] - np.maximum(values[..., 0], values[..., 2])
    green = smooth(0, 0.06 * 255, greener).astype(np.float32)[..., None]
    dull = 1 + green * np.array([0.14, -0.08, 0.0], dtype=np.float32)
    shown: Bytes = np.clip(values * dull, 0, 255).astype(np.uint8)
    return shown


def built(stage: Stage) -> Surface:
    """Built things with their colours in full sun and in full shade."""
    corners = np.asarray(stage.hard.points, dtype=np.float32).reshape(-1, 3, 3)
    if not len(corners):
        return Surface(corners.reshape(-1, 3), np.zeros((0, 3), dtype=np.int64))
    normals = np.repeat(meshes.face_normals(corners.astype(float)), 3, axis=0)
    return Surface(
        points_m=corners.reshape(-1, 3),
        triangles=np.arange(3 * len(corners)).reshape(-1, 3),
        colours=np.asarray(stage.hard.point_data["colours"]),
        shaded=np.asarray(stage.hard.point_data["shaded"]),
        normals=normals.astype(np.float32),
    )


def land(stage: Stage, picture: Bytes, *, bare: bool) -> Surface:
    """The land beyond: its colour times the grain of its tile, whose mean is half.

    Where it meets the ground it takes on the brightness of the ground's picture there.
    """
    colours = np.asarray(stage.land.point_data["colours"])
    colours = winter_grass(colours) if bare else colours
    points = np.asarray(stage.land.points, dtype=np.float32)
    tile = Image.open(BytesIO(land_tile())).convert("RGB").point(lambda v: v * TILE_GAIN)
    matched = colours * _edge_match(points, colours, picture)
    return Surface(
        points_m=points,
        triangles=_triangles(stage.land),
        colours=np.clip(2.0 / TILE_GAIN * matched, 0, 255).astype(np.uint8),
        uv=np.asarray(stage.land.active_texture_coordinates, dtype=np.float32),
        picture=np.asarray(tile),
        repeat=True,
    )


def _edge_match(points_m: Floats, colours: Bytes, picture: Bytes) -> Floats:
    """Factor (n, 1) from the land's colours to the picture's at the edge, the same all the way out.

    Points lie in rings of equal count, the innermost first, on the picture's edge.
    """
    around = len(points_m) // len(RINGS_M)
    edge = points_m[:around, :2]
    share = (edge - edge.min(axis=0)) / np.ptp(edge, axis=0)
    small = np.asarray(Image.fromarray(picture).resize(EDGE_SAMPLES, Image.Resampling.BOX))
    column = np.round(share[:, 0] * (EDGE_SAMPLES[0] - 1)).astype(int)
    row = np.round((1 - share[:, 1]) * (EDGE_SAMPLES[1] - 1)).astype(int)
    there = small[row, column].astype(np.float32).mean(axis=1)
    level = there / np.maximum(colours[:around].astype(np.float32).mean(axis=1), 1)
    kernel = np.hanning(EDGE_SOFT) / np.hanning(EDGE_SOFT).sum()
    soft = np.convolve(np.tile(level, 3), kernel, "same")[around : 2 * around]
    return np.tile(soft.astype(np.float32), len(RINGS_M))[:, None]


def sky(eye_m: Triple, light: Light) -> Surface:
    """A dome round the eye, pale at the horizon; a low sun's sky is paler."""
    rise = np.radians(np.linspace(-12, 90, SKY_RINGS))
    turn = np.linspace(0, 2 * np.pi, SKY_SIDES + 1)
    level, around = np.meshgrid(rise, turn, indexing="ij")
    way = np.stack(
        [np.cos(level) * np.cos(around), np.cos(level) * np.sin(around), np.sin(level)], axis=-1
    ).reshape(-1, 3)
    share = np.clip(way[:, 2:], 0, 1) ** 0.62
    share = share * float(0.55 + 0.45 * smooth(0.05, 0.6, light.towards[2]))
    low, high = _values(SKY_LOW), _values(ZENITH)
    return Surface(
        points_m=(np.asarray(eye_m) + SKY_M * way).astype(np.float32),
        triangles=meshes.grid_triangles(SKY_RINGS, SKY_SIDES + 1),
        colours=(low * (1 - share) + high * share).astype(np.uint8),
    )


def _values(code: str) -> NDArray[np.float64]:
    return screen(linear(code)).astype(float)


def _triangles(mesh: pv.PolyData) -> NDArray[np.integer]:
    return np.asarray(mesh.faces).reshape(-1, 4)[:, 1:]
