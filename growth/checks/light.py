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
from growth.shade import grove, meetings, sun_lost
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

DRAWS = 32
"""Joint draws that are looked at. Ends of the ranges of single spots lie 0.08 of the range's
width from those of 500 plain draws in the mean (8 draws 0.14, 64 draws 0.05; three yards)."""

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
    total, morning = range_of_draws(hours.sum(axis=-1)), hours[..., 0].mean(axis=0)
    plants = np.bincount(spot_of, minlength=len(spots))
    found = tuple(
        _spot_light(scene, layout, total, morning, number, int(plants[number]))
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


def _hours(scene: _Scene, terrain: Terrain, layout: Layout, memory: Memory) -> Array:
    """Hours of sun by draw, looked-at year, spot, and morning or afternoon, (D, Y, k, 2)."""
    crowns = crowns_in_rows(scene.stand, scene.draws, np.arange(len(scene.stand.plant)))
    origin = digest(scene.draws.origin, scene.path)
    plants = grove(crowns, crowns.height_m * np.float32(SHARE_OF_HEIGHT), origin)
    sky = digest(terrain.lattice, terrain.after_m, layout.solids, scene.path)
    many = len(scene.spots) // SPOTS_AT_ONCE + 1
    order = np.arange(len(scene.spots)) if many <= BLOCKS_REMEMBERED else _together(scene)
    blocks = np.array_split(scene.spots[order], many)
    hours = []
    for number, spots in enumerate(blocks):
        memory = memory if len(blocks) <= BLOCKS_REMEMBERED else Memory()
        standing = _standing(scene, spots, sky, terrain, layout, memory)
        lines = meetings(plants, spots, scene.path.towards)
        bright = (standing * scene.path.hours).astype(np.float32)
        half = (~scene.path.morning).astype(np.int64)
        lost = sun_lost(plants, lines, bright, half, memory, part=f"sun {number}")
        hours.append(_hours_at(scene, standing * scene.path.hours, half, lost))
    return np.concatenate(hours)[np.argsort(order)].transpose(3, 2, 0, 1)


def _together(scene: _Scene) -> IntArray:
    """The spots in an order in which neighbours on the ground follow each other, (k,)."""
    column, row = np.floor(scene.stand.xyz_m[scene.spots, :2].T / NEIGHBOURS_M)
    return np.lexsort((row, column))


def _hours_at(scene: _Scene, bright: Array, half: IntArray, lost: Floats) -> Array:
    """Hours of sun at k spots, in mornings and afternoons, by year and draw, (k, 2, Y, D)."""
    open_h = np.stack([bright[..., half == side].sum(axis=-1) for side in (0, 1)], axis=1)
    lost_h = lost.reshape(*open_h.shape, len(scene.draws.height_m))
    return np.asarray(np.clip(open_h[..., None] - lost_h, 0, None))


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
    scene: _Scene, layout: Layout, total_h: Range, morning_h: Array, number: int, plants: int
) -> SpotLight:
    """The light of one spot, from the hours (Y, k) of all, in sum and in mornings."""
    stand, one = scene.stand, scene.spots[number]
    plant, source = stand.plants[stand.plant[one]], layout.sources[stand.source[one]]
    gone = ~stand.present[:, one]
    ends = (total_h.low, total_h.expected, total_h.high, morning_h)
    low, expected, high, morning = (_through_years(scene, end[:, number], gone) for end in ends)
    total = Range(low, expected, high)
    least, most = need_h(plant)
    outside = np.flatnonzero((total.expected < least) | (total.expected > most))
    x, y = stand.xyz_m[one, :2]
    return SpotLight(
        plant=plant.name, place=source.place, at=(float(x), float(y)), plants=plants,
        need=plant.light, least_h=least, most_h=most, hours=total, morning_h=morning,
        first_year_outside=int(outside[0]) if len(outside) else None,
    )  # fmt: skip


def _through_years(scene: _Scene, sampled: Array, gone: NDArray[np.bool_]) -> Array:
    """A series over all years from the looked-at ones; not a number where the plant is not."""
    return np.where(gone, np.nan, np.interp(scene.stand.years, scene.years, sampled))


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
