"""Peak flows: the rational method in its own units, and shares by what lies on the ground."""

import pytest

import scenes
from scenes.document import Yard
from scenes.drainage import drain
from scenes.runoff import peak_m3_per_s, peaks

ACRE_M2, CUBIC_FOOT_M3 = 43560 * 0.3048**2, 0.3048**3


def test_an_acre_at_an_inch_an_hour():
    """1 acre, C = 1, 1 in/h: 43,560 sq ft x 1/12 ft over 3,600 s = 1.00833 cubic feet a second."""
    flow = peak_m3_per_s(1.0, 25.4, ACRE_M2)
    assert flow / CUBIC_FOOT_M3 == pytest.approx(43560 / 12 / 3600)


def test_a_drain_in_the_middle_of_paving():
    """A patio of 10 x 10 m that falls to a drain from all sides, with nothing running on to it."""
    corners = [[-1, -1], [11, -1], [11, 11], [-1, 11]]
    points = [[5, 5, 9.8], *[[*corner, 10.04] for corner in corners]]
    points += [[-9, -9, 8], [19, -9, 8], [19, 19, 8], [-9, 19, 8]]
    patio = {"name": "p", "kind": "patio", "outline": corners}
    raw = {"title": "t", "lengths": "m", "site": {"boundary": corners},
           "ground": {"points": points, "cell": 0.25}, "surface": [patio],
           "drain": [{"name": "d", "at": [5, 5]}]}  # fmt: skip
    yard = Yard.model_validate(raw, context={"unit": "m"})
    terrain = scenes.grade(yard)
    drainage = drain(terrain, yard)
    assert drainage.ponds == ()
    (peak,) = peaks(terrain, scenes.lay_out(yard, terrain), drainage, rain_mm_per_h=50)
    assert peak.place == "drain d"
    assert peak.catchment_m2 == pytest.approx(144, rel=0.05)
    assert peak.runoff_share == pytest.approx(0.9, abs=0.01)
    assert peak.litres_per_s == pytest.approx(0.9 * 50 * peak.catchment_m2 / 3600, rel=0.01)
