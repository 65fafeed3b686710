"""What each spray head still wets as the plants around it grow past its riser, year by year.

Water leaves a head at the height of its riser and runs straight over the sector of its throw:
level, and lower where the ground falls, never higher above it than the riser. Ground that rises
to it stops the water, and so does a wall or fence that reaches that high, and a crown, as wide
as it is at that level; what lies behind stays dry. Heads stand upright; drift, and water that
arches over or bends round are left out. The riser that would clear is the tallest top in the
sector, expected, above the ground at the head; none where that is taller than any riser.

Source: heads spaced no farther than their throw, so that each wets its neighbour, and risers
that clear the mature plants (common practice of irrigation).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from growth.checks.keepclear import Keep
from growth.crownbands import widest_m
from growth.crowns import FORMS
from growth.memory import Memory, digest
from growth.ranges import Range, range_of_draws
from growth.stand import Draws, Stand
from scenes.document import SprayHead
from scenes.lengths import METRES
from scenes.terrain import Terrain

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

RAYS, STEPS, SPRAY_DRAWS = 90, 20, 128
"""Directions of a head's sector, steps along each, and the most joint draws looked at."""

BUILT = ("wall", "fence")

WHOLE = 0.95
"""A head counts as reaching its ground down to this share of it; assumed."""

HIGHEST_RISER_M = 6 * METRES["ft"]
"""No riser is taller; assumed."""


@dataclass(frozen=True)
class Spray:
    """One head: the share of its ground that water reaches, over the years."""

    head: str
    at: tuple[float, float]
    riser_m: float
    throw_m: float
    sector_m2: float
    reached: Range
    first_dry_year: int | None
    clearing_riser_m: float | None
    nearest_head_m: float | None

    @property
    def head_to_head(self) -> bool:
        """Whether its water reaches the nearest other head."""
        return self.nearest_head_m is not None and self.nearest_head_m <= self.throw_m


def spray(
    heads: Sequence[SprayHead],
    terrain: Terrain,
    stand: Stand,
    draws: Draws,
    things: Sequence[Keep] = (),
    memory: Memory | None = None,
) -> tuple[tuple[Spray, ...], Mapping[str, Range]]:
    """Every head of the irrigation against the plants of the stand, and walls and fences among
    the things; and the share reached by head's name, and of the lot: by the worst head of each
    joint draw. With a memory, heads that no moved plant comes near are not looked at anew."""
    draws = draws.only(count=SPRAY_DRAWS)
    built = [thing for thing in things if thing.what in BUILT]
    near = [_in_reach(head, stand.xyz_m[:, :2] - head.at, stand) for head in heads]
    numbers = list(range(len(heads)))

    def run_m(some: list[int]) -> list[Array]:
        return [_run_m(heads[n], built, terrain) for n in some]

    def looked_at(some: list[int]) -> list[tuple[Spray, Array]]:
        return [_spray(heads[n], near[n], heads, terrain, stand, draws, runs[n]) for n in some]

    memory = memory or Memory()
    site = digest(heads, terrain.lattice, terrain.after_m, built)
    runs = memory.each([("run", site, n) for n in numbers], run_m)
    made_of = [(site, n, draws.origin, near[n], stand.xyz_m[near[n]]) for n in numbers]
    found = memory.each([("spray", *each) for each in made_of], looked_at)
    sharing: dict[str, list[Array]] = {}
    for one, shares in found:
        for name in (one.head, "lot"):
            sharing.setdefault(name, []).append(shares)
    reached = {name: range_of_draws(np.min(shares, axis=0)) for name, shares in sharing.items()}
    return tuple(one for one, _ in found), reached


def _spray(
    head: SprayHead,
    near: IntArray,
    heads: Sequence[SprayHead],
    terrain: Terrain,
    stand: Stand,
    draws: Draws,
    run_m: Array,
) -> tuple[Spray, Array]:
    """One head with the plants near it and how far its water runs without them, (RAYS,), and the
    share of its ground that water reaches by draw and year, (D, Y)."""
    ground_m = float(terrain.height_m(np.array([head.at]))[0])
    away_m = stand.xyz_m[:, :2] - head.at
    level_m = ground_m + head.riser
    reach_m = _reach_m(head, away_m, near, run_m, level_m, stand, draws)
    shares = ((reach_m / head.throw) ** 2).mean(axis=2)
    reached = range_of_draws(shares)
    dry = np.flatnonzero(reached.expected < WHOLE)
    tops_m = stand.xyz_m[near, 2] + stand.height_m.expected[:, near].max(axis=0) - ground_m
    clearing_m = float(max(head.riser, tops_m.max(initial=0)))
    others = [np.hypot(*np.subtract(other.at, head.at)) for other in heads if other is not head]
    found = Spray(
        head=head.name,
        at=head.at,
        riser_m=head.riser,
        throw_m=head.throw,
        sector_m2=np.radians(_sweep_deg(head)) / 2 * head.throw**2,
        reached=reached,
        first_dry_year=int(dry[0]) if len(dry) else None,
        clearing_riser_m=clearing_m if clearing_m <= HIGHEST_RISER_M else None,
        nearest_head_m=float(min(others)) if others else None,
    )
    return found, shares


def _run_m(head: SprayHead, built: Sequence[Keep], terrain: Terrain) -> Array:
    """How far water runs where no plant is in its way, by direction, (RAYS,)."""
    level_m = float(terrain.height_m(np.array([head.at]))[0]) + head.riser
    open_m = _open_m(head, built, terrain, level_m)
    return np.minimum(open_m, _above_ground_m(head, terrain, level_m))


