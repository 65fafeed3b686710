"""Built things as closed bodies of triangles: the one geometry for sight lines and pictures.

A solid is a list of parts, each with a role that says what it is made of. Every body is
closed and its triangles face outwards, so that a ray or a light may trust them. The
builders here (a prism on an outline, a strip along a line, a box on a wall) know nothing
of houses or fences.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from scenes.lattice import Array, IntArray

HeightAt = Callable[[Array], Array]
"""Ground height (n,) in metres at points (n, 2)."""

_BOX = np.array(
    [[0, 3, 2], [0, 2, 1], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4],
     [1, 2, 6], [1, 6, 5], [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]]
)  # fmt: skip
"""Faces of a box whose points run round the foot, then round the top, counter-clockwise."""


@dataclass(frozen=True)
class Part:
    """Triangles (m, 3) over points (n, 3) in metres, of one role."""

    role: str  # wall | trim | roof | glass | door | plinth | fence | stone | box | model
    points_m: Array
    triangles: IntArray


@dataclass(frozen=True)
class Solid:
    """A built thing; `open_share` of a sight line passes through it."""

    name: str
    kind: str
    open_share: float
    parts: tuple[Part, ...]


def joined(role: str, parts: Iterable[Part]) -> Part:
    """Several parts as one of the given role."""
    parts = list(parts)
    starts = np.cumsum([0] + [len(part.points_m) for part in parts[:-1]])
    return Part(
        role,
        np.concatenate([part.points_m for part in parts]),
        np.concatenate([p.triangles + s for p, s in zip(parts, starts, strict=True)]),
    )


def ring_m(outline: Polygon) -> Array:
    """The corners (n, 2) of an outline in metres, counter-clockwise, none repeated."""
    return np.array(shapely.orient_polygons(outline).exterior.coords[:-1])


def prism(role: str, outline: Polygon, *, low_m: float, high_m: float) -> Part:
    """The upright body over an outline between two levels."""
    ring = ring_m(outline)
    count = len(ring)
    foot = np.column_stack([ring, np.full(count, low_m)])
    top = np.column_stack([ring, np.full(count, high_m)])
    cap = cap_triangles(ring)
    here = np.arange(count)
    there = (here + 1) % count
    walls = np.concatenate(
        [
            np.column_stack([here, there, there + count]),
            np.column_stack([here, there + count, here + count]),
        ]
    )
    return Part(
        role, np.concatenate([foot, top]), np.concatenate([cap[:, ::-1], cap + count, walls])
    )


def cap_triangles(ring: Array) -> IntArray:
    """Triangles (m, 3), counter-clockwise, that fill a ring of corners (n, 2)."""
    pieces = shapely.get_parts(shapely.constrained_delaunay_triangles(Polygon(ring)))
    corners = shapely.get_coordinates(shapely.orient_polygons(pieces)).reshape(-1, 4, 2)[:, :3]
    apart = np.abs(corners[:, :, None, :] - ring).sum(axis=-1)
    return np.asarray(apart.argmin(axis=-1))


def strip(role: str, *, left_m: Array, right_m: Array, low_m: Array, high_m: Array) -> Part:
    """The body along stations (n, 2) of a left and a right side, between levels (n,)."""
    count = len(left_m)
    points = np.stack(
        [
            np.column_stack([left_m, low_m]),
            np.column_stack([right_m, low_m]),
            np.column_stack([right_m, high_m]),
            np.column_stack([left_m, high_m]),
        ],
        axis=1,
    )
    start = 4 * np.arange(count - 1)[:, None]
    sides = []
    for k in range(4):
        a, b = k, (k + 1) % 4
        sides += [start + np.array([a, a + 4, b + 4]), start + np.array([a, b + 4, b])]
    last = 4 * (count - 1)
    ends = np.array([[0, 1, 2], [0, 2, 3], [last, last + 2, last + 1], [last, last + 3, last + 2]])
    return Part(role, points.reshape(-1, 3), np.concatenate([*sides, ends]))


def box_on_wall(role: str, corners_m: Array, *, inwards_m: float, outwards_m: float) -> Part:
    """A box through a wall: from its face (4, 3), anticlockwise from outside, in and out."""
    across, up = corners_m[1] - corners_m[0], corners_m[3] - corners_m[0]
    out = np.cross(across, up)
    out /= np.linalg.norm(out)
    return Part(
        role,
        np.concatenate([corners_m - inwards_m * out, corners_m + outwards_m * out]),
        _BOX,
    )
