"""Stands made by hand, for checks whose right answer is known beforehand."""

import numpy as np
import pytest

from growth.plants import catalogue
from growth.ranges import Range
from growth.stand import YEARS, Stand


def _stand_of(names, xy) -> Stand:
    """Plants of the catalogue at points (n, 2) on level ground; sizes come from draws."""
    plants = tuple(catalogue()[name] for name in dict.fromkeys(names))
    kind = np.array([[p.name for p in plants].index(name) for name in names], int)
    none = np.zeros((len(YEARS), len(names)))
    sizes, whole = Range(none, none, none), Range(none + 1, none + 1, none + 1)
    return Stand(
        years=YEARS, plants=plants, plant=kind, course=kind, courses=None,
        xyz_m=np.column_stack([np.array(xy, float), np.zeros(len(names))]), present=none == 0,
        kept=np.zeros(len(names), bool), height_m=sizes, spread_m=sizes, crown_base_m=sizes,
        vigour=whole, source=kind,
    )  # fmt: skip


@pytest.fixture
def stand_of():
    return _stand_of