def _open_m(head: SprayHead, built: Sequence[Keep], terrain: Terrain, level_m: float) -> Array:
    """How far water of a level runs until a wall or fence stops it, by direction, (RAYS,)."""
    start = np.array(head.at)
    ends = start + head.throw * _directions(head)
    rays = shapely.linestrings(np.stack([np.broadcast_to(start, ends.shape), ends], axis=1))
    run_m = np.full(RAYS, head.throw)
    for thing in built:
        edge = thing.shape.boundary if thing.shape.area > 0 else thing.shape
        for ray, met in enumerate(shapely.intersection(rays, edge)):
            at = shapely.get_coordinates(met)
            foot_m = terrain.height_m(at) if thing.datum_m is None else thing.datum_m
            high = at[np.broadcast_to(foot_m + thing.high_m > level_m, len(at))]
            if len(high):
                run_m[ray] = min(run_m[ray], float(np.hypot(*(high - start).T).min()))
    return run_m


def _above_ground_m(head: SprayHead, terrain: Terrain, level_m: float) -> Array:
    """How far water of a level runs until the ground rises to it, by direction, (RAYS,)."""
    away_m = head.throw * (np.arange(STEPS) + 1) / STEPS
    places = np.array(head.at) + away_m[:, None, None] * _directions(head)
    rises = terrain.height_m(places.reshape(-1, 2)).reshape(STEPS, RAYS) >= level_m
    first = np.where(rises.any(axis=0), rises.argmax(axis=0), STEPS)
    return np.asarray(head.throw * first / STEPS)


def _sweep_deg(head: SprayHead) -> float:
    """Degrees of the sector, clockwise from its first azimuth; equal ends are all round."""
    return (head.arc[1] - head.arc[0]) % 360 or 360.0


def _azimuths_deg(head: SprayHead) -> Array:
    """Middles of equal parts of the sector, clockwise from north."""
    return head.arc[0] + _sweep_deg(head) * (np.arange(RAYS) + 0.5) / RAYS


def _directions(head: SprayHead) -> Array:
    azimuths = np.radians(_azimuths_deg(head))
    return np.column_stack([np.sin(azimuths), np.cos(azimuths)])


def _in_reach(head: SprayHead, away_m: Array, stand: Stand) -> IntArray:
    """Plants whose widest high crown cuts the sector."""
    radius_m = stand.spread_m.high.max(axis=0) / 2
    within = np.flatnonzero(np.hypot(*away_m.T) - radius_m < head.throw)
    ways = _directions(head)
    hit = [
        (_entry_m(*_along_across_m(ways, away_m[n]), radius_m[n]) < head.throw).any()
        for n in within
    ]
    return np.asarray(within[np.array(hit, bool)], np.int64)


def _reach_m(
    head: SprayHead,
    away_m: Array,
    near: IntArray,
    run_m: Array,
    level_m: float,
    stand: Stand,
    draws: Draws,
) -> Array:
    """How far water runs in each draw, year and direction, (D, Y, RAYS).

    A plant is held against those ways alone that it stops where it is widest.
    """
    ways = _directions(head)
    count = draws.height_m.shape[:2]
    reach_m = np.broadcast_to(run_m, (*count, RAYS)).transpose(2, 0, 1).copy()
    for plant, radius_m in _in_the_way(near, head.riser, level_m, stand, draws):
        along_m, across_m = _along_across_m(ways, away_m[plant])
        stopped = np.flatnonzero(_entry_m(along_m, across_m, radius_m.max()) < run_m)
        if len(stopped):
            there = stopped[:, None, None]
            entry_m = _entry_m(along_m[there], across_m[there], radius_m)
            reach_m[stopped] = np.minimum(reach_m[stopped], entry_m)
    return np.ascontiguousarray(reach_m.transpose(1, 2, 0))


def _in_the_way(
    near: IntArray, riser_m: float, level_m: float, stand: Stand, draws: Draws
) -> Iterator[tuple[int, NDArray[np.floating]]]:
    """Each near plant and its radius in metres where the water comes, by (draw, year), zero
    where water passes above or below it."""
    for plant in near:
        above_m = np.array(min(level_m - stand.xyz_m[plant, 2], riser_m))
        radius_m = widest_m(
            FORMS[stand.plants[stand.plant[plant]].form],
            height_m=draws.height_m[:, :, plant], spread_m=draws.spread_m[:, :, plant],
            base_m=draws.crown_base_m[:, :, plant], low_m=above_m, high_m=above_m,
        )  # fmt: skip
        if (radius_m > 0).any():
            yield int(plant), np.maximum(radius_m, 0)


def _along_across_m(ways: Array, away_m: Array) -> tuple[Array, Array]:
    """How far along each way a crown's middle lies, and how far beside it."""
    return ways @ away_m, ways[:, 0] * away_m[1] - ways[:, 1] * away_m[0]


def _entry_m(along_m: Array, across_m: Array, radius_m: NDArray[np.floating] | float) -> Array:
    """Distance from the head at which ways enter a crown, inf where they miss it."""
    inside = radius_m**2 - across_m**2
    half_m = np.sqrt(np.maximum(inside, 0))
    hits = (inside > 0) & (along_m + half_m > 0)
    return np.where(hits, np.maximum(along_m - half_m, 0), np.inf)
