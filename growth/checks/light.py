"""Hours of direct sun at each plant as the yard grows, against what the plant needs.

A plant is looked at from two thirds of its height, its own crown left out, on a mean day of the
growing season (May to August, south of the equator November to February). Ground, built things
and the leaf of other crowns hide the sun; a crown that lets a third of it through counts as a
third of the time. Plants of one table within a square of two metres share the light of the one
nearest their middle. Years between those looked at are interpolated. Clouds are left out.

Source: sun by `growth.sun`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import Lighting, SpotLight
from growth.checks.needs import SAMPLED_YEARS, need_h
from growth.crownrows import crowns_in_rows
from growth.memory import Memory, digest
from growth.ranges import Range, range_of_draws
from growth.shade import Grove, Meetings, grove, meetings, place_tokens, room_of_all, sun_lost
from growth.skyline import sun_past_ground_and_built
from growth.stand import Draws, Stand
from growth.sun import SunPath, growing_season
from scenes.document import Site
from scenes.layout import Layout
from scenes.terrain import Terrain

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]

SHARE_OF_HEIGHT = 2 / 3
"""Where the light of a plant is looked at; assumed, about where most of its leaf stands."""

SQUARE_M = 2.0
"""Side of the square within which plants of one table share the light of one; for speed."""

LEVEL_M = 0.25
"""Heights that plants are looked at from, where built things hide the sun, are rounded to this."""

TURNS, OF_TURN = 7, 11
DRAWS = TURNS * OF_TURN
"""Joint draws that are looked at, in turns: the draws of one look towards every seventh direction,
which counts for those near it as well, so that all together look towards all. There are fewer
turns where the draws are too few for them. Ends of the ranges of single spots lie 0.06 to 0.07
of the range's width from those of 500 plain draws in every direction (77 even draws in every
direction 0.05 to 0.06, 32 draws 0.08 to 0.09; three yards)."""

PARTS = 4
"""Parts of a morning, and of an afternoon, that are remembered each by itself."""

BLOCKS_REMEMBERED = 4
"""Of larger stands nothing is remembered."""

NEIGHBOURS_M = 16.0
"""Side of the squares whose spots are worked on together, in a large stand."""

SPOTS_AT_ONCE = 128
"""Spots worked on together, so that a large stand needs no more memory than a small one."""


@dataclass(frozen=True)
class _Scene:
    """What light is computed from: the spots' plants (k,), the sun, and years looked at."""

    stand: Stand
    draws: Draws
    path: SunPath
    spots: IntArray
    years: IntArray


def lighting(
    site: Site,
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    draws: Draws,
    memory: Memory | None = None,
) -> Lighting | None:
    """Sun hours at every spot and whether they suit its plants; None without a latitude."""
    memory = memory or Memory()
    if site.latitude_deg is None:
        return None
    path = growing_season(
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg or 0.0,
        north_deg=site.north_deg,
    )
    spot_of, spots = _spots(stand)
    years = _years(stand)
    scene = _Scene(stand, draws.only(count=DRAWS, years=years), path, spots, years)
    hours = _hours(scene, terrain, layout, memory)
    total, plants = range_of_draws(hours.sum(axis=-1)), np.bincount(spot_of, minlength=len(spots))
    ends = (total.low, total.expected, total.high, hours[..., 0].mean(axis=0))
    gone = ~stand.present[:, spots]
    courses = np.stack([_through_years(scene, end, gone) for end in ends])
    found = tuple(
        _spot_light(scene, layout, courses[..., number], number, int(plants[number]))
        for number in range(len(spots))
    )
    return Lighting(found, _within(scene, layout, hours.sum(axis=-1), spot_of))


def _spots(stand: Stand) -> tuple[IntArray, IntArray]:
    """The spot of every plant (n,), and of every spot the plant nearest its middle (k,)."""
    if not len(stand.plant):
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    xy = stand.xyz_m[:, :2]
    corner = np.full((stand.source.max() + 1, 2), np.inf)
    np.minimum.at(corner, stand.source, xy)
    square = np.floor((xy - corner[stand.source]) / SQUARE_M)
    keys = np.column_stack([stand.source, square]).astype(np.int64)
    _, spot_of = np.unique(keys, axis=0, return_inverse=True)
    count = np.bincount(spot_of)
    middle = np.column_stack([np.bincount(spot_of, axis) / count for axis in xy.T])
    away = np.hypot(*(xy - middle[spot_of]).T)
    order = np.lexsort((away, spot_of))
    return spot_of, order[np.flatnonzero(np.diff(spot_of[order], prepend=-1))]


