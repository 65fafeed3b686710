"""Grain of ground coverings: blades, chips, courses, boards, ripples, as numbers 0 to 255.

A grain is a picture of one covering over the whole canvas; 128 is its mean tone. Noise is made
small and enlarged, which gives blotches of a chosen size in metres; laid coverings get stones
or boards of one tone each with darker joints. Patterns start at the canvas's corner and run
east-west. Sizes of stones and boards are common practice.
"""

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]
Size = tuple[int, int]

GRAINS: Mapping[str, tuple[float, float]] = {
    "lawn": (0.42, 0.16),
    "beyond": (0.48, 0.20),
    "mulch": (0.75, 0.0),
    "edging": (0.25, 0.0),
    "walk": (0.62, 0.05),
    "patio": (0.55, 0.05),
    "drive": (0.30, 0.0),
    "gravel": (0.70, 0.05),
    "deck": (0.55, 0.04),
    "water": (0.30, 0.0),
    "joint": (0.30, 0.0),
}
"""Strength of the grain on brightness (natural log at the extremes) and on warmth."""

DARKEST = -1.0


def grain(name: str, size: Size, pixel_m: float) -> Bytes:
    """The grain (rows, columns) of a covering."""
    level = _LAID[name](size, pixel_m) if name in _LAID else _loose(name, size, pixel_m)
    return (np.clip(level, -1, 1) * 127.5 + 127.5).astype(np.uint8)


def blotches(size: Size, pixel_m: float, *, across_m: float, seed: int) -> Floats:
    """Smooth noise of spread about one with blotches of a given size."""
    rng = np.random.default_rng(seed)
    columns = max(2, round(size[0] * pixel_m / across_m))
    rows = max(2, round(size[1] * pixel_m / across_m))
    columns, rows = min(columns, size[0]), min(rows, size[1])
    small = rng.standard_normal((rows, columns), dtype=np.float32)
    return np.asarray(Image.fromarray(small).resize(size, Image.Resampling.BICUBIC))


_SCALES: Mapping[str, tuple[tuple[float, float], ...]] = {
    "lawn": ((0.03, 0.16), (0.14, 0.17), (0.8, 0.13), (3.5, 0.16)),
    "beyond": ((0.04, 0.18), (0.25, 0.20), (1.2, 0.16), (5.0, 0.18)),
    "mulch": ((0.03, 0.22), (0.07, 0.26), (0.5, 0.12)),
    "edging": ((0.10, 0.25),),
    "gravel": ((0.02, 0.30), (0.05, 0.26)),
    "water": ((0.35, 0.22), (1.6, 0.30)),
    "drive": ((0.02, 0.20), (0.5, 0.16), (2.5, 0.16)),
    "joint": ((0.10, 0.20),),
}
"""Size of blotches in metres and their weight, by loose covering."""


TILE_M, TILE_PIXELS = 16.0, 512
"""Rough grass repeats without a seam, so that it runs on to the horizon from one small tile."""

FINE_M, FINE_TILE_M = 0.3, 4.0
"""Blotches below this size come from a repeated tile, larger ones are made coarsely."""


def seamless(across_m: float, *, side_m: float, pixels: int, seed: int) -> Floats:
    """A square of blotches that repeats without a seam."""
    count = max(4, round(side_m / max(across_m, side_m / pixels)))
    rng = np.random.default_rng(seed)
    small = np.pad(rng.standard_normal((count, count), dtype=np.float32), 2, mode="wrap")
    edge = round(2 * pixels / count)
    grown = np.asarray(
        Image.fromarray(small).resize((pixels + 2 * edge,) * 2, Image.Resampling.BICUBIC)
    )
    return grown[edge : edge + pixels, edge : edge + pixels]


def tile() -> Floats:
    """One seamless square of rough grass, from -1 to 1."""
    level = np.zeros((TILE_PIXELS, TILE_PIXELS), dtype=np.float32)
    for place, (across, weight) in enumerate(_SCALES["beyond"]):
        level += weight * seamless(across, side_m=TILE_M, pixels=TILE_PIXELS, seed=31 + place)
    return np.clip(level, -1, 1)


