"""How many hours of direct sun plants need, and the years in which light is looked at."""

from collections.abc import Mapping
from types import MappingProxyType

from growth.plants import Plant
from growth.search import lights

NEEDS_H: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"sun": (6.0, 24.0), "part shade": (4.0, 6.0), "shade": (0.0, 4.0)}
)
"""Least and most hours of direct sun a day that each word of the catalogue stands for.

Source: sun from 6 hours on, part shade 4 to 6 (others 3 to 6), as gardening guides define them
(gardencourte, iam4pack; second hand). Shade is what is left.
"""

SAMPLED_YEARS = (0, 1, 2, 3, 5, 7, 10, 15, 20, 25, 30)
"""Years looked at; those between are interpolated."""


def need_h(plant: Plant) -> tuple[float, float]:
    """Least and most hours of direct sun that suit a plant; any where its light is not known."""
    bands = [NEEDS_H[word] for word in lights(plant)] or [(0.0, 24.0)]
    return min(least for least, _ in bands), max(most for _, most in bands)
