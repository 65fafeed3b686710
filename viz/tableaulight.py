"""Final colours of a still: sun, shade and haze, from depth maps and plain sums.

The sums are those of the page (viz/palette.py, viz/js/light.js), with one thing added: the
share of the sun that reaches a place. A card is asked near its middle, so that it does not
flicker between lit and unlit. Tufts of grass take their colour from the ground below them.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from viz.palette import HAZE, LUMINANCE, Light, screen
from viz.shadows import DepthMap, open_sky, sunlit
from viz.tableau import Bytes, Camera, Cards, Floats, Sheet, Surface, Tableau

LEAF_FADE_M, LEAF_DISC_M, LEAF_BIAS_M = 0.55, 0.14, 0.10
WHOLE_M, PIECE_M, DIFFERS = 1.5, 0.12, 0.3
"""Edges of pieces of built things: in even light, and where a shadow ends (shares of sun)."""

HARD_DISC_M, HARD_BIAS_M, PROUD_M = 0.06, 0.05, 0.04
GROUND_DISC_M, GROUND_BIAS_M = 0.09, 0.05
HAZE_FROM_M, HAZE_REACH_M = 30.0, 800.0
THROUGH_LEAF, THROUGH = np.array([1.25, 1.15, 0.55], dtype=np.float32), 0.30
"""Colour of light that comes through a leaf, and how much of it, as in the browser."""

TUFT_TONE = 1.32
"""Blades stand up into the light: a little brighter than the ground they grow from."""


def lit(shown: Tableau, from_sun: DepthMap, from_above: DepthMap) -> Tableau:
    """The tableau with the colours it has in its light."""
    with ThreadPoolExecutor() as threads:  # NumPy lets others run while it works
        plants = threads.submit(sunlit_cards, shown.plants, from_sun, shown.light)
        hard = threads.submit(shaded_surface, shown.hard, from_sun)
        ground = shaded_ground(shown.ground, shown.sheet, from_sun, from_above)
        scenery = coloured(shown.scenery, shown.light, np.float32(0.85))
    assert ground.picture is not None
    return replace(
        shown,
        plants=hazed(plants.result(), shown.camera),
        scenery=hazed(scenery, shown.camera),
        hard=hard.result(),
        ground=ground,
        grass=tufts_like(shown.grass, shown.grass_at, ground.picture),
    )


def sunlit_cards(cards: Cards, from_sun: DepthMap, light: Light) -> Cards:
    """Plants in the sun that reaches them through other leaves and past what is built."""
    middle = cards.points_m.mean(axis=1, keepdims=True)
    asked = np.float32(0.6) * middle + np.float32(0.4) * cards.points_m
    sun = sunlit(
        from_sun, asked.reshape(-1, 3), radius_m=LEAF_DISC_M, bias_m=LEAF_BIAS_M,
        fade_m=LEAF_FADE_M, taps=5,
    )  # fmt: skip
    return coloured(cards, light, sun.reshape(-1, 4))


def coloured(cards: Cards, light: Light, sun: Floats | np.float32) -> Cards:
    """Plants where a share `sun` (n, 4) of the sun reaches them."""
    towards = np.asarray(light.towards, dtype=np.float32)
    facing = cards.normals @ towards
    direct = (np.clip((facing + 0.22) / 1.22, 0, 1) * sun)[..., None] * _single(light.sun)
    up = 0.5 + 0.5 * cards.normals[..., 2:]
    around = _single(light.sky) * (1.15 * up + 0.30) + _single(light.bounce) * 1.6 * (1 - up)
    through = (np.clip(0.25 - 0.8 * facing, 0, 1) * sun * cards.leaf[:, None])[..., None]
    glow = THROUGH * through * THROUGH_LEAF * _single(light.sun)
    return replace(
        cards, colours=screen(_developed(cards.albedo * (direct + around + glow), light))
    )


def _developed(radiance: Floats, light: Light) -> Floats:
    """As palette.developed, in single precision: a still has half a million corners."""
    scaled = radiance * np.float32(light.exposure)
    bright = (scaled @ _single(LUMINANCE))[..., None]
    t = np.clip(bright / np.float32(0.25), 0, 1)
    rolled = (1 - np.exp(-1.2 * bright)) * (0.80 + 0.20 * t * t * (3 - 2 * t))
    shown: Floats = scaled * (rolled / np.maximum(bright, 1e-6)).astype(np.float32)
    return shown


def hazed(cards: Cards, camera: Camera) -> Cards:
    """Coloured plants as they look through the low air between them and the eye."""
    if cards.colours is None or not len(cards.points_m):
        return cards
    middle = cards.points_m[..., :2].mean(axis=1)
    away = np.linalg.norm(middle - _single(camera.eye_m[:2]), axis=1)
    haze = haze_share(away).astype(np.float32)[:, None, None]
    veil = screen(0.8 * HAZE).astype(np.float32)
    mixed = cards.colours * (1 - haze) + veil * haze
    return replace(cards, colours=(mixed + np.float32(0.5)).astype(np.uint8))


def haze_share(away_m: NDArray[np.floating]) -> NDArray[np.floating]:
    """Share of what is seen at a distance that is haze."""
    share: NDArray[np.floating] = 1 - np.exp(-np.maximum(away_m - HAZE_FROM_M, 0) / HAZE_REACH_M)
    return share


def shaded_surface(surface: Surface, from_sun: DepthMap) -> Surface:
    """Built things between their colours in full sun and in full shade, cut where shadows end."""
    if surface.colours is None or surface.shaded is None or surface.normals is None:
        return surface
    columns = (surface.points_m, surface.normals, surface.colours, surface.shaded)
    corners = np.concatenate(columns, axis=1, dtype=np.float32)[surface.triangles]
    pieces = cut_where_shadows_end(corners, lambda some: _sun_on(some, from_sun))
    flat = pieces.reshape(-1, pieces.shape[2])
    sun = flat[:, 12:]
    mixed = flat[:, 6:9] * sun + flat[:, 9:12] * (1 - sun)
    return Surface(
        points_m=flat[:, :3].copy(),
        triangles=np.arange(len(flat)).reshape(-1, 3),
        colours=(mixed + np.float32(0.5)).astype(np.uint8),
    )


def _sun_on(corners: Floats, from_sun: DepthMap) -> Floats:
    """Share of the sun (n, m) on corners (n, m, k) that begin with their place and normal."""
    proud = corners[..., :3] + np.float32(PROUD_M) * corners[..., 3:6]
    flat = proud.reshape(-1, 3)
    share = sunlit(from_sun, flat, radius_m=HARD_DISC_M, bias_m=HARD_BIAS_M, taps=6)
    return share.reshape(corners.shape[:2])


def cut_where_shadows_end(triangles: Floats, sun_on: Callable[[Floats], Floats]) -> Floats:
    """Triangles (n, 3, k + 1) that carry the sun's share on them as their last value.

    A triangle (n, 3, k), whose corners begin with their place, is halved across its longest
    edge while that is longer than WHOLE_M, or than PIECE_M where its corners and its middle
    differ in sun. All other values go along evenly.
    """
    done, left = [], triangles
    while True:
        sun = sun_on(np.concatenate([left, left.mean(axis=1, keepdims=True)], axis=1))
        edges = np.linalg.norm(np.roll(left, -1, axis=1)[..., :3] - left[..., :3], axis=2)
        longest = edges.max(axis=1, initial=0)
        cut = (longest > WHOLE_M) | ((longest > PIECE_M) & (np.ptp(sun, axis=1) > DIFFERS))
        done.append(np.concatenate([left, sun[:, :3, None]], axis=2)[~cut])
        if not cut.any():
            return np.concatenate(done)
        left = _halved(left[cut], edges[cut].argmax(axis=1))


def _halved(triangles: Floats, edge: NDArray[np.intp]) -> Floats:
    """Triangles (n, 3, k) in two, (2n, 3, k), across the edge that begins at a corner (n,)."""
    order = (edge[:, None] + np.arange(3)) % 3
    turned = np.take_along_axis(triangles, order[..., None], axis=1)
    a, b, c = turned[:, 0], turned[:, 1], turned[:, 2]
    middle = (a + b) / 2
    return np.concatenate([np.stack([a, middle, c], 1), np.stack([middle, b, c], 1)])


def shaded_ground(
    ground: Surface, sheet: Sheet, from_sun: DepthMap, from_above: DepthMap
) -> Surface:
    """The ground's picture times the shadows on it and the gloom close to what stands on it."""
    assert ground.picture is not None
    rows, columns = sheet.points_m.shape[:2]
    sun = sunlit(
        from_sun, sheet.points_m.reshape(-1, 3), radius_m=GROUND_DISC_M, bias_m=GROUND_BIAS_M,
        taps=6,
    ).reshape(rows, columns)  # fmt: skip
    open_ = open_sky(from_above, sheet.points_m, sheet.pixel_m)
    high, wide = ground.picture.shape[:2]
    factor = np.stack(
        [_enlarged(_ground_factor(sun, open_, float(left)), (wide, high)) for left in sheet.shade],
        axis=-1,
    )
    return replace(ground, picture=_times(ground.picture, factor))


