"""What a plant measures on the day it is planted, from the size the nursery sells it by.

Sizes are written as the trade writes them: container class "#5", caliper "2 in cal",
height "6 ft ht", a span "5-6 ft ht" (its middle), with B&B behind for stock dug from the field.
nursery_stock.csv gives the height of usual stock, with its source a row; it never exceeds the
low end of the plant's mature size. A written height is taken as written. A tree sold by
container or height has the caliper of shade trees of that height.

Container classes are volumes (ANSI Z60.1); the heights here belong to no standard, and most
are common practice from memory. Differences between growers are left out.
"""

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from growth.errors import GrowthError
from growth.plants import Plant
from scenes.document import Planting
from scenes.lengths import METRES, parse_length_m

STOCK = Path(__file__).with_name("nursery_stock.csv")

KNOWN_SIZES = (
    'known are a container "#1" to "#45", a caliper "2 in cal" or "50 mm cal" for trees, '
    'a height "6 ft ht", "5-6 ft ht" or "1.8 m ht", or now = { height, spread }'
)

CONTAINERS = (1, 2, 3, 5, 7, 10, 15, 25, 45)
"""Container classes of the table. Its shrubs are a little under the large shrub Vitex
agnus-castus as measured at transplanting (0.55, 0.77, 1.36, 2.01 and 2.66 m for #1, #3, #7,
#25 and #45; Arboriculture & Urban Forestry, table of transplant sizes)."""

SPREAD_SHARE = {"tree": 0.48, "palm": 0.8, "cycad": 0.9, "shrub": 0.92, "bamboo": 0.4}
"""Spread over height at planting. Trees: 1.2 m over 2.5 m, medians of 317 newly planted
street trees (Urban tree database, doi 10.2737/RDS-2016-0005); shrubs: mean of the five
Vitex sizes above is 0.98, common sorts are a little narrower; the rest from memory."""

SOFT_SPREAD_SHARE = 1.0

_GROUPS = {"tree": "tree", "shrub": "shrub", "bamboo": "shrub", "palm": "palm", "cycad": "palm"}
"""Group of the table a kind is sold like; all other kinds are soft."""

_SIX_FEET_M = 6 * METRES["ft"]

_FIELD_GROWN = re.compile(r"\s+B\s*&\s*B\s*$", re.IGNORECASE)
_SPAN = re.compile(r"(\d+\.?\d*)\s*-\s*(\d+\.?\d*)\s*([A-Za-z]+)")
_CONTAINER = re.compile(r"\s*#\s*(\d{1,3})\s*")
_CALIPER = re.compile(r"\s*(.+?)\s*cal(?:iper)?\.?\s*")
_HEIGHT = re.compile(r"\s*(.+?)\s*(?:ht|high)\.?\s*")


@dataclass(frozen=True)
class PlantedSize:
    """Height and spread in metres on the day of planting; of trees the caliper as well."""

    height_m: float
    spread_m: float
    caliper_m: float | None = None
    in_container: bool = False


def planted_size(planting: Planting, plant: Plant) -> PlantedSize:
    """Size of a planting's plants on their day, as measured or as the nursery sells them.

    Raises GrowthError as `key: value; remedy`.
    """
    if planting.now is not None:
        height_m = planting.now.height
        return PlantedSize(height_m, planting.now.spread, _caliper_m(height_m, plant))
    if planting.size is None:
        raise GrowthError(f"size: none is written; {KNOWN_SIZES}")
    return nursery_size(planting.size, plant)


def nursery_size(text: str, plant: Plant) -> PlantedSize:
    """Height and spread in metres of nursery stock sold as `text`.

    Raises GrowthError as `size: value; remedy`.
    """
    if match := _CONTAINER.fullmatch(text):
        return _container(int(match[1]), text, plant)
    bare = _FIELD_GROWN.sub("", text)
    if match := _CALIPER.fullmatch(bare):
        return _caliper(match[1], text, plant)
    if match := _HEIGHT.fullmatch(bare):
        return _height(match[1], text, plant)
    raise GrowthError(f'size: "{text}" is unknown; {KNOWN_SIZES}')


