"""Direct sun over the lot, month by month, as the yard grows: where full sun turns to shade.

The ground of the lot is laid out in cells; each is looked at on the middle day of every month,
through ground, built things and crowns of the expected sizes, in leaf or bare as the month is
there. Bands are those of plants' needs by the mean of the growing season: full sun, part shade,
shade. Years between those looked at are interpolated. Clouds are left out; one course, no range.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from growth.checks.needs import NEEDS_H
from growth.checks.screening import expected_sizes
from growth.checks.sunmap import LotLight
from growth.crownrows import crowns_in_rows
from growth.crownset import Crowns
from growth.leafage import SEASONS
from growth.memory import Marks, Memory
from growth.ranges import Array
from growth.seasons import season_of_month
from growth.skyline import COARSE, sun_past_ground_and_built
from growth.stand import Stand
from growth.sun import SunPath, mean_day, season_months
from growth.sunlit import Sky, crown_tokens, remembered_share
from scenes.document import Site, Yard
from scenes.layout import Layout
from scenes.surfaces import building_outlines
from scenes.terrain import Terrain

BoolArray = NDArray[np.bool_]
Floats = NDArray[np.float32]

SHOWN_YEARS = (0, 5, 15)
"""Years whose every month is looked at; of the sampled years the growing season is."""

MAPPED_YEARS = (0, 2, 5, 10, 15, 20, 30)
"""Years whose growing season is looked at; those between are interpolated."""

MONTHS = range(1, 13)

MOST_CELLS, LEAST_CELL_M = 1_000, 0.5
"""Cells of the rectangle round the lot, about; and the smallest of them."""


@dataclass(frozen=True)
class _Ground:
    cells_m: Array  # (ny, nx, 3)
    cell_m: float
    inside: BoolArray


def light_over_lot(
    yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, memory: Memory
) -> LotLight | None:
    """Sun on the lot's open ground, that under buildings left out; None without a latitude."""
    site = yard.site
    if site.latitude_deg is None:
        return None
    latitude_deg, longitude_deg = site.latitude_deg, site.longitude_deg or 0.0
    open_ground = shapely.difference(
        terrain.boundary, shapely.union_all([*building_outlines(yard).values()])
    )
    ground = _ground(terrain, open_ground)
    days = [
        mean_day((month,), latitude_deg=latitude_deg, longitude_deg=longitude_deg,
                 north_deg=site.north_deg)
        for month in MONTHS
    ]  # fmt: skip
    standing = memory.of(
        ("standing", ground, days, layout.solids, terrain.lattice, terrain.after_m),
        lambda: _standing(days, ground, terrain, layout),
    )
    skies = [
        Sky(ground.cells_m, ground.cell_m, day.towards, day.hours, left)
        for day, left in zip(days, standing, strict=True)
    ]
    lit = _lit(site, stand, skies, memory)
    season_h, month_h = (np.where(ground.inside, hours, np.nan) for hours in lit)
    return LotLight(
        corner_m=(float(ground.cells_m[0, 0, 0]), float(ground.cells_m[0, 0, 1])),
        cell_m=ground.cell_m,
        shown_years=SHOWN_YEARS,
        month_h=month_h.astype(np.float32),
        sampled_years=MAPPED_YEARS,
        season_h=season_h.astype(np.float32),
        band_m2=_bands(season_h, stand, float(open_ground.area)),
    )


