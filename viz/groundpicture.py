"""The ground seen from straight above, as a picture to lay over the terrain.

Lawn, mulch, paving, gravel, decking and water differ in pattern as well as in colour, so that
they can be told apart without colour. Every pixel has a covering and a grain from 0 to 255; a
table turns the two into screen colours under the picture's light. Slopes and the shade at the
foot of built things are multiplied in. Cast shadows are not: they change by year, month and hour
and are drawn in the browser. Metres; row 0 of the picture is the north edge.
"""

import io
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter
from shapely.geometry import Polygon

from scenes.layout import BedShape, Layout, SurfaceShape
from scenes.solids import Solid
from scenes.terrain import Terrain
from viz.palette import GROUND, Light, developed, received, screen
from viz.patterns import GRAINS, grain

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]

FINEST_M, MOST_PIXELS, COARSER = 0.02, 2048, 4
EDGING_M, JOINT_M = 0.07, 0.03
COVERINGS = tuple(GROUND)
AS_DRAWN = {"ramp": "walk", "steps": "walk"}
"""Kinds of surface that look like another."""


@dataclass(frozen=True)
class Canvas:
    """The rectangle of ground a picture covers, and its size in pixels."""

    west_m: float
    south_m: float
    east_m: float
    north_m: float
    pixel_m: float

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows."""
        return (
            max(2, round((self.east_m - self.west_m) / self.pixel_m)),
            max(2, round((self.north_m - self.south_m) / self.pixel_m)),
        )

    def pixels(self, xy_m: NDArray[np.float64]) -> list[tuple[float, float]]:
        """Column and row of points (n, 2)."""
        columns = (xy_m[:, 0] - self.west_m) / self.pixel_m
        rows = (self.north_m - xy_m[:, 1]) / self.pixel_m
        return list(zip(columns.tolist(), rows.tolist(), strict=True))


def canvas(terrain: Terrain) -> Canvas:
    """The whole lattice, two centimetres a pixel or as fine as the largest picture allows."""
    grid = terrain.lattice
    east, north = grid.x0_m + (grid.nx - 1) * grid.cell_m, grid.y0_m + (grid.ny - 1) * grid.cell_m
    pixel = max(FINEST_M, (east - grid.x0_m) / MOST_PIXELS, (north - grid.y0_m) / MOST_PIXELS)
    return Canvas(grid.x0_m, grid.y0_m, east, north, pixel)


def picture(terrain: Terrain, layout: Layout, light: Light) -> Image.Image:
    """The baked ground, red green blue."""
    sheet = canvas(terrain)
    covering = np.asarray(coverings(terrain, layout, sheet))
    level = np.full(covering.shape, 128, dtype=np.uint8)
    for place, name in enumerate(COVERINGS):
        rows, columns = _extent(covering == place)
        here = covering[rows, columns]
        if here.size:
            made = grain(name, (here.shape[1], here.shape[0]), sheet.pixel_m)
            np.copyto(level[rows, columns], made, where=here == place)
    colours = _table(light)[covering, level]
    bright = _brightness(terrain, layout.solids, sheet, light)
    lit = np.minimum(colours * (bright * 256).astype(np.uint32)[..., None] >> 8, 255)
    return Image.fromarray(lit.astype(np.uint8), "RGB")


def _extent(mask: NDArray[np.bool_]) -> tuple[slice, slice]:
    """Rows and columns that a covering reaches over."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not len(rows):
        return slice(0, 0), slice(0, 0)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def jpeg(image: Image.Image) -> bytes:
    """The picture as JPEG bytes."""
    store = io.BytesIO()
    image.save(store, "JPEG", quality=86)
    return store.getvalue()


def coverings(terrain: Terrain, layout: Layout, sheet: Canvas) -> Image.Image:
    """What covers each pixel, as a place in COVERINGS; what is smaller lies on what is larger."""
    image = Image.new("L", sheet.size, COVERINGS.index("beyond"))
    _fill(image, sheet, terrain.boundary, "lawn")
    shapes: list[BedShape | SurfaceShape] = [*layout.beds, *layout.surfaces]
    for shape in sorted(shapes, key=lambda one: -one.outline.area):
        if isinstance(shape, BedShape):
            _fill(image, sheet, shape.outline, "mulch")
            _line(image, sheet, shape.outline, "edging", EDGING_M)
            continue
        _fill(image, sheet, shape.outline, AS_DRAWN.get(shape.kind, shape.kind))
        if shape.kind not in ("lawn", "water"):
            _line(image, sheet, shape.outline, "joint", JOINT_M)
    return image


