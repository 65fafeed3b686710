"""Root zones against published worked figures, in the units of their sources.

T20: North Carolina Urban Forest Council (20-inch trunk at 1.5 ft an inch), City of Edina MN
(10-inch at 1.5), NC State Extension, content.ces.ncsu.edu 11376 (12-inch at 1.25); areas of
the circles by geometry. T21, T22: BS 5837:2012 Annex D and 4.6, as quoted on tree-survey pages:
a stem of 1.0 m, the cap of 707 m2, stems of 200, 250 and 300 mm. Tolerance: the rounding.
"""

import pytest

from scenes.document import Kept
from scenes.rootrules import circle, level_of, radius_m, trunk_m

INCH, FOOT = 0.0254, 0.3048


@pytest.mark.parametrize(
    ("inches", "rule", "feet", "square_feet"),
    [(20, "1.5 ft per inch", 30, 2827), (10, "1.5 ft per inch", 15, 707),
     (12, "1.25 ft per inch", 15, 707)],
)  # fmt: skip
def test_feet_of_radius_per_inch_of_trunk(inches, rule, feet, square_feet):
    radius = radius_m(inches * INCH, rule)
    assert radius / FOOT == pytest.approx(feet)
    assert circle((3, 4), radius).area / FOOT**2 == pytest.approx(square_feet, abs=0.6)


def test_six_feet_at_the_least():
    assert radius_m(3 * INCH, "1.5 ft per inch") / FOOT == pytest.approx(6)


@pytest.mark.parametrize(("trunk", "radius", "area_m2"), [(1.0, 12, 452), (1.25, 15, 707),
                                                          (2.0, 15, 707)])  # fmt: skip
def test_twelve_trunks_with_their_cap(trunk, radius, area_m2):
    assert radius_m(trunk, "12 x trunk") == pytest.approx(radius)
    assert circle((0, 0), radius).area == pytest.approx(area_m2, abs=0.5)


def test_several_stems_count_as_one():
    stems = {"plant": "Betula", "at": [0, 0], "height": 9, "spread": 6,
             "trunk_diameters": ["200 mm", "250 mm", "300 mm"]}  # fmt: skip
    trunk = trunk_m(Kept.model_validate(stems))
    assert trunk == pytest.approx(0.439, abs=0.0005)
    radius = radius_m(trunk, "12 x trunk")
    assert radius == pytest.approx(5.26, abs=0.01)
    assert circle((0, 0), radius).area == pytest.approx(87.1, abs=0.1)


@pytest.mark.parametrize(
    ("share", "level"),
    [(0.05, "little"), (0.2, "ask an arborist"), (0.27, "high risk"),
     (0.35, "removal to be considered"), (0.6, "more than most trees survive"),
     (1.0, "more than most trees survive")],
)  # fmt: skip
def test_levels_between_the_published_shares(share, level):
    """25 % and 50 %: University of Minnesota Extension; 30 %: Georgia Forestry Commission."""
    assert level_of(share) == level
