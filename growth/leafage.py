"""Leaf density of a kind's crown, from its see-through in leaf and bare.

See-through is the share of sky seen level through the inner part of the mature crown: the
middle half of the crown's height, and within half its radius there. By Beer-Lambert a level
path of length L lets exp(-density L) through, so one density gives the stated share by the
crown's own geometry; it stays the kind's at every age, and a young crown is thinner to look
through because its paths are shorter. Clumping and layers of leaf are left out.

Source: Beer-Lambert in plant canopies, Monsi and Saeki 1953 (from memory).
"""

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from growth.crowns import FORMS, Form, relative_radius
from growth.plants import Plant

Array = NDArray[np.float64]

SEASONS = ("leaf", "bare")

LEAST_SEEN, MOST_SEEN = 0.005, 0.995
"""No crown is taken as denser or thinner than this."""

_SAMPLES = 200


def densities_per_m(plants: Sequence[Plant]) -> Array:
    """Density of each kind's crown in leaf and bare, per metre of path, (2, K)."""
    mature_m = np.array([np.mean(plant.spread_m) / 2 for plant in plants])
    leaf = [density_by_radius(plant.form, plant.see_through_leaf) for plant in plants]
    bare = [density_by_radius(plant.form, bare_see_through(plant)) for plant in plants]
    return np.asarray(np.array([leaf, bare]).reshape(2, -1) / mature_m)


def bare_see_through(plant: Plant) -> float:
    """Share of sky through the crown without leaf: an evergreen's never changes."""
    if plant.leaf == "evergreen":
        return plant.see_through_leaf
    return max(plant.see_through_leaf, plant.see_through_bare)


@cache
def density_by_radius(form: str, see_through: float) -> float:
    """Density times half spread that shows that share of sky through the inner crown."""
    wanted = float(np.clip(see_through, LEAST_SEEN, MOST_SEEN))
    root: float = brentq(lambda density: seen(FORMS[form], density) - wanted, 0, 200, xtol=1e-9)
    return root


def seen(form: Form, density: float) -> float:
    """Share of sky seen level through the inner part of a crown of half spread 1."""
    middle = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
    radius = relative_radius(form, 0.25 + 0.5 * middle)
    chord = 2 * radius[:, None] * np.sqrt(1 - (0.5 * middle) ** 2)
    return float(np.average(np.exp(-density * chord).mean(axis=1), weights=radius))
