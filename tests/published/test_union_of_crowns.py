"""Two 30-ft crowns 20 ft apart cover 1,259 square feet of ground, not 1,414.

Source: closed form. The overlap of two circles of radius r at distance d is
2 r^2 acos(d / 2r) - (d / 2) sqrt(4 r^2 - d^2) = 155 sf; twice 707 sf less it is 1,259 sf.
Tolerance: 0.5 %, the accuracy that the cells promise.
"""

import numpy as np
import pytest
import shapely

from growth.cover import cell_size_m, cells, covered_share, one_layer

FOOT_M = 0.3048
LOT = shapely.box(0, 0, 80 * FOOT_M, 60 * FOOT_M)
UNION_SF, SUM_SF, OVERLAP_SF = 1259, 1414, 155


def covered_sf(centres_ft, outline=LOT):
    over = cells(outline, cell_size_m(outline.area, 30 * FOOT_M))
    radius = np.full((len(centres_ft), 1), 15 * FOOT_M)
    share = covered_share(over, one_layer(np.array(centres_ft) * FOOT_M, radius))
    return share[0, 0] * outline.area / FOOT_M**2


def test_union_of_two_crowns():
    assert covered_sf([[30, 30], [50, 30]]) == pytest.approx(UNION_SF, rel=0.005)


def test_crowns_apart_add_up():
    assert covered_sf([[20, 30], [60, 30]]) == pytest.approx(SUM_SF, rel=0.005)


def test_what_the_union_leaves_out_is_the_overlap():
    overlap = covered_sf([[20, 30], [60, 30]]) - covered_sf([[30, 30], [50, 30]])
    assert overlap == pytest.approx(OVERLAP_SF, abs=0.005 * (UNION_SF + SUM_SF))


def test_a_neighbours_crown_counts_for_its_half_inside():
    assert covered_sf([[0, 30]]) == pytest.approx(SUM_SF / 4, rel=0.005)
