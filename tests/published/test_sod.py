"""Sod for a lawn against a trade calculator.

T14 (utilhq.pages.dev, second hand): 40 x 25 ft with 5 % of waste: 1,050 sq ft, 105 rolls of
10 sq ft, 2.33 and so 3 pallets of 450 sq ft.
"""

import pytest

from scenes.quantities import sod

SQUARE_FOOT_M2 = 0.3048**2


def test_forty_by_twenty_five_feet() -> None:
    ordered_m2, rolls, pallets = sod(40 * 25 * SQUARE_FOOT_M2, waste_percent=5)
    assert ordered_m2 / SQUARE_FOOT_M2 == pytest.approx(1050)
    assert (rolls, pallets) == (105, 3)
