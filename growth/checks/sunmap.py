"""Maps of direct sun over the lot, by month and by year, and what can be read from them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from growth.ranges import Array

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class LotLight:
    """Hours of direct sun a day on the cells of the lot, not a number outside it.

    Cells are squares of cell_m with the centre of the first at corner_m. month_h holds the
    months January to December of the shown years, season_h the mean of the growing season of
    the sampled years; band_m2 the area of open ground in full sun, part shade and shade by year.
    """

    corner_m: tuple[float, float]
    cell_m: float
    shown_years: tuple[int, ...]
    month_h: Floats  # (shown years, 12, ny, nx)
    sampled_years: tuple[int, ...]
    season_h: Floats  # (sampled years, ny, nx)
    band_m2: dict[str, Array]  # (years,)

    def year_below(self, hours: float) -> Array:
        """Year in which each cell falls below so many hours, (ny, nx); not a number where it
        starts below, or never does."""
        years, course = np.array(self.sampled_years, float), self.season_h
        below = course < hours
        first = below.argmax(axis=0)
        before = np.take_along_axis(course, np.maximum(first - 1, 0)[None], 0)[0]
        after = np.take_along_axis(course, first[None], 0)[0]
        step = (before - hours) / np.where(before > after, before - after, 1)
        year = years[first - 1] + step * (years[first] - years[first - 1])
        return np.asarray(np.where(below.any(axis=0) & (first > 0), year, np.nan))
