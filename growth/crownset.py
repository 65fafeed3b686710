"""Crowns of many plants in many rows of sizes, as sight lines and sun lines meet them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from growth.crowns import Form

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Crowns:
    """Crowns of n plants in T rows of sizes, with S densities each (leaf, bare)."""

    foot_m: Array  # (n, 3)
    height_m: Floats  # (T, n)
    spread_m: Floats  # (T, n); zero where absent
    base_m: Floats  # (T, n)
    forms: tuple[Form, ...]
    form: IntArray  # (n,) index into forms
    density_per_m: Array  # (S, n)
    vigour: Floats | None = None  # (T, n) factor on the density; None where all are undamaged

    def rows(self, first: int, last: int) -> "Crowns":
        """The same crowns in the rows first to last - 1."""
        part = slice(first, last)
        return replace(
            self,
            height_m=self.height_m[part],
            spread_m=self.spread_m[part],
            base_m=self.base_m[part],
            vigour=None if self.vigour is None else self.vigour[part],
        )

    def only(self, chosen: IntArray) -> "Crowns":
        """The chosen plants alone, in their order."""
        return Crowns(
            self.foot_m[chosen], self.height_m[:, chosen], self.spread_m[:, chosen],
            self.base_m[:, chosen], self.forms, self.form[chosen],
            self.density_per_m[:, chosen],
            None if self.vigour is None else self.vigour[:, chosen],
        )  # fmt: skip

    def in_season(self, season: int) -> "Crowns":
        """The same crowns with the density of one season."""
        return replace(self, density_per_m=self.density_per_m[season : season + 1])

    @property
    def reach_m(self) -> Array:
        """Largest radius over the rows, and lowest base and highest top above the foot, (3, n)."""
        present = self.spread_m > 0
        base = np.where(present, self.base_m, np.inf).min(axis=0, initial=np.inf)
        top = np.where(present, self.height_m, -np.inf).max(axis=0, initial=-np.inf)
        radius = self.spread_m.max(axis=0, initial=0) / 2
        there = radius > 0
        return np.stack([radius, np.where(there, base, 0), np.where(there, top, 0)]).astype(float)