def _lit(site: Site, stand: Stand, skies: Sequence[Sky], memory: Memory) -> tuple[Array, Array]:
    """Hours a day of every cell: the mean of the growing season in the sampled years, and those
    of every month in the shown ones, (Y, ny, nx) and (Y, 12, ny, nx)."""
    latitude_deg = site.latitude_deg or 0.0
    season = season_months(latitude_deg)
    sizes, everyone = expected_sizes(stand), np.arange(len(stand.plant))
    crowns: dict[tuple[int, ...], Crowns] = {
        years: crowns_in_rows(stand, sizes.only(years=years), everyone)
        for years in (MAPPED_YEARS, SHOWN_YEARS)
    }
    token = crown_tokens(crowns[MAPPED_YEARS])
    shown = [MAPPED_YEARS.index(year) for year in SHOWN_YEARS]
    leaf = [
        season_of_month(month, latitude_deg=latitude_deg, longitude_deg=site.longitude_deg)
        for month in MONTHS
    ]
    hours: dict[int, Array] = {}
    for group in itertools.product((MAPPED_YEARS, SHOWN_YEARS), SEASONS):
        months = [
            month for month in MONTHS
            if group == (MAPPED_YEARS if month in season else SHOWN_YEARS, leaf[month - 1])
        ]  # fmt: skip
        if months:
            there = crowns[group[0]].in_season(SEASONS.index(group[1]))
            some = [skies[month - 1] for month in months]
            of_months = _of_months(some, there, token, memory, f"sun of {group}")
            hours |= dict(zip(months, of_months, strict=True))
    by_month = [hours[month][shown] if month in season else hours[month] for month in MONTHS]
    return np.mean([hours[month] for month in season], axis=0), np.stack(by_month, axis=1)


def _of_months(
    skies: Sequence[Sky], crowns: Crowns, token: Marks, memory: Memory, part: str
) -> list[Array]:
    """Hours a day of every cell in some months with the same leaf and years, (Y, ny, nx) each."""
    together = replace(
        skies[0],
        towards=np.concatenate([sky.towards for sky in skies]),
        hours=np.concatenate([sky.hours for sky in skies]),
        standing=np.concatenate([sky.standing for sky in skies if sky.standing is not None]),
    )
    share = remembered_share(together, crowns, token, memory, part)
    ends = np.cumsum([len(sky.hours) for sky in skies])
    shape = len(share), *skies[0].ground_m.shape[:2]
    return [
        np.einsum("m,tmc->tc", sky.hours, share[:, end - len(sky.hours) : end]).reshape(shape)
        for sky, end in zip(skies, ends, strict=True)
    ]


def _ground(terrain: Terrain, open_ground: BaseGeometry) -> _Ground:
    """Cells over the lot, on its graded ground; inside are those of the open ground."""
    x0, y0, x1, y1 = open_ground.bounds
    cell_m = max(LEAST_CELL_M, float(np.sqrt((x1 - x0) * (y1 - y0) / MOST_CELLS)))
    x, y = (
        start + cell_m * (np.arange(max(1, int(np.ceil((end - start) / cell_m)))) + 0.5)
        for start, end in ((x0, x1), (y0, y1))
    )
    xy = np.stack(np.meshgrid(x, y), axis=-1)
    z = terrain.height_m(xy.reshape(-1, 2)).reshape(xy.shape[:2])
    inside = shapely.contains_xy(open_ground, xy[..., 0], xy[..., 1])
    return _Ground(np.dstack([xy, z]), cell_m, inside)


def _standing(
    days: Sequence[SunPath], ground: _Ground, terrain: Terrain, layout: Layout
) -> list[Floats]:
    """Share of each direction's sun that ground and built things leave, (m, ny, nx) a day."""
    points = ground.cells_m.reshape(-1, 3)
    towards = np.concatenate([day.towards for day in days])
    left = sun_past_ground_and_built(
        points, towards, layout.solids, terrain.height_m, skyline=COARSE
    )
    by_sun = np.ascontiguousarray(left.T.reshape(-1, *ground.inside.shape), np.float32)
    return np.split(by_sun, np.cumsum([len(day.hours) for day in days])[:-1])


def _bands(season_h: Floats, stand: Stand, open_m2: float) -> dict[str, Array]:
    """Area of the open ground in each band of light by year, square metres."""
    inside = np.isfinite(season_h[0])
    areas = {}
    for word, (least, most) in NEEDS_H.items():
        share = [((h[inside] >= least) & (h[inside] < most)).mean() for h in season_h]
        areas[word] = open_m2 * np.interp(stand.years, MAPPED_YEARS, share)
    return areas