def _repeated(one: Floats, size: Size) -> Floats:
    """A seamless square over the whole canvas, from its south-west corner."""
    across = one.shape[0]
    times = (-(-size[1] // across), -(-size[0] // across))
    return np.tile(one, times)[-size[1] :, : size[0]]


def _beyond(size: Size, pixel_m: float) -> Floats:
    across = max(8, round(TILE_M / pixel_m))
    one = Image.fromarray(tile()).resize((across, across), Image.Resampling.BICUBIC)
    return _repeated(np.asarray(one), size)


def _loose(name: str, size: Size, pixel_m: float) -> Floats:
    """Sum of blotches of several sizes; lawn also shows the mower's runs."""
    pixels = max(8, round(FINE_TILE_M / pixel_m))
    fine = np.zeros((pixels, pixels), dtype=np.float32)
    small = (max(2, size[0] // 8), max(2, size[1] // 8))
    broad = np.zeros((small[1], small[0]), dtype=np.float32)
    for place, (across, weight) in enumerate(_SCALES[name]):
        if across < FINE_M:
            fine += weight * seamless(across, side_m=FINE_TILE_M, pixels=pixels, seed=11 + place)
        else:
            broad += weight * blotches(small, 8 * pixel_m, across_m=across, seed=11 + place)
    grown = Image.fromarray(broad).resize(size, Image.Resampling.BILINEAR)
    level: Floats = _repeated(fine, size) + np.asarray(grown)
    if name == "lawn":
        x, y = _metres(size, pixel_m)
        level += np.where((0.92 * x + 0.38 * y) % 1.24 < 0.62, np.float32(0.06), np.float32(-0.06))
    return level


def _metres(size: Size, pixel_m: float) -> tuple[Floats, Floats]:
    """Metres from the north-west corner as a row and a column."""
    x = np.arange(size[0], dtype=np.float32)[None] * np.float32(pixel_m)
    y = np.arange(size[1], dtype=np.float32)[:, None] * np.float32(pixel_m)
    return x, y


def _courses(
    size: Size, pixel_m: float, *, length_m: float, height_m: float, joint_m: float
) -> Floats:
    """Stones in rows, each row shifted by half a stone; every stone has a tone of its own."""
    x, y = _metres(size, pixel_m)
    row = y / height_m
    place = x / length_m + 0.5 * (np.floor(row) % 2)
    tone = np.sin(np.floor(row) * 127.1 + np.floor(place) * 311.7) * 43758.5
    level = 0.55 * ((tone - np.floor(tone)) - 0.5) + 0.10 * blotches(
        size, pixel_m, across_m=0.06, seed=5
    )
    joint = ((place % 1) * length_m < joint_m) | ((row % 1) * height_m < joint_m)
    return np.where(joint, np.float32(DARKEST), level.astype(np.float32))


def _boards(size: Size, pixel_m: float) -> Floats:
    """Boards of 14 cm with gaps of 8 mm."""
    _, y = _metres(size, pixel_m)
    row = y / 0.14
    tone = np.sin(np.floor(row) * 78.2) * 43758.5
    level = 0.5 * ((tone - np.floor(tone)) - 0.5)
    level = np.where((row % 1) * 0.14 < max(0.008, pixel_m), DARKEST, level)
    along = Image.fromarray(blotches((size[0] // 12 + 2, size[1]), pixel_m, across_m=0.03, seed=8))
    veins = np.asarray(along.resize(size, Image.Resampling.BILINEAR))
    return (level + 0.12 * veins).astype(np.float32)


_LAID: Mapping[str, Callable[[Size, float], Floats]] = {
    "walk": lambda size, px: _courses(size, px, length_m=0.60, height_m=0.45, joint_m=0.028),
    "patio": lambda size, px: _courses(size, px, length_m=0.90, height_m=0.60, joint_m=0.030),
    "deck": _boards,
    "beyond": _beyond,
}
"""Coverings that are more than blotches."""