def _years(stand: Stand) -> IntArray:
    """Years looked at: the sampled ones, and those on either side of a planting or a removal."""
    changes = np.flatnonzero((stand.present[1:] != stand.present[:-1]).any(axis=1))
    return np.unique([*SAMPLED_YEARS, *changes, *(changes + 1)])


@dataclass(frozen=True)
class _Turn:
    """Draws of one turn, and the suns that they look towards."""

    draws: IntArray  # (d,)
    suns: IntArray  # (s,) of the path's, mornings first
    worth: Floats  # (m, s): 1 where a sun of the path counts with one of these, 0 elsewhere
    slot: IntArray  # (s,) the part of the day, of 2 PARTS
    plants: Grove


def _hours(scene: _Scene, terrain: Terrain, layout: Layout, memory: Memory) -> Array:
    """Hours of sun by draw, looked-at year, spot, and morning or afternoon, (D, Y, k, 2)."""
    turns = list(_turns(scene))
    room = room_of_all([turn.plants.room for turn in turns])
    sky = digest(terrain.lattice, terrain.after_m, layout.solids, scene.path)
    many = len(scene.spots) // SPOTS_AT_ONCE + 1
    order = np.arange(len(scene.spots)) if many <= BLOCKS_REMEMBERED else _together(scene)
    hours = np.empty((len(order), 2, len(scene.years), len(scene.draws.height_m)))
    for number, block in enumerate(np.array_split(order, many)):
        memory = memory if many <= BLOCKS_REMEMBERED else Memory()
        spots = scene.spots[block]
        lines = meetings(room, spots, scene.path.towards)
        bright = _standing(scene, spots, sky, terrain, layout, memory) * scene.path.hours
        open_h = np.stack([bright[..., scene.path.half == half].sum(-1) for half in (0, 1)], axis=1)
        found = np.empty((len(block), *hours.shape[1:]))
        for place, turn in enumerate(turns):
            lost_h = _lost(turn, lines, bright, memory, f"sun {number} {place}")
            found[..., turn.draws] = np.clip(open_h[..., None] - lost_h, 0, None)
        hours[block] = found
    return hours.transpose(3, 2, 0, 1)


