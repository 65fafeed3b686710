"""Hours of direct sun at each plant as the yard grows, against what the plant needs.

A plant is looked at from two thirds of its height, its own crown left out, on a mean day of the
growing season (May to August, south of the equator November to February). Ground, built things
and the leaf of other crowns hide the sun; a crown that lets a third of it through counts as a
third of the time. Plants of one table within a square of two metres share the light of the one
nearest their middle. Years between those looked at are interpolated. Clouds are left out.

Source: sun by `growth.sun`.
"""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import Lighting, SpotLight
from growth.checks.needs import SAMPLED_YEARS, need_h
from growth.checks.spotlight import DRAWS, Scene, sun_hours
from growth.memory import Memory
from growth.ranges import Range, range_of_draws
from growth.stand import Draws, Stand
from growth.sun import growing_season
from scenes.document import Site
from scenes.layout import Layout
from scenes.terrain import Terrain

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

SQUARE_M = 2.0
"""Side of the square within which plants of one table share the light of one; for speed."""


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
    scene = Scene(stand, draws.only(count=DRAWS, years=years), path, spots, years)
    hours = sun_hours(scene, terrain, layout, memory)
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


def _spot_light(
    scene: Scene, layout: Layout, courses: Array, number: int, plants: int
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


def _through_years(scene: Scene, sampled: Array, gone: NDArray[np.bool_]) -> Array:
    """Series (years, ...) from those of the years looked at; not a number where gone."""
    after = np.searchsorted(scene.years[1:-1], scene.stand.years, side="right") + 1
    first, last = scene.years[after - 1], scene.years[after]
    share = ((scene.stand.years - first) / (last - first)).reshape(-1, *[1] * (sampled.ndim - 1))
    return np.where(gone, np.nan, sampled[after - 1] * (1 - share) + sampled[after] * share)


def _within(scene: Scene, layout: Layout, hours: Array, spot_of: IntArray) -> Mapping[str, Range]:
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


def _names(scene: Scene, layout: Layout, one: int) -> Iterator[str]:
    """What a requirement may call a plant by."""
    source = layout.sources[scene.stand.source[one]]
    table = source.kept or source.planting
    yield from ("lot", source.plant, *([table.name] if table and table.name else ()))
