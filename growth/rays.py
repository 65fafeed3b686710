"""How much of an upright panel the crowns hide from one eye, row by row of sizes.

Sight lines run from the eye to a grid of points on the panel, and meet each crown along one
chord (`growth.chords`). Light dies away along it by Beer-Lambert with the kind's density.
Where crowns overlap the denser leaf counts once: per line the last interval is kept and
crowns are taken by the distance of their near edge; the small error of that against the exact
maximum is held down by a test. Each crown touches only the window of the picture it can reach.
Leaning, lobes and gaps are left out.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from growth.chords import Lines, meet
from growth.crowns import Form
from growth.errors import GrowthError

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

OPAQUE_PER_M = 1e6
"""A density that lets nothing through, for crowns taken as solid bodies."""

BLOCK_LINES = 2**18
"""Sight lines times rows worked on at once: their running state stays in the cache."""

LEAST_ROWS = 31
"""Rows worked on together even where a strip of the picture must then be narrow."""

_KEPT_FLOATS = 7_500_000

_THIN_M = 1e-3
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


@dataclass(frozen=True)
class Crowns:
    """Crowns of n plants in T rows of sizes, with S densities each (leaf, bare)."""

    foot_m: Array  # (n, 3)
    height_m: Floats  # (T, n)
    spread_m: Floats  # (T, n); zero where absent
    base_m: Floats  # (T, n)
    forms: tuple[Form, ...]
    form: IntArray  # (n,) index into forms
    density_per_m: Array  # (S, n)
    vigour: Floats | None = None  # (T, n) factor on the density; None where all are undamaged

    def rows(self, first: int, last: int) -> "Crowns":
        """The same crowns in the rows first to last - 1."""
        part = slice(first, last)
        return replace(
            self,
            height_m=self.height_m[part],
            spread_m=self.spread_m[part],
            base_m=self.base_m[part],
            vigour=None if self.vigour is None else self.vigour[part],
        )

    def only(self, chosen: IntArray) -> "Crowns":
        """The chosen plants alone, in their order."""
        return Crowns(
            self.foot_m[chosen], self.height_m[:, chosen], self.spread_m[:, chosen],
            self.base_m[:, chosen], self.forms, self.form[chosen],
            self.density_per_m[:, chosen],
            None if self.vigour is None else self.vigour[:, chosen],
        )  # fmt: skip

    def density_of(self, plant: int) -> Floats:
        """Density of one plant's crown per metre, (S, T), or (S, 1) where it never changes."""
        density = self.density_per_m[:, plant, None].astype(np.float32)
        return density if self.vigour is None else density * self.vigour[:, plant]


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
    # Freed at once, 30 MB make the C library keep freed pages for the windows to come, where
    # it would hand each back to the system: a third of the time. Never written, so free itself.
    np.empty(_KEPT_FLOATS, np.float32)
    step = max(LEAST_ROWS, BLOCK_LINES // fan.rise_m.size)
    tiles = _tiles(fan, -(-fan.rise_m.size * min(step, len(crowns.height_m)) // BLOCK_LINES))
    for first in range(0, len(crowns.height_m), step):
        rows = crowns.rows(first, first + step)
        yield first, np.concatenate([_through(tile, rows) for tile in tiles], axis=2)


def _tiles(fan: Fan, count: int) -> list[Fan]:
    """The sight lines in strips of columns."""
    strips = np.array_split(np.arange(fan.rise_m.shape[1]), min(count, fan.rise_m.shape[1]))
    start = np.broadcast_to(fan.start, fan.rise_m.shape[1:])
    return [
        Fan(fan.eye_m, fan.across_m[:, strip], fan.rise_m[:, strip], start[strip])
        for strip in strips
    ]


def _through(fan: Fan, crowns: Crowns) -> Floats:
    """Share of light the crowns let through, (S, nv, nu, T)."""
    length = fan.length_m.astype(np.float32)[:, :, None]
    return np.asarray(np.exp(-_depth(fan, crowns) * length))


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
) -> Array:
    """What `measure` makes (S, ..., T) of pictures (S, nv, nu, T) of the share of light that
    comes through, 0-1."""
    passing = (np.ones(fan.rise_m.shape) if static is None else static).astype(np.float32)
    crowns = crowns.only(within_reach(fan, crowns))
    density, season = np.unique(crowns.density_per_m, axis=0, return_inverse=True)
    parts = [
        measure(through * passing[:, :, None])
        for _, through in transmitted(fan, replace(crowns, density_per_m=density))
    ]
    found = np.concatenate(parts, axis=-1).astype(float)
    return np.asarray(np.clip(found[season], 0.0, 1.0))


def within_reach(fan: Fan, crowns: Crowns) -> IntArray:
    """Plants that some sight line can meet in some row."""
    windows = _windows(fan, crowns, _clearance_m(fan, crowns.foot_m))
    return np.flatnonzero((windows[:, 0] < windows[:, 1]) & (windows[:, 2] < windows[:, 3]))


def _clearance_m(fan: Fan, foot_m: Array) -> Array:
    """Least horizontal distance of each column's lines from each plant's axis, (n, nu)."""
    dx, dy = fan.across_m
    ox, oy = (fan.eye_m[:2] - foot_m[:, :2]).T[:, :, None]
    t = np.clip(-(ox * dx + oy * dy) / (dx**2 + dy**2), 0, 1)
    clearance: Array = np.hypot(ox + t * dx, oy + t * dy)
    return clearance


def _windows(fan: Fan, crowns: Crowns, clearance_m: Array) -> IntArray:
    """First and end row, first and end column each crown can touch, (n, 4)."""
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
    bottom, top = crowns.foot_m[:, 2] - fan.eye_m[2] + _reach_m(crowns)
    least = bottom / np.where(bottom < 0, near, far)
    most = top / np.where(top > 0, near, far)
    first = np.searchsorted(fan.rise_m.max(axis=1), least, side="left")
    end = np.searchsorted(fan.rise_m.min(axis=1), most, side="right")
    return np.column_stack([first, end])


def _reach_m(crowns: Crowns) -> Array:
    """Lowest base and highest top above the foot where the plant is present, (2, n)."""
    present = crowns.spread_m > 0
    base = np.where(present, crowns.base_m, np.inf).min(axis=0)
    top = np.where(present, crowns.height_m, -np.inf).max(axis=0)
    return np.array([np.where(np.isfinite(base), base, 0), np.where(np.isfinite(top), top, 0)])


def _depth(fan: Fan, crowns: Crowns) -> Floats:
    """Leaf depth as density times share of the sight line, (S, nv, nu, T), per metre.

    The loop over plants is needed: each adds to what those before it left open. The state
    is kept in place, window by window: copies of it would double the time. Rows of sizes
    run last, so that the inner loops are long however small the window.
    """
    lines = (*fan.rise_m.shape, len(crowns.height_m))
    start, end = np.full((2, *lines), -1, np.float32)
    depth, dense = np.zeros((2, len(crowns.density_per_m), *lines), np.float32)
    windows = _windows(fan, crowns, _clearance_m(fan, crowns.foot_m))
    for plant in _near_to_far(fan, crowns):
        r0, r1, c0, c1 = windows[plant]
        if r0 >= r1 or c0 >= c1:
            continue
        enter, through = meet(
            crowns.forms[crowns.form[plant]].pieces,
            _lines(fan, crowns.foot_m[plant], windows[plant]),
            _body(fan, crowns, plant),
        )
        leave = enter + through
        here = (slice(r0, r1), slice(c0, c1))
        start_here, end_here = start[here], end[here]
        shared = np.minimum(leave, end_here) - np.maximum(enter, start_here)
        shared = np.maximum(shared, 0)
        onward = leave > end_here
        for season, density in enumerate(crowns.density_of(plant)):
            depth_here, dense_here = depth[season][here], dense[season][here]
            depth_here += density * through - np.minimum(density, dense_here) * shared
            np.copyto(dense_here, density, where=onward)
        np.copyto(start_here, np.minimum(start_here, enter), where=onward)
        np.copyto(start_here, enter, where=enter > end_here)
        np.maximum(end_here, leave, out=end_here)
    return np.asarray(depth)


def _near_to_far(fan: Fan, crowns: Crowns) -> IntArray:
    """Plants by the distance of their near edge from the eye."""
    away = np.hypot(*(crowns.foot_m[:, :2] - fan.eye_m[:2]).T)
    return np.argsort(away - crowns.spread_m.max(axis=0, initial=0) / 2, kind="stable")


def _lines(fan: Fan, foot_m: Array, window: IntArray) -> Lines:
    """The sight lines of a window seen from a plant's axis."""
    r0, r1, c0, c1 = window
    dx, dy = fan.across_m[:, c0:c1, None]
    dz = fan.rise_m[r0:r1, c0:c1, None]
    ox, oy = fan.eye_m[:2] - foot_m[:2]
    return Lines(
        d2=(dx**2 + dy**2).astype(np.float32),
        dz=dz.astype(np.float32),
        per_dz=(1 / dz).astype(np.float32),
        dz2=(dz**2).astype(np.float32),
        along=(ox * dx + oy * dy).astype(np.float32),
        cross2=((ox * dy - oy * dx) ** 2).astype(np.float32),
        away2=float(ox**2 + oy**2),
        start=np.broadcast_to(fan.start, fan.rise_m.shape[1:])[c0:c1, None].astype(np.float32),
    )


def _body(fan: Fan, crowns: Crowns, plant: int) -> tuple[Array, Array, Array]:
    """Radius, crown base above the eye and crown height of one plant, each (T,), metres."""
    radius = crowns.spread_m[:, plant].astype(float) / 2
    base = crowns.base_m[:, plant].astype(float)
    tall = np.maximum(crowns.height_m[:, plant] - base, _THIN_M)
    return radius, base + crowns.foot_m[plant, 2] - fan.eye_m[2], tall
