"""Mulch for a bed: area times depth, in cubic yards, against the trade's tables.

T12 (ecoturfco.com): 1,000 sq ft at 2 in 6.17; 3 in 9.26; 4 in 12.3; 6 in 18.5 cu yd.
T13 (countrygardencenterofbelair.com): 500 sq ft at 3 in 4.63 cu yd.
Tolerance: the last printed digit (12.3 and 18.5 are cut, so one digit).
"""

import pytest

from scenes.lengths import METRES
from scenes.quantities import laid_m3

FOOT, INCH, YARD = METRES["ft"], METRES["in"], METRES["yd"]


@pytest.mark.parametrize(
    ("area_sf", "depth_in", "cubic_yards", "digit"),
    [
        (1000, 2, 6.17, 0.005),
        (1000, 3, 9.26, 0.005),
        (1000, 4, 12.3, 0.1),
        (1000, 6, 18.5, 0.1),
        (500, 3, 4.63, 0.005),
    ],
)
def test_table(area_sf: float, depth_in: float, cubic_yards: float, digit: float) -> None:
    mulch_m3 = laid_m3(area_sf * FOOT**2, depth_in * INCH)
    assert mulch_m3 / YARD**3 == pytest.approx(cubic_yards, abs=digit)
