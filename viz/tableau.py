"""One still as plain arrays: everything the drawing process needs, and nothing else.

A tableau is one yard in one year, month and light, before its camera. It is made from the Stage
that the page is drawn from, sent to the drawing process, gets its final colours there and is
drawn. Metres; colours are screen values 0 to 255, albedo is linear reflectance.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from viz.palette import Light

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]
Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Camera:
    """Where the picture is taken from, its angle from top to bottom, and its size in pixels."""

    eye_m: Triple
    focal_m: Triple
    up: Triple
    upright_deg: float
    width: int
    height: int
    near_m: float
    far_m: float


@dataclass(frozen=True)
class Surface:
    """Triangles (m, 3) of points (n, 3), coloured, under a picture, or both."""

    points_m: Floats
    triangles: NDArray[np.integer]
    colours: Bytes | None = None
    shaded: Bytes | None = None
    """Colours (n, 3) where the sun does not reach."""
    normals: Floats | None = None
    uv: Floats | None = None
    picture: Bytes | None = None
    repeat: bool = False


@dataclass(frozen=True)
class Cards:
    """Four-cornered pieces of plants: corners, normals, atlas places, and what they reflect."""

    points_m: Floats  # (n, 4, 3)
    normals: Floats  # (n, 4, 3)
    uv: Floats  # (n, 4, 2)
    albedo: Floats  # (n, 4, 3)
    leaf: Floats  # (n,): 1 where light shines through, 0 for wood and flowers
    atlas: Bytes
    colours: Bytes | None = None


@dataclass(frozen=True)
class Sheet:
    """Where pixels of the ground's picture lie, (rows, columns, 3), north first, and their size.

    `shade` is what is left of each screen colour in full shade, red, green and blue.
    """

    points_m: Floats
    pixel_m: float
    shade: Floats


@dataclass(frozen=True)
class Tableau:
    """What one still shows."""

    camera: Camera
    light: Light
    sky: Surface
    land: Surface
    ground: Surface
    sheet: Sheet
    hard: Surface
    plants: Cards
    scenery: Cards
    grass: Cards
    grass_at: Floats
    """Place of each tuft in the ground's picture, (n, 2), 0 to 1 from west and south."""
