"""How plants look in each month: in leaf or bare, in which colour, in flower, and how dense.

A month is judged by its middle day (growth.seasons). The page gets every month's looks at once
and only picks one; stills ask for one month.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.crowns import FORMS
from growth.leafage import densities_per_m
from growth.plants import Plant
from growth.seasons import (
    MONTHS,
    autumn_months,
    flowering_months,
    foliage_colour,
    in_leaf,
    season_of_month,
)
from growth.stand import Stand
from scenes.document import Site
from viz.palette import WINTER_GREEN, linear, screen

Array = NDArray[np.float64]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]

DRAWINGS = ("leaf", "flowers", "bare")
"""In leaf, in leaf and in flower, and without leaf: as the page counts them."""

LEAST_TURNING = 0.25
"""A month is one of autumn colour when so large a share of the leaf has turned."""

MOST_PIECES = 3


def looks(stand: Stand, site: Site, colours: Bytes) -> dict[str, Any]:
    """All months' looks as the page reads them; colours (n, 3) are those of summer's leaves."""
    plants, months = stand.plants, range(1, 13)
    drawn = [[DRAWINGS.index(drawing_of(plant, site, month)) for plant in plants]
             for month in months]  # fmt: skip
    leaf_share = leaf_shares(stand, site)
    return {
        "names": [month.capitalize() for month in MONTHS],
        "seasons": [_season(site, month) for month in months],
        "usual": usual_months(site),
        "colours": np.concatenate(
            [screen(leaf_colours(plants, stand.plant, colours, site, month)).ravel()
             for month in months]
        ),
        "drawing": np.array(drawn, dtype=np.uint8).ravel(),
        "density": _densities(plants, site),
        "pieces": pieces(plants),
        "leaf": leaf_share.astype(np.float32).ravel(),
        "turning": turning_months(stand, site),
        "flowers": [_flowering(plants, site, month) for month in months],
    }  # fmt: skip


def usual_months(site: Site) -> dict[str, int]:
    """Places from 0 of the month that stands for a season: June or January, where it is one."""
    wanted = {"leaf": summer_month(site), "bare": (summer_month(site) + 6) % 12 + 1}
    return {season: m - 1 for season, m in wanted.items() if _season(site, m) == season}


def summer_month(site: Site) -> int:
    """Early summer where the yard lies: June, December south of the equator."""
    return 12 if site.latitude_deg is not None and site.latitude_deg < 0 else 6


def drawing_of(plant: Plant, site: Site, month: int) -> str:
    """Which drawing stands in a month: one of DRAWINGS."""
    if not in_leaf(plant, month, site.latitude_deg, site.longitude_deg):
        return "bare"
    flowering = plant.colour_flower and month in flowering_months(plant, site.latitude_deg)
    return "flowers" if flowering else "leaf"


def leaf_colours(
    plants: Sequence[Plant], kind: NDArray[np.integer], summer: Bytes, site: Site, month: int
) -> Floats:
    """Leaf colours (n, 3) of a month; no two plants of a kind are quite the same."""
    usual = np.array([linear(plant.colour_leaf) for plant in plants]).reshape(-1, 3)
    now = np.array([_foliage(plant, site, month) for plant in plants]).reshape(-1, 3)
    own = linear_of(summer) / np.maximum(usual[kind], 1e-4)
    colours: Floats = (now[kind] * np.clip(own, 0.6, 1.6)).astype(np.float32)
    return colours


def _foliage(plant: Plant, site: Site, month: int) -> Array:
    code = foliage_colour(plant, month, site.latitude_deg, site.longitude_deg)
    if _season(site, month) == "bare" and not plant.colour_winter:
        dull: Array = linear(plant.colour_leaf) * WINTER_GREEN
        return dull
    return linear(code or plant.colour_leaf)


def linear_of(colours: Bytes) -> Floats:
    """Linear reflectance of screen values. Source: IEC 61966-2-1 (sRGB)."""
    values = colours.astype(np.float32) / np.float32(255)
    dark = values / np.float32(12.92)
    bright = ((values + np.float32(0.055)) / np.float32(1.055)) ** np.float32(2.4)
    return np.where(values <= 0.04045, dark, bright)


def leaf_shares(stand: Stand, site: Site) -> Array:
    """Share of all crowns' area that is in leaf, (year, month); 0 where nothing stands."""
    area = (stand.spread_m.expected * stand.present) ** 2
    leafy = np.array(
        [[in_leaf(plant, month, site.latitude_deg, site.longitude_deg) for month in range(1, 13)]
         for plant in stand.plants]
    ).reshape(-1, 12)  # fmt: skip
    return _shares(area, leafy[stand.plant])


def turning_months(stand: Stand, site: Site) -> list[bool]:
    """Whether a good part of the leaf shows autumn colour, month by month, when grown up."""
    area = (stand.spread_m.expected * stand.present)[-1:] ** 2
    turned = np.array(
        [[month in autumn_months(plant, site.latitude_deg, site.longitude_deg)
          for month in range(1, 13)] for plant in stand.plants]
    ).reshape(-1, 12)  # fmt: skip
    share = _shares(area, turned[stand.plant])[0]
    return [bool(each > LEAST_TURNING) for each in share]


def _shares(area: Array, has: NDArray[np.bool_]) -> Array:
    """Share of the areas (rows, n) of which something holds (n, 12), (rows, 12)."""
    whole = area.sum(axis=1, keepdims=True)
    return np.asarray(area @ has / np.where(whole > 0, whole, 1))


def pieces(plants: Sequence[Plant]) -> Floats:
    """The crown's pieces of each kind (kind, 3, 5), flat: from, to, and the squared radius."""
    table = np.zeros((len(plants), MOST_PIECES, 5), dtype=np.float32)
    for number, plant in enumerate(plants):
        for place, piece in enumerate(FORMS[plant.form].pieces):
            table[number, place] = piece.lo, piece.hi, piece.a, piece.b, piece.c
    return table.ravel()


def _densities(plants: Sequence[Plant], site: Site) -> Floats:
    """Leaf density of each kind's crown, per metre, (month, kind), flat."""
    if not plants:
        return np.zeros(0, dtype=np.float32)
    by_season = densities_per_m(plants)
    leafy = np.array(
        [[in_leaf(plant, month, site.latitude_deg, site.longitude_deg) for plant in plants]
         for month in range(1, 13)]
    )  # fmt: skip
    density: Floats = np.where(leafy, by_season[0], by_season[1]).astype(np.float32)
    return density.ravel()


def _flowering(plants: Sequence[Plant], site: Site, month: int) -> list[str]:
    names = [p.common or p.name for p in plants if drawing_of(p, site, month) == "flowers"]
    return list(dict.fromkeys(names))


def _season(site: Site, month: int) -> str:
    return season_of_month(month, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg)
