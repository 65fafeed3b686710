"""Colours and light of the picture: what a surface of a given colour looks like in the sun.

Colours are kept as linear reflectance (0 to 1) and become screen values once, at the end. The
light is one sun with a soft edge, a sky that comes from above and a bounce from the ground;
a curve on luminance keeps bright parts from burning out. The same sun, sky and curve go to the
browser, which lights the plants; ground and built things are lit here. Reflections are left out.

Reflectances are modest estimates by eye (common practice), not measurements.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Bytes = NDArray[np.uint8]

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""Source: ITU-R BT.709, luminance of linear red, green and blue."""


@dataclass(frozen=True)
class Light:
    """A sun (unit vector towards it) and the colours of sun, sky and bounce, linear."""

    towards: tuple[float, float, float]
    sun: tuple[float, float, float] = (2.90, 2.70, 2.35)
    sky: tuple[float, float, float] = (0.40, 0.46, 0.54)
    bounce: tuple[float, float, float] = (0.29, 0.29, 0.20)
    exposure: float = 1.10


def afternoon(latitude_deg: float | None) -> Light:
    """A fixed afternoon sun for the picture, 42 degrees high, on the sunny side of the house."""
    south = latitude_deg is None or latitude_deg >= 0
    azimuth, height = np.radians(232.0 if south else 308.0), np.radians(42.0)
    level = float(np.cos(height))
    return Light(
        (level * float(np.sin(azimuth)), level * float(np.cos(azimuth)), float(np.sin(height)))
    )


def linear(code: str) -> Array:
    """Linear reflectance of a "#rrggbb" colour. Source: IEC 61966-2-1 (sRGB)."""
    values = np.array([int(code[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def screen(reflectance: ArrayLike) -> Bytes:
    """Screen values 0 to 255 of linear colours. Source: IEC 61966-2-1 (sRGB)."""
    x = np.clip(np.asarray(reflectance, dtype=np.float32), 0, 1)
    encoded = np.where(x <= 0.0031308, 12.92 * x, 1.055 * x ** np.float32(1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)


def smooth(low: float, high: float, x: ArrayLike) -> Array:
    """A soft step: 0 below `low`, 1 above `high`."""
    t = np.clip((np.asarray(x, dtype=float) - low) / (high - low), 0, 1)
    return t * t * (3 - 2 * t)


def received(
    normals: Array, light: Light, *, sunlit: ArrayLike = 1.0, open_: ArrayLike = 1.0
) -> Array:
    """Light on surfaces of these unit normals (..., 3); `open_` is the share of sky they see."""
    facing = np.clip((normals @ np.asarray(light.towards) + 0.12) / 1.12, 0, 1)
    up = 0.5 + 0.5 * normals[..., 2]
    sky, bounce = np.asarray(light.sky), np.asarray(light.bounce)
    open_share = np.asarray(open_, dtype=float)[..., None]
    direct: Array = (facing * np.asarray(sunlit))[..., None] * np.asarray(light.sun)
    around = sky * (1.15 * up + 0.30)[..., None] + bounce * (1.6 * (1 - up))[..., None]
    return direct + open_share * around


def developed(radiance: Array, light: Light) -> Array:
    """Linear screen colours of what the eye receives: highlights rolled off, hue kept."""
    scaled = radiance * light.exposure
    bright = (scaled @ LUMINANCE)[..., None]
    rolled = (1 - np.exp(-1.2 * bright)) * (0.80 + 0.20 * smooth(0, 0.25, bright))
    shown: Array = np.clip(scaled * (rolled / np.maximum(bright, 1e-6)), 0, 1)
    return shown


ROLES: Mapping[str, Array] = {
    "wall": linear("#d9d5ca"),
    "trim": linear("#f3f1ea"),
    "roof": linear("#5b534d"),
    "glass": linear("#27313a"),
    "door": linear("#5d4a3c"),
    "plinth": linear("#8d8577"),
    "fence": linear("#8f7a62"),
    "stone": linear("#a89c88"),
    "box": linear("#9a9488"),
    "model": linear("#c9c3b6"),
    "figure": linear("#c9c3bb"),
}
"""Colour of a part of a built thing by its role."""

GLASS_SKY = linear("#8fa6b8")
"""What the upper part of a pane mirrors."""

GROUND: Mapping[str, Array] = {
    "lawn": np.array([0.050, 0.080, 0.019]),
    "beyond": np.array([0.056, 0.078, 0.025]),
    "mulch": np.array([0.082, 0.048, 0.030]),
    "edging": np.array([0.20, 0.175, 0.14]),
    "walk": 0.64 * linear("#b5a88f"),
    "patio": 0.62 * linear("#bcb09b"),
    "drive": 0.75 * linear("#8e8b86"),
    "gravel": 0.70 * linear("#a79c8b"),
    "deck": linear("#94795c"),
    "water": linear("#4a6a70"),
    "joint": np.array([0.10, 0.085, 0.060]),
}
"""Colour of the ground by what covers it."""

BARK = np.array([0.100, 0.075, 0.055])
BARK_PALE = np.array([0.220, 0.190, 0.160])
STRAW = np.array([0.240, 0.180, 0.085])
PLUME = np.array([0.500, 0.400, 0.300])
TIP_LEAF = np.array([1.45, 1.38, 1.25])
TIP_NEEDLE = np.array([1.65, 1.58, 1.50])
"""Young growth at the tips, times the kind's own leaf colour."""

HAZE = linear("#dbe5ea")
ZENITH = "#5f93cd"
SKY_LOW = "#dbe5ea"
WINTER_GREEN = np.array([1.0, 0.80, 0.84])
"""Evergreen leaves in winter, times their summer colour."""
