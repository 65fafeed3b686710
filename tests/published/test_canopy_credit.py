"""Canopy credits against areas worked by hand from published rules.

T19, Ramsey MN (city document 48911 page 20): k pi ((least + most spread) / 4)^2, 30-40 ft:
625 sq ft for preferred trees, 481 for acceptable ones. Kent OH: radius 15 ft, 707 sq ft.
T31, drip-line areas of crowns 35, 30, 25 and 20 ft wide: 962, 707, 491 and 314 sq ft.
"""

import pytest

from scenes.canopyrules import canopy_rules
from scenes.lengths import METRES

FOOT = METRES["ft"]
RULES = canopy_rules()
KNOWN = [
    ("Ramsey preferred tree", 30, 40, 625),
    ("Ramsey acceptable tree", 30, 40, 481),
    ("Kent mature tree", 30, 40, 707),
    ("Drip line at maturity", 35, 35, 962),
    ("Drip line at maturity", 30, 30, 707),
    ("Drip line at maturity", 25, 25, 491),
    ("Drip line at maturity", 20, 20, 314),
]


@pytest.mark.parametrize(("rule", "least_ft", "most_ft", "credit_sf"), KNOWN)
def test_credit_of_one_tree(rule, least_ft, most_ft, credit_sf):
    area_m2 = RULES[rule].area_m2((least_ft * FOOT, most_ft * FOOT), (9.0, 12.0), ())
    assert area_m2 / FOOT**2 == pytest.approx(credit_sf, abs=0.5)
