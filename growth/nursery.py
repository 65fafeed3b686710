"""What a plant measures on the day it is planted, from the size the nursery sells it by.

Sizes are written as the trade writes them: container class "#5", caliper "2 in cal",
height "6 ft ht". Container and caliper tables give the size of usual stock; it never
exceeds the low end of the plant's mature size. A written height is taken as written.

Figures marked memory are common practice, not verified. Container classes are volumes
(ANSI Z60.1); the heights here belong to no standard. Differences between growers are left out.
"""

import re
from dataclasses import dataclass

import numpy as np

from growth.errors import GrowthError
from growth.plants import Plant
from scenes.document import Planting
from scenes.lengths import parse_length_m

KNOWN_SIZES = (
    'known are a container "#1" to "#45", a caliper "2 in cal" or "50 mm cal" for trees, '
    'a height "6 ft ht" or "1.8 m ht", or now = { height, spread }'
)

CONTAINERS = (1, 2, 3, 5, 7, 10, 15, 25, 45)
"""Container classes of the table below."""

TREE_CONTAINER_HEIGHT_M = (0.6, 0.9, 1.2, 1.5, 1.8, 2.4, 3.0, 3.6, 4.3)
"""#3 and #5: 3-5 ft, #15: 8-12 ft (retail rule, what-does-it-mean.org); others from memory."""

SHRUB_CONTAINER_HEIGHT_M = (0.40, 0.48, 0.55, 0.65, 0.80, 1.00, 1.30, 1.80, 2.40)
"""#1: 0.5-2 ft (retail rule, what-does-it-mean.org); #3: 18-24 in, #7: 24-36 in and the rest
from memory, a little under the large shrub Vitex agnus-castus as measured at transplanting
(0.55, 0.77, 1.36, 2.01 and 2.66 m for #1, #3, #7, #25 and #45; Arboriculture & Urban
Forestry, table of transplant sizes)."""

PALM_CONTAINER_HEIGHT_M = (0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.3, 1.8, 2.4)
"""Overall height of palms and cycads. From memory."""

SOFT_CONTAINER_HEIGHT_M = (0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 1.00, 1.00)
"""Perennials, grasses, ferns, groundcovers and vines. From memory."""

CALIPER_IN = (0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
CALIPER_HEIGHT_M = (1.68, 2.13, 2.44, 3.05, 3.66, 3.96, 4.27, 5.18, 5.79)
"""Average height of shade trees by caliper: 8, 10, 12, 13 and 14 ft at 1, 1.5, 2, 2.5 and
3 in (nursery standards simplified from ANSI Z60.1, bobscaping.com); the smaller and the
larger ones from memory of ANSI Z60.1 (5-6, 6-8, 16-18 and 18 ft and up, the last as 19)."""

LARGE_CALIPER_M = 0.0508
"""Above 2 in the measured trees, planted at about 1 in, no longer carry the lag."""

SPREAD_SHARE = {"tree": 0.48, "palm": 0.8, "cycad": 0.9, "shrub": 0.92, "bamboo": 0.4}
"""Spread over height at planting. Trees: 1.2 m over 2.5 m, medians of 317 newly planted
street trees (Urban tree database, doi 10.2737/RDS-2016-0005); shrubs: mean of the five
Vitex sizes above is 0.98, common sorts are a little narrower; the rest from memory."""

SOFT_SPREAD_SHARE = 1.0

_GROUPS = {
    "tree": TREE_CONTAINER_HEIGHT_M, "shrub": SHRUB_CONTAINER_HEIGHT_M,
    "bamboo": SHRUB_CONTAINER_HEIGHT_M, "palm": PALM_CONTAINER_HEIGHT_M,
    "cycad": PALM_CONTAINER_HEIGHT_M,
}  # fmt: skip

_CONTAINER = re.compile(r"\s*#\s*(\d{1,3})\s*")
_CALIPER = re.compile(r"\s*(.+?)\s*cal(?:iper)?\.?\s*")
_HEIGHT = re.compile(r"\s*(.+?)\s*(?:ht|high)\.?\s*")


@dataclass(frozen=True)
class PlantedSize:
    """Height and spread in metres on the day of planting; caliper where it was given."""

    height_m: float
    spread_m: float
    caliper_m: float | None = None


def planted_size(planting: Planting, plant: Plant) -> PlantedSize:
    """Size of a planting's plants on their day, as measured or as the nursery sells them.

    Raises GrowthError as `key: value; remedy`.
    """
    if planting.now is not None:
        return PlantedSize(planting.now.height, planting.now.spread)
    if planting.size is None:
        raise GrowthError(f"size: none is written; {KNOWN_SIZES}")
    return nursery_size(planting.size, plant)


def nursery_size(text: str, plant: Plant) -> PlantedSize:
    """Height and spread in metres of nursery stock sold as `text`.

    Raises GrowthError as `size: value; remedy`.
    """
    if match := _CONTAINER.fullmatch(text):
        return _container(int(match[1]), text, plant)
    if match := _CALIPER.fullmatch(text):
        return _caliper(match[1], text, plant)
    if match := _HEIGHT.fullmatch(text):
        return _height(match[1], text, plant)
    raise GrowthError(f'size: "{text}" is unknown; {KNOWN_SIZES}')


def usual_size(plant: Plant) -> str:
    """The size that kind of plant is commonly sold in. Common practice."""
    if plant.kind == "tree":
        return "2 in cal" if plant.leaf == "deciduous" else "6 ft ht"
    return {"shrub": "#5", "palm": "#15", "cycad": "#7", "bamboo": "#5"}.get(plant.kind, "#1")


def _container(number: int, text: str, plant: Plant) -> PlantedSize:
    if number not in CONTAINERS:
        known = ", ".join(f"#{size}" for size in CONTAINERS)
        raise GrowthError(f'size: "{text}" is no container class; known are {known}')
    heights = _GROUPS.get(plant.kind, SOFT_CONTAINER_HEIGHT_M)
    height_m = heights[CONTAINERS.index(number)]
    return PlantedSize(
        height_m=min(height_m, plant.height_m[0]), spread_m=_spread_m(height_m, plant)
    )


def _caliper(length: str, text: str, plant: Plant) -> PlantedSize:
    if plant.kind != "tree":
        raise GrowthError(
            f'size: "{text}" is a caliper, and {plant.name} is a {plant.kind}, not a tree; '
            f'write a container such as "{usual_size(plant)}"'
        )
    caliper_m = _length_m(length, text)
    inches = caliper_m / 0.0254
    if not CALIPER_IN[0] <= inches <= CALIPER_IN[-1]:
        raise GrowthError(
            f'size: "{text}" is beyond nursery stock of {CALIPER_IN[0]:g} to {CALIPER_IN[-1]:g} in '
            "caliper; write a caliper between, or now = { height, spread }"
        )
    height_m = min(float(np.interp(inches, CALIPER_IN, CALIPER_HEIGHT_M)), plant.height_m[0])
    return PlantedSize(height_m, _spread_m(height_m, plant), caliper_m)


def _height(length: str, text: str, plant: Plant) -> PlantedSize:
    height_m = _length_m(length, text)
    low_m, high_m = plant.height_m
    if height_m > high_m:
        raise GrowthError(
            f'size: "{text}" is taller than {plant.name} grows ({low_m:g} to {high_m:g} m); '
            "write a smaller height, or now = { height, spread } for a plant measured taller"
        )
    return PlantedSize(height_m, _spread_m(height_m, plant))


def _length_m(length: str, text: str) -> float:
    try:
        metres = parse_length_m(length, unit=None)
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
