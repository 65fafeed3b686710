"""The trade's four-corner method for one cell of a borrow pit, in feet and cubic yards.

T1: printed pocket-guide example of a construction calculator (p. 36): corners and their mean
77.0 ft are printed; the volume follows, 2,000 sq ft x 6.0 ft / 27 = 444.4 cu yd.
T2: practice question for the engineers' licence (expertsmind.com): 199 cu yd of borrow.
Tolerances: the last printed digit.
"""

import numpy as np
import pytest
from shapely.geometry import box

from scenes.lattice import Lattice
from scenes.lengths import METRES
from scenes.volumes import Moved, cut_and_fill

FOOT = METRES["ft"]
CUBIC_YARD = METRES["yd"] ** 3


def fill_of_cell(corners_ft: list[float], *, level_ft: float, area_sf: float) -> Moved:
    """One square cell raised to a level, through the whole calculation."""
    cell_m = np.sqrt(area_sf) * FOOT
    before_m = np.array(corners_ft).reshape(2, 2) * FOOT
    return cut_and_fill(
        Lattice(0.0, 0.0, cell_m, 2, 2),
        before_m=before_m,
        after_m=np.full((2, 2), level_ft * FOOT),
        outline=box(0, 0, cell_m, cell_m),
    )


def test_t1_pocket_guide_cell() -> None:
    earth = fill_of_cell([75.4, 77.5, 74.6, 80.5], level_ft=83.0, area_sf=2000)
    assert earth.fill_m3.sum() / CUBIC_YARD == pytest.approx(444.4, abs=0.05)
    assert earth.cut_m3.sum() == 0


def test_t2_licence_question_cell() -> None:
    earth = fill_of_cell([87.6, 87.6, 87.6, 88.6], level_ft=90.0, area_sf=50 * 50)
    assert earth.fill_m3.sum() / CUBIC_YARD == pytest.approx(199, abs=0.5)
    assert earth.cut_m3.sum() == 0


def test_t3_weighted_grid_equals_the_sum_of_cells() -> None:
    """T3: V = A (a + 2 b + 3 c + 4 d) / 4, nodes weighted by the cells they touch."""
    fill_ft = np.array([[1.0, 2.0, 1.5], [2.5, 3.0, 2.0], [0.5, 1.0, 4.0]])
    touching = np.array([[1, 2, 1], [2, 4, 2], [1, 2, 1]])
    cell_m = 10 * FOOT
    weighted_m3 = cell_m**2 * float((fill_ft * touching).sum()) * FOOT / 4
    earth = cut_and_fill(
        Lattice(0.0, 0.0, cell_m, 3, 3),
        before_m=np.zeros((3, 3)),
        after_m=fill_ft * FOOT,
        outline=box(0, 0, 2 * cell_m, 2 * cell_m),
    )
    assert earth.fill_m3.sum() == pytest.approx(weighted_m3, rel=1e-12)
