"""How much of an upright panel the crowns hide from one eye, row by row of sizes.

Sight lines run from the eye to a grid of points on the panel, and meet crowns as
`growth.beams` says: closed form, Beer-Lambert, and the denser leaf once where crowns overlap;
the small error of the last against the exact maximum is held down by a test. Each crown
touches only the window of the picture it can reach.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from growth.compiled import in_parts
from growth.crownset import Crowns
from growth.errors import GrowthError

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

OPAQUE_PER_M = 1e6
"""A density that lets nothing through, for crowns taken as solid bodies."""

MOST_LINES = 2**21
"""Sight lines times rows worked on at once: 8 MB a season."""

_ROWS_IN_CACHE = 1024

_LEVEL_M = 1e-6


@dataclass(frozen=True)
class Fan:
    """Sight lines from an eye to the cells of an upright panel, left to right and bottom up."""

    eye_m: Array  # (3,)
    across_m: Array  # (2, nu): x and y from the eye to each column
    rise_m: Array  # (nv, nu): z from the eye to each cell
    start: Array | float = 0.0  # (nu,): share of each line's length before which nothing hides

    @property
    def length_m(self) -> Array:
        """Length of every sight line, metres, (nv, nu)."""
        return np.hypot(np.hypot(*self.across_m), self.rise_m)


def fan(
    eye_m: Array, panel_m: Array, *, rows: int, columns: int, line_m: Array | None = None
) -> Fan:
    """Sight lines to the cell centres of a panel given by its four corners.

    Corners: lower left, lower right, upper right, upper left; sides are upright. Only what
    stands beyond an upright plane through `line_m` (2, 2), if it is given, can hide.
    """
    lower, upper = panel_m[:2], panel_m[[3, 2]]
    if np.abs(lower[:, :2] - upper[:, :2]).max() > 1e-6:
        raise GrowthError("a view's panel leans; only panels with upright sides are computed")
    u = (np.arange(columns) + 0.5) / columns
    v = (np.arange(rows) + 0.5)[:, None] / rows
    bottom = lower[0] + u[:, None] * (lower[1] - lower[0])
    top_z = upper[0, 2] + u * (upper[1, 2] - upper[0, 2])
    rise = bottom[:, 2] + v * (top_z - bottom[:, 2]) - eye_m[2]
    rise = np.where(np.abs(rise) < _LEVEL_M, _LEVEL_M, rise)
    across = (bottom[:, :2] - eye_m[:2]).T.copy()
    if line_m is None:
        return Fan(np.asarray(eye_m, float), across, rise)
    normal = np.array([line_m[0, 1] - line_m[1, 1], line_m[1, 0] - line_m[0, 0]])
    start = (line_m[0] - eye_m[:2]) @ normal / (normal @ across)
    return Fan(np.asarray(eye_m, float), across, rise, np.clip(start, 0, 1))


def transmitted(fan: Fan, crowns: Crowns) -> Iterator[tuple[int, Floats]]:
    """Share of light the crowns let through: first row and (S, nv, nu, rows), block by block.

    Rows of like size should stand together: a block shares each crown's window.
    """
    step = rows_at_once(fan)
    length = fan.length_m.astype(np.float32)[:, :, None]
    for first in range(0, len(crowns.height_m), step):
        depth = depth_of(fan, crowns.rows(first, first + step))
        yield first, np.exp(-depth * length)


def rows_at_once(fan: Fan) -> int:
    """Rows of sizes that are looked through together."""
    return max(1, min(_ROWS_IN_CACHE, MOST_LINES // fan.rise_m.size))


def blocked_share(fan: Fan, crowns: Crowns, *, static: Array | None = None) -> Array:
    """Share of the panel hidden from the eye, (S, T); `static` (nv, nu) is what still passes
    walls and ground."""
    return 1 - measured(fan, crowns, lambda seen: seen.mean(axis=(1, 2)), static=static)


def measured(
    fan: Fan,
    crowns: Crowns,
    measure: Callable[[Floats], Floats],
    *,
    static: Array | None = None,
    pictures: Callable[[Fan, Crowns], Iterator[tuple[int, Floats]]] | None = None,
) -> Array:
    """What `measure` makes (S, ..., T) of pictures (S, nv, nu, T) of the share of light that
    comes through, 0-1; `pictures` makes those of the crowns, as `transmitted` does."""
    passing = (np.ones(fan.rise_m.shape) if static is None else static).astype(np.float32)
    if pictures is None:
        crowns, pictures = crowns.only(within_reach(fan, crowns)), transmitted
    density, season = np.unique(crowns.density_per_m, axis=0, return_inverse=True)
    parts = [
        measure(through * passing[:, :, None])
        for _, through in pictures(fan, replace(crowns, density_per_m=density))
    ]
    found = np.concatenate(parts, axis=-1).astype(float)
    return np.asarray(np.clip(found[season], 0.0, 1.0))


def within_reach(fan: Fan, crowns: Crowns) -> IntArray:
    """Plants that some sight line can meet in some row."""
    windows = windows_of(fan, crowns)
    return np.flatnonzero((windows[:, 0] < windows[:, 1]) & (windows[:, 2] < windows[:, 3]))


def _clearance_m(fan: Fan, foot_m: Array) -> Array:
    """Least horizontal distance of each column's lines from each plant's axis, (n, nu)."""
    dx, dy = fan.across_m
    ox, oy = (fan.eye_m[:2] - foot_m[:, :2]).T[:, :, None]
    t = np.clip(-(ox * dx + oy * dy) / (dx**2 + dy**2), 0, 1)
    clearance: Array = np.hypot(ox + t * dx, oy + t * dy)
    return clearance


def windows_of(fan: Fan, crowns: Crowns) -> IntArray:
    """First and end row, first and end column each crown can touch in some row, (n, 4)."""
    clearance_m = _clearance_m(fan, crowns.foot_m)
    radius = crowns.spread_m.max(axis=0).astype(float) / 2
    hit = (clearance_m <= radius[:, None]) & (radius > 0)[:, None]
    rows = _row_window(fan, crowns, hit, radius)
    columns = hit.shape[1]
    left = np.where(hit.any(axis=1), hit.argmax(axis=1), columns)
    right = np.where(hit.any(axis=1), columns - hit[:, ::-1].argmax(axis=1), 0)
    return np.column_stack([rows, left, right])


def _row_window(fan: Fan, crowns: Crowns, hit: BoolArray, radius: Array) -> IntArray:
    """First and end row of the picture each crown can touch, (n, 2)."""
    length = np.hypot(*fan.across_m)
    shortest = np.where(hit, length, np.inf).min(axis=1)
    longest = np.where(hit, length, 1e-9).max(axis=1)
    away = np.hypot(*(crowns.foot_m[:, :2] - fan.eye_m[:2]).T)
    near = np.clip((away - radius) / longest, 1e-6, 1)
    far = np.clip((away + radius) / shortest, 1e-6, 1)
    bottom, top = crowns.foot_m[:, 2] - fan.eye_m[2] + crowns.reach_m[1:]
    least = bottom / np.where(bottom < 0, near, far)
    most = top / np.where(top > 0, near, far)
    first = np.searchsorted(fan.rise_m.max(axis=1), least, side="left")
    end = np.searchsorted(fan.rise_m.min(axis=1), most, side="right")
    return np.column_stack([first, end])


def depth_of(fan: Fan, crowns: Crowns, wanted: BoolArray | None = None) -> Floats:
    """Leaf depth as density times share of the sight line, (S, nv, nu, T), per metre; where
    lines are not wanted (nv, nu) it is anything."""
    from growth import beams  # loads the compiler, a quarter of a second

    bodies = beams.bodies(crowns)
    shape = (len(bodies.density_per_m), *fan.rise_m.shape, bodies.tall_m.shape[1])
    depth = np.empty(shape, np.float32)
    lines = (
        bodies,
        fan.eye_m - crowns.foot_m,
        fan.across_m,
        fan.rise_m,
        np.broadcast_to(np.asarray(fan.start, float), fan.rise_m.shape[1:]),
        np.ones(fan.rise_m.shape, bool) if wanted is None else wanted,
        windows_of(fan, crowns),
        near_to_far(fan, crowns),
    )

    def work(first: int, end: int) -> None:
        room = np.empty((7 + 2 * shape[0], shape[3]), np.float32)
        beams.look_through(*lines, first, end, room, np.empty(len(lines[-1]), np.int64), depth)

    in_parts(work, shape[2])
    return depth[..., : len(crowns.height_m)]


def near_to_far(fan: Fan, crowns: Crowns) -> IntArray:
    """Plants by the distance of their near edge from the eye."""
    away = np.hypot(*(crowns.foot_m[:, :2] - fan.eye_m[:2]).T)
    return np.argsort(away - crowns.spread_m.max(axis=0, initial=0) / 2, kind="stable")