def _rings(outline: Polygon) -> Iterable[tuple[NDArray[np.float64], bool]]:
    for part in getattr(outline, "geoms", [outline]):
        yield np.asarray(part.exterior.coords)[:, :2], False
        for hole in part.interiors:
            yield np.asarray(hole.coords)[:, :2], True


def _fill(image: Image.Image, sheet: Canvas, outline: Polygon, name: str) -> None:
    mask = Image.new("1", sheet.size)
    pen = ImageDraw.Draw(mask)
    for ring, hole in _rings(outline):
        if len(ring) > 2:
            pen.polygon(sheet.pixels(ring), fill=0 if hole else 1)
    image.paste(COVERINGS.index(name), mask=mask)


def _line(image: Image.Image, sheet: Canvas, outline: Polygon, name: str, width_m: float) -> None:
    pen = ImageDraw.Draw(image)
    width = max(1, round(width_m / sheet.pixel_m))
    for ring, _ in _rings(outline):
        pen.line(sheet.pixels(ring), fill=COVERINGS.index(name), width=width, joint="curve")


def _table(light: Light) -> Bytes:
    """Screen colours (covering, grain level, 3) of level ground in full light."""
    level = np.linspace(-1, 1, 256)
    flat = received(np.array([0.0, 0.0, 1.0]), light)
    rows = []
    for name in COVERINGS:
        strength, warmth = GRAINS[name]
        value = np.exp(strength * level)[:, None]
        hue = 1 + warmth * level[:, None] * np.array([1.0, 0.1, -0.8])
        rows.append(screen(developed(GROUND[name] * value * hue * flat, light)))
    return np.stack(rows)


def _brightness(terrain: Terrain, solids: Iterable[Solid], sheet: Canvas, light: Light) -> Floats:
    """Factor (rows, columns) on screen colours for slope and foot shade."""
    coarse = Canvas(
        sheet.west_m, sheet.south_m, sheet.east_m, sheet.north_m, sheet.pixel_m * COARSER
    )
    foot = foot_shade(terrain, solids, coarse)
    slope = Image.fromarray(slope_light(terrain.after_m, terrain.lattice.cell_m, light)).resize(
        coarse.size, Image.Resampling.BILINEAR
    )
    shaded = np.asarray(slope) * (1 - 0.45 * foot)
    grown = Image.fromarray(shaded.astype(np.float32)).resize(sheet.size, Image.Resampling.BILINEAR)
    factor: Floats = np.clip(np.asarray(grown), 0, 1.15)
    return factor


def slope_light(height_m: NDArray[np.float64], cell_m: float, light: Light) -> Floats:
    """Screen brightness of sloping ground over level ground, north row first."""
    dy, dx = np.gradient(height_m, cell_m)
    steep = np.sqrt(1 + dx**2 + dy**2)
    east, north, up = light.towards
    facing = np.clip((-dx * east - dy * north + up) / steep, 0, 1) / up
    ratio = np.clip(0.30 + 0.70 * facing, 0.2, 1.5) ** 0.7
    north_first: Floats = ratio[::-1].astype(np.float32)
    return north_first


def foot_shade(terrain: Terrain, solids: Iterable[Solid], sheet: Canvas) -> Floats:
    """Share (rows, columns) of shade at the foot of built things, whatever the hour."""
    foot = Image.new("L", sheet.size)
    for solid in solids:
        shade = round(255 * (1 - solid.open_share))
        for part in solid.parts:
            corners = part.points_m[part.triangles]
            ground = terrain.height_m(corners[..., :2].reshape(-1, 2)).reshape(corners.shape[:2])
            rise = np.maximum(corners[..., 2] - ground, 0)
            low = corners[rise.min(axis=1) < 0.5][..., :2]
            _triangles(foot, sheet, low, shade)
    return _soft(foot, 0.35 / sheet.pixel_m)


def _triangles(image: Image.Image, sheet: Canvas, corners: NDArray[np.float64], shade: int) -> None:
    pen = ImageDraw.Draw(image)
    for triangle in corners:
        pen.polygon(sheet.pixels(triangle), fill=shade, outline=shade)


def _soft(image: Image.Image, radius: float) -> Floats:
    blurred = image.filter(ImageFilter.GaussianBlur(radius))
    return np.asarray(blurred).astype(np.float32) / np.float32(255)
