"""Sunlight and shade in a still: what a depth map seen from the sun says of any point.

A depth map is a square picture of how far things lie from a plane across the sun's rays. A
point is lit where nothing lies before it. Leaves are not solid: behind the first leaf, light
fades with depth instead of ending, which keeps crowns from speckling and gives them glowing
rims. Seen from straight above, the same kind of map tells where things stand close over the
ground and take away its sky. Metres; shares 0 to 1.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

Floats = NDArray[np.float32]
Array = NDArray[np.float64]

GOLDEN_ANGLE = np.float32(np.pi * (3 - np.sqrt(5)))


@dataclass(frozen=True)
class Lens:
    """A square window (2 `half_m` wide) that looks along parallel rays, against `towards`."""

    middle_m: Array
    towards: Array
    right: Array
    up: Array
    half_m: float
    reach_m: float
    """Depths lie between 0 and twice this, counted from the plane in front of everything."""

    def places(self, points_m: NDArray[np.floating]) -> tuple[Floats, Floats, Floats]:
        """Of points (n, 3): across and up the window, 0 to 1, and depth in metres."""
        away = (points_m - self.middle_m).astype(np.float32)
        across = away @ self.right.astype(np.float32) / np.float32(2 * self.half_m)
        up = away @ self.up.astype(np.float32) / np.float32(2 * self.half_m)
        depth = np.float32(self.reach_m) - away @ self.towards.astype(np.float32)
        return across + np.float32(0.5), up + np.float32(0.5), depth


@dataclass(frozen=True)
class DepthMap:
    """Depths (rows, columns) of the first thing seen through a lens, lowest row first."""

    lens: Lens
    depth_m: Floats


def lens_over(points_m: NDArray[np.floating], towards: tuple[float, float, float]) -> Lens:
    """The lens that sees the box round points (n, 3) from a direction."""
    low, high = points_m.min(axis=0).astype(float), points_m.max(axis=0).astype(float)
    middle, toward = (low + high) / 2, np.asarray(towards, dtype=float)
    helper = np.array([0.0, 1.0, 0.0]) if abs(toward[2]) > 0.9 else np.array([0.0, 0.0, 1.0])
    right = np.cross(helper, toward)
    right /= np.linalg.norm(right)
    up = np.cross(toward, right)
    corner = (high - low) / 2
    half = max(np.abs(right) @ corner, np.abs(up) @ corner) + 0.25
    return Lens(middle, toward, right, up, float(half), float(np.linalg.norm(corner)) + 1.0)


def sunlit(
    seen: DepthMap,
    points_m: NDArray[np.floating],
    *,
    radius_m: float,
    bias_m: float,
    fade_m: float = 0.0,
    taps: int = 10,
) -> Floats:
    """Share of the sun that reaches points (n, 3), averaged over a disc across its rays.

    `bias_m` lies between a point and what shades it. With `fade_m` light fades by exp(-depth /
    fade_m) behind the first leaf; without, it ends there.
    """
    across, up, depth = seen.lens.places(points_m)
    size = len(seen.depth_m)
    turn = np.random.default_rng(0).uniform(0, 2 * np.pi, len(points_m)).astype(np.float32)
    total = np.zeros(len(points_m), dtype=np.float32)
    for tap in range(taps):
        reach = np.float32(radius_m / (2 * seen.lens.half_m) * np.sqrt((tap + 0.5) / taps))
        angle = turn + tap * GOLDEN_ANGLE
        column = np.clip((across + reach * np.cos(angle)) * size, 0, size - 1).astype(np.int32)
        row = np.clip((up + reach * np.sin(angle)) * size, 0, size - 1).astype(np.int32)
        behind = depth - np.float32(bias_m) - seen.depth_m[row, column]
        if fade_m:
            total += np.exp(np.minimum(-behind / np.float32(fade_m), 0))
        else:
            total += behind <= 0
    return total / np.float32(taps)


def open_sky(above: DepthMap, ground_m: NDArray[np.floating], pixel_m: float) -> Floats:
    """Share of its sky that ground (rows, columns, 3) keeps under what stands close over it.

    Shade gathers within a hand's breadth of stems and walls, and wider under crowns.
    """
    across, up, depth = above.lens.places(ground_m.reshape(-1, 3))
    size = len(above.depth_m)
    column = np.clip(across * size, 0, size - 1).astype(np.int32)
    row = np.clip(up * size, 0, size - 1).astype(np.int32)
    over = np.maximum(depth - above.depth_m[row, column], 0).reshape(ground_m.shape[:2])
    near = _blurred(np.clip(over / 0.45, 0, 1) * (over < 3.0), 0.22 / pixel_m)
    wide = _blurred(np.clip(over / 1.5, 0, 1), 0.9 / pixel_m)
    share: Floats = np.clip((1 - 0.62 * near) * (1 - 0.40 * wide), 0.12, 1)
    return share


def _blurred(values: Floats, radius_pixels: float) -> Floats:
    picture = Image.fromarray((values * 255).astype(np.uint8))
    soft = np.asarray(picture.filter(ImageFilter.GaussianBlur(radius_pixels)))
    return soft.astype(np.float32) / np.float32(255)
