"""The class curve: the whole course of a tree or palm from what a catalogue says of it.

The logarithms of asymptote and rate are sums of a few terms: type (deciduous, evergreen,
conifer, palm), rate word, logarithms of mature height and spread, and the climate region.
Mature heights above 30 m count as 30: lists then give forest trees. Their coefficients were
fitted to measured street and park trees and stand, with their source, in coefficients.csv;
`python -m growth.calibrate` makes that table anew and prints how well it does.

Left out: soil, water, care, crowding. Street and park trees only; dwarf trees are guessed by
proportion, and conifers and palms rest on few species.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from growth.climate import REGIONS, Climate, region_shares
from growth.coefficients import coefficient_rows
from growth.curves import Curve
from growth.plants import Plant
from growth.ranges import Array

TALLEST_M, TALL_M = 30.0, 20.0
"""Mature heights count up to the first, and less than proportionally from the second on."""

SMALLEST_HEIGHT_M, SMALLEST_SPREAD_M = 4.5, 2.4
"""Least mature sizes among the measured species; below them courses shrink in proportion."""

HEIGHT_M, SPREAD_M = 15.0, 10.0
"""Mature size at which the size terms are zero."""

CONIFERS = frozenset((
    "abies", "araucaria", "calocedrus", "cedrus", "cephalotaxus", "chamaecyparis", "cryptomeria",
    "cunninghamia", "cupressus", "cuprocyparis", "hesperotropsis", "juniperus", "larix",
    "metasequoia", "picea", "pinus", "platycladus", "podocarpus", "pseudolarix", "pseudotsuga",
    "sciadopitys", "sequoia", "sequoiadendron", "taxodium", "taxus", "thuja", "thujopsis",
    "torreya", "tsuga",
))  # fmt: skip
"""Genera of conifers, the first word of a botanical name."""

TYPE_TERMS = ("evergreen", "conifer", "palm")
SIZE_TERMS = ("height", "spread", "conifer x height", "height above 20 m")
RATE_TERMS = ("slow", "fast")

ASYMPTOTE_TERMS = ("one", *TYPE_TERMS, *SIZE_TERMS)
RATE_OF_GROWTH_TERMS = (*ASYMPTOTE_TERMS, *RATE_TERMS)


@dataclass(frozen=True)
class Traits:
    """What the class curve asks of a plant: type, mature size in metres, rate word."""

    type: str
    height_m: float
    spread_m: float
    rate: str


@dataclass(frozen=True)
class Coefficients:
    """Terms of ln A and ln k, effects of regions on both, and the exponent p."""

    asymptote: Array
    rate: Array
    asymptote_region: Array
    rate_region: Array
    shape: float


def traits_of(plant: Plant) -> Traits | None:
    """Traits of a tree or palm; None for plants that no class curve covers."""
    if plant.kind not in ("tree", "palm"):
        return None
    return Traits(
        type_of(plant.name, kind=plant.kind, leaf=plant.leaf),
        sum(plant.height_m) / 2,
        sum(plant.spread_m) / 2,
        plant.rate,
    )


def type_of(name: str, *, kind: str, leaf: str) -> str:
    """deciduous, evergreen, conifer or palm."""
    if kind == "palm":
        return "palm"
    genus = name.casefold().replace("×", "x ").split()
    first = genus[1] if genus[:1] == ["x"] and len(genus) > 1 else genus[0] if genus else ""
    if first in CONIFERS:
        return "conifer"
    return "deciduous" if leaf == "deciduous" else "evergreen"


def size_terms(traits: Traits) -> list[float]:
    """Values of ASYMPTOTE_TERMS for a plant."""
    height_m = min(max(traits.height_m, SMALLEST_HEIGHT_M), TALLEST_M)
    height = float(np.log(height_m / HEIGHT_M))
    spread = float(np.log(max(traits.spread_m, SMALLEST_SPREAD_M) / SPREAD_M))
    conifer = height if traits.type == "conifer" else 0.0
    tall = max(height - float(np.log(TALL_M / HEIGHT_M)), 0.0)
    return [1.0, *(float(traits.type == t) for t in TYPE_TERMS), height, spread, conifer, tall]


def rate_terms(traits: Traits) -> list[float]:
    """Values of RATE_OF_GROWTH_TERMS for a plant."""
    return [*size_terms(traits), *(float(traits.rate == word) for word in RATE_TERMS)]


def class_curve(traits: Traits, climate: Climate, *, of: str) -> Curve:
    """The curve of "height" or "spread" of trees like these in that climate."""
    found = coefficients()[of]
    shares = region_shares(climate)
    ln_asymptote = found.asymptote @ size_terms(traits) + found.asymptote_region @ shares
    ln_rate = found.rate @ rate_terms(traits) + found.rate_region @ shares
    small = {
        "height": traits.height_m / SMALLEST_HEIGHT_M,
        "spread": traits.spread_m / SMALLEST_SPREAD_M,
    }
    asymptote_m = float(np.exp(ln_asymptote)) * min(small[of], 1.0)
    return Curve(asymptote_m, float(np.exp(ln_rate)), found.shape)


@cache
def coefficients() -> Mapping[str, Coefficients]:
    """The coefficients of height and of spread, from coefficients.csv."""
    found = coefficient_rows()
    return {of: _coefficients(found, of) for of in ("height", "spread")}


def _coefficients(found: Mapping[tuple[str, str, str], float], of: str) -> Coefficients:
    def values(parameter: str, terms: tuple[str, ...]) -> Array:
        return np.array([found[of, parameter, term] for term in terms])

    codes = tuple(region.code for region in REGIONS)
    return Coefficients(
        values("ln asymptote", ASYMPTOTE_TERMS),
        values("ln rate", RATE_OF_GROWTH_TERMS),
        values("ln asymptote, region", codes),
        values("ln rate, region", codes),
        found[of, "shape", "one"],
    )
