"""The trade's four-corner method for one cell of a borrow pit, in feet and cubic yards.

T1: printed pocket-guide example of a construction calculator (p. 36): corners and their mean
77.0 ft are printed; the volume follows, 2,000 sq ft x 6.0 ft / 27 = 444.4 cu yd.
T2: practice question for the engineers' licence (expertsmind.com): 199 cu yd of borrow.
Tolerances: the last printed digit.
"""

import numpy as np
import pytest
from shapely.geometry import box

from scenes.earthwork import cut_and_fill, four_corner_m3
from scenes.lattice import Lattice
from scenes.lengths import METRES

FOOT = METRES["ft"]
CUBIC_YARD = METRES["yd"] ** 3


def test_t1_pocket_guide_cell() -> None:
    corners_ft = np.array([75.4, 77.5, 74.6, 80.5])
    assert corners_ft.mean() == pytest.approx(77.0)
    volume_m3 = four_corner_m3(2000 * FOOT**2, (83.0 - corners_ft) * FOOT)
    assert volume_m3 / CUBIC_YARD == pytest.approx(444.4, abs=0.05)


def test_t2_licence_question_cell() -> None:
    corners_ft = np.array([87.6, 87.6, 87.6, 88.6])
    volume_m3 = four_corner_m3(50 * 50 * FOOT**2, (90.0 - corners_ft) * FOOT)
    assert volume_m3 / CUBIC_YARD == pytest.approx(199, abs=0.5)


def test_t2_through_the_whole_calculation() -> None:
    cell_m = 50 * FOOT
    lattice = Lattice(0.0, 0.0, cell_m, 2, 2)
    before_m = np.array([[87.6, 87.6], [87.6, 88.6]]) * FOOT
    after_m = np.full((2, 2), 90.0 * FOOT)
    earth = cut_and_fill(
        lattice, before_m=before_m, after_m=after_m, outline=box(0, 0, cell_m, cell_m)
    )
    assert earth.fill_m3 / CUBIC_YARD == pytest.approx(199, abs=0.5)
    assert earth.cut_m3 == 0


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
    assert earth.fill_m3 == pytest.approx(weighted_m3, rel=1e-12)