def _ground_factor(sun: Floats, open_: Floats, left: float) -> Floats:
    """Screen factor where a share of the sun and of the sky is left; screen values go as the
    root of light, and direct sun gets between the blades that hide the sky."""
    factor: Floats = (left + (1 - left) * sun) * np.sqrt(open_ + (1 - open_) * 0.45 * sun)
    return factor.astype(np.float32)


def _enlarged(values: Floats, size: tuple[int, int]) -> Floats:
    return np.asarray(Image.fromarray(values).resize(size, Image.Resampling.BILINEAR))


def _times(picture: Bytes, factor: Floats) -> Bytes:
    product: Bytes = np.clip(picture * factor + np.float32(0.5), 0, 255).astype(np.uint8)
    return product


def tufts_like(grass: Cards, at: Floats, picture: Bytes) -> Cards:
    """Tufts in the colour of the ground's picture where they stand, lighter at their tips."""
    if not len(grass.points_m):
        return grass
    high, wide = picture.shape[:2]
    column = np.clip(at[:, 0] * wide, 0, wide - 1).astype(int)
    row = np.clip((1 - at[:, 1]) * high, 0, high - 1).astype(int)
    below = picture[row, column].astype(np.float32)[:, None]
    return replace(grass, colours=_times(below, TUFT_TONE * grass.albedo))


def _single(colour: object) -> Floats:
    return np.asarray(colour, dtype=np.float32)