def usual_size(plant: Plant) -> str:
    """The size that kind of plant is commonly sold in. Common practice."""
    if plant.kind == "tree":
        if plant.leaf == "deciduous":
            return "2 in cal"
        return "6 ft ht" if plant.height_m[1] > _SIX_FEET_M else "#5"
    return {"shrub": "#5", "palm": "#15", "cycad": "#7", "bamboo": "#5"}.get(plant.kind, "#1")


def _container(number: int, text: str, plant: Plant) -> PlantedSize:
    if number not in CONTAINERS:
        known = ", ".join(f"#{size}" for size in CONTAINERS)
        raise GrowthError(f'size: "{text}" is no container class; known are {known}')
    height_m = stock_heights_m(_GROUPS.get(plant.kind, "soft"))[f"#{number}"]
    return PlantedSize(
        height_m=min(height_m, plant.height_m[0]),
        spread_m=_spread_m(height_m, plant),
        caliper_m=_caliper_m(height_m, plant),
        in_container=True,
    )


def _caliper(length: str, text: str, plant: Plant) -> PlantedSize:
    if plant.kind != "tree":
        raise GrowthError(
            f'size: "{text}" is a caliper, and {plant.name} is a {plant.kind}, not a tree; '
            f'write a container such as "{usual_size(plant)}"'
        )
    caliper_m = _length_m(length, text)
    known_m, heights_m = _calipers_m()
    least, most = (f"{known_m[end] / 0.0254:g}" for end in (0, -1))
    if not known_m[0] <= caliper_m <= known_m[-1]:
        raise GrowthError(
            f'size: "{text}" is beyond nursery stock of {least} to {most} in '
            "caliper; write a caliper between, or now = { height, spread }"
        )
    height_m = min(float(np.interp(caliper_m, known_m, heights_m)), plant.height_m[0])
    return PlantedSize(height_m, _spread_m(height_m, plant), caliper_m)


def _height(length: str, text: str, plant: Plant) -> PlantedSize:
    height_m = _length_m(length, text)
    low_m, high_m = plant.height_m
    if height_m > high_m:
        raise GrowthError(
            f'size: "{text}" is taller than {plant.name} grows ({low_m:g} to {high_m:g} m); '
            "write a smaller height, or now = { height, spread } for a plant measured taller"
        )
    return PlantedSize(height_m, _spread_m(height_m, plant), _caliper_m(height_m, plant))


def _length_m(length: str, text: str) -> float:
    """Metres above zero of a length or of the middle of a span like 5-6 ft."""
    span = _SPAN.fullmatch(length)
    ends = [f"{span[1]} {span[3]}", f"{span[2]} {span[3]}"] if span else [length]
    try:
        metres = sum(parse_length_m(end, unit=None) for end in ends) / len(ends)
    except ValueError as error:
        raise GrowthError(f'size: "{text}": {error}; {KNOWN_SIZES}') from None
    if metres <= 0:
        raise GrowthError(f'size: "{text}" is not above zero; {KNOWN_SIZES}')
    return metres


def _spread_m(height_m: float, plant: Plant) -> float:
    """Spread of stock of that height: its kind's share, less for kinds that stay narrow."""
    usual = SPREAD_SHARE.get(plant.kind, SOFT_SPREAD_SHARE)
    mature = sum(plant.spread_m) / sum(plant.height_m)
    return min(height_m * min(usual, 1.15 * mature), plant.spread_m[0])


def _caliper_m(height_m: float, plant: Plant) -> float | None:
    """Caliper in metres of shade trees of that height, held at the table's ends; trees alone."""
    if plant.kind != "tree":
        return None
    known_m, heights_m = _calipers_m()
    return float(np.interp(height_m, heights_m, known_m))


def _calipers_m() -> tuple[list[float], list[float]]:
    """Calipers of the table and the heights of trees of them, metres."""
    of_caliper = stock_heights_m("caliper")
    return [parse_length_m(size, unit=None) for size in of_caliper], list(of_caliper.values())


@cache
def stock_heights_m(group: str) -> Mapping[str, float]:
    """Heights of usual stock of a group of the table, by size."""
    with STOCK.open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        return {row["size"]: float(row["height_m"]) for row in rows if row["group"] == group}