def _turns(scene: _Scene) -> Iterator[_Turn]:
    """The draws in their turns."""
    path, everyone = scene.path, np.arange(len(scene.stand.plant))
    token = place_tokens(digest(scene.draws.origin, path), scene.stand.xyz_m)
    many = len(scene.draws.height_m)
    turns = int(np.clip(many // OF_TURN, 1, TURNS))
    for turn in range(turns):
        draws = np.arange(turn, many, turns)
        crowns = crowns_in_rows(scene.stand, scene.draws.chosen(draws), everyone)
        plants = grove(crowns, crowns.height_m * np.float32(SHARE_OF_HEIGHT), token)
        yield _Turn(draws, *_looked_towards(path, turn, turns), plants)


def _looked_towards(path: SunPath, turn: int, turns: int) -> tuple[IntArray, Floats, IntArray]:
    """Suns of one turn, what they stand for, and their part of the day."""
    seen, slot = [], []
    worth = np.zeros((len(path.hours), len(path.hours)), np.float32)
    for half in (0, 1):
        suns = np.flatnonzero(path.half == half)
        suns = suns[np.argsort(np.arctan2(*path.towards[suns, :2].T), kind="stable")]
        mine = suns[turn % max(1, len(suns)) :: turns]
        nearest = (path.towards[suns] @ path.towards[mine].T).argmax(axis=1) if len(mine) else []
        worth[suns, mine[nearest]] = 1
        seen.append(mine)
        slot.append(half * PARTS + np.arange(len(mine)) * PARTS // max(1, len(mine)))
    chosen = np.concatenate(seen)
    return chosen, worth[:, chosen], np.concatenate(slot)


def _lost(turn: _Turn, lines: Meetings, bright: Array, memory: Memory, part: str) -> Floats:
    """Hours that crowns take from what else is left at k spots, (k, 2, Y, d)."""
    worth = bright.astype(np.float32) @ turn.worth
    lost = sun_lost(turn.plants, lines, worth, turn.slot, memory, suns=turn.suns, part=part)
    shape = len(bright), 2, PARTS, bright.shape[1], len(turn.draws)
    return np.asarray(lost.reshape(shape).sum(axis=2))


def _together(scene: _Scene) -> IntArray:
    """The spots in an order in which neighbours on the ground follow each other, (k,)."""
    column, row = np.floor(scene.stand.xyz_m[scene.spots, :2].T / NEIGHBOURS_M)
    return np.lexsort((row, column))


def _standing(
    scene: _Scene, spots: IntArray, sky: bytes, terrain: Terrain, layout: Layout, memory: Memory
) -> Array:
    """Share of each direction's sun left by all that does not grow, (k, Y, m)."""
    height = scene.stand.height_m.expected[scene.years][:, spots].T
    level = (np.floor(height * SHARE_OF_HEIGHT / LEVEL_M) + 0.5) * LEVEL_M
    foot = scene.stand.xyz_m[spots]
    made_from = [("built", sky, *one) for one in zip(foot, level, strict=True)]
    found: list[Array] = memory.each(
        made_from,
        lambda few: list(_past_ground_and_built(foot[few], level[few], scene, terrain, layout)),
    )
    return np.reshape(found, (*level.shape, len(scene.path.hours)))


def _past_ground_and_built(
    foot: Array, level: Array, scene: _Scene, terrain: Terrain, layout: Layout
) -> Array:
    place = np.broadcast_to(np.arange(len(foot))[:, None], level.shape)
    keys, number = np.unique(
        np.column_stack([place.ravel(), level.ravel()]), axis=0, return_inverse=True
    )
    points = foot[keys[:, 0].astype(int)]
    points[:, 2] += keys[:, 1]
    left = sun_past_ground_and_built(points, scene.path.towards, layout.solids, terrain.height_m)
    return np.asarray(left[number].reshape(*level.shape, -1))


def _spot_light(
    scene: _Scene, layout: Layout, courses: Array, number: int, plants: int
) -> SpotLight:
    """The light of one spot, from its low, expected, high and morning hours, (4, years)."""
    stand, one = scene.stand, scene.spots[number]
    plant, source = stand.plants[stand.plant[one]], layout.sources[stand.source[one]]
    total, morning = Range(*courses[:3]), courses[3]
    least, most = need_h(plant)
    outside = np.flatnonzero((total.expected < least) | (total.expected > most))
    x, y = stand.xyz_m[one, :2]
    return SpotLight(
        plant=plant.name, place=source.place, at=(float(x), float(y)), plants=plants,
        need=plant.light, least_h=least, most_h=most, hours=total, morning_h=morning,
        first_year_outside=int(outside[0]) if len(outside) else None,
    )  # fmt: skip


def _through_years(scene: _Scene, sampled: Array, gone: NDArray[np.bool_]) -> Array:
    """Series (years, ...) from those of the years looked at; not a number where gone."""
    after = np.searchsorted(scene.years[1:-1], scene.stand.years, side="right") + 1
    first, last = scene.years[after - 1], scene.years[after]
    share = ((scene.stand.years - first) / (last - first)).reshape(-1, *[1] * (sampled.ndim - 1))
    return np.where(gone, np.nan, sampled[after - 1] * (1 - share) + sampled[after] * share)


def _within(scene: _Scene, layout: Layout, hours: Array, spot_of: IntArray) -> Mapping[str, Range]:
    """Share of plants with the light they need, by plant, by table's name, and of the lot."""
    stand = scene.stand
    needs = [need_h(stand.plants[kind]) for kind in stand.plant[scene.spots]]
    least, most = np.array(needs).reshape(-1, 2).T
    right = (hours >= least) & (hours <= most)
    present = stand.present[:, scene.spots]
    weight = np.bincount(spot_of, minlength=len(scene.spots))
    names = [set(_names(scene, layout, spot)) for spot in scene.spots]
    shares = {}
    for name in dict.fromkeys(name for some in names for name in sorted(some)):
        mine = weight * np.array([name in some for some in names])
        there = (present[scene.years] * mine).sum(axis=1)
        share = (right * present[scene.years] * mine).sum(axis=-1) / np.maximum(there, 1)
        found, gone = range_of_draws(share), ~(present * mine).any(axis=1)
        shares[name] = Range(
            *(_through_years(scene, end, gone) for end in (found.low, found.expected, found.high))
        )
    return shares


def _names(scene: _Scene, layout: Layout, one: int) -> Iterator[str]:
    """What a requirement may call a plant by."""
    source = layout.sources[scene.stand.source[one]]
    table = source.kept or source.planting
    yield from ("lot", source.plant, *([table.name] if table and table.name else ()))
