"""A scan or photo of a plat under the plan: how its pixels lie in the yard.

Points of the picture, whose place in the yard is known, tie it: by scale, turn and shift alone,
so that right angles stay right. Two points fix it; more are met by least squares, and what is
missed is told. Stretched paper, a tilted camera and lens errors are left out: they show as
misfit. Pixels are counted from the top left corner of the picture as it is seen, x to the right
and y down; the yard's y runs up.

Source: S. Umeyama, Least-squares estimation of transformation parameters between two point
patterns (IEEE PAMI 13, 1991, doi:10.1109/34.88573), eqs. 34-43, in the plane, where turn and
scale are one complex number.
"""

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from scenes.document import Yard
from scenes.errors import Mistake, mistake_of
from scenes.files import PICTURE_BYTES, file_inside
from scenes.lattice import Array
from scenes.pictures import PICTURE_TYPES, picture_size

NEAREST_PX = 10.0
"""Points of a picture that lie all closer together than this cannot tie it."""

NEAREST_M = 0.1
"""Nor can places in the yard."""

SURE = 1e-6
"""A mirrored picture must fit better than an upright one by more than this share to be called so:
points on one line fit both ways."""


@dataclass(frozen=True)
class Tie:
    """Where pixels lie: x + iy = turned * (u - iv) + shifted, and how far points are missed."""

    turned: complex
    shifted: complex
    missed_m: Array

    @property
    def metres_a_pixel(self) -> float:
        """The scale: the width of a pixel in metres."""
        return abs(self.turned)

    @property
    def turn_deg(self) -> float:
        """How far the picture is turned counter-clockwise, in degrees from -180 to 180."""
        return float(np.degrees(cmath.phase(self.turned)))

    @property
    def misfit_m(self) -> float:
        """The root mean square of how far the points are missed; 0 of two."""
        return float(np.sqrt(np.mean(self.missed_m**2)))

    def places_m(self, pixels: Array) -> Array:
        """Places (n, 2) in metres of pixels (n, 2)."""
        z = self.turned * (pixels[:, 0] - 1j * pixels[:, 1]) + self.shifted
        return np.column_stack([z.real, z.imag])

    def pixels(self, places_m: Array) -> Array:
        """Pixels (n, 2) of places (n, 2) in metres."""
        z = (places_m[:, 0] + 1j * places_m[:, 1] - self.shifted) / self.turned
        return np.column_stack([z.real, -z.imag])


def tied(points: Sequence[tuple[float, float, float, float]]) -> Tie:
    """How points (pixel x, pixel y, yard x, yard y) tie a picture.

    Raises ValueError "wrong; remedy" where they lie too close together, or are mirrored.
    """
    u, v, x, y = np.asarray(points, dtype=float).T
    pixels, places = u - 1j * v, x + 1j * y
    middle, centre = pixels.mean(), places.mean()
    from_middle, from_centre = pixels - middle, places - centre
    if np.abs(from_middle).max() < NEAREST_PX / 2:
        raise ValueError("are all at one place of the picture; give points far apart")
    if np.abs(from_centre).max() < NEAREST_M / 2:
        raise ValueError("are all at one place of the yard; give points far apart")
    spread = float(np.sum(np.abs(from_middle) ** 2))
    upright = complex(np.sum(np.conj(from_middle) * from_centre))
    mirrored = complex(np.sum(from_middle * from_centre))
    if abs(mirrored) > abs(upright) * (1 + SURE):
        raise ValueError(
            "fit a mirrored picture better; write pixel x, pixel y, yard x, yard y, with "
            "pixel y counted down from the top, and look for points that are exchanged"
        )
    turned = upright / spread
    missed = turned * from_middle - from_centre
    return Tie(turned, complex(centre - turned * middle), np.abs(missed))


def base_plan_tied(yard: Yard) -> Iterator[Mistake]:
    """A base plan that is no picture, or is not tied by its points."""
    plan = yard.base_plan
    if plan is None:
        return
    try:
        path = file_inside(
            yard.path.parent, plan.picture, types=PICTURE_TYPES, most_bytes=PICTURE_BYTES
        )
        width, height = picture_size(path)
    except ValueError as error:
        yield mistake_of(error, "base_plan.picture", value=plan.picture)
        return
    for number, (u, v, *_) in enumerate(plan.points, 1):
        if not (0 <= u <= width and 0 <= v <= height):
            wrong = f"pixel ({u:g}, {v:g}) lies outside the picture of {width} by {height} pixels"
            remedy = "count pixels from its top left corner, x to the right and y down"
            yield Mistake(f"base_plan.points[{number}]", wrong, remedy)
    try:
        tied(plan.points)
    except ValueError as error:
        yield mistake_of(error, "base_plan.points")
