"""Canopy rules of whole lots against sums worked out by cities.

T17, Chesapeake, Virginia (city page for new houses): a lot of 12,000 sf needs 20 %, 2,400 sf, as
6 large trees of 400 sf, or 3 large and 6 small of 200 sf, or 12 small ones.
T18, a tree-ordinance packet from Minnesota (figure F-2): paving of 33,280 sf needs 60 %,
19,968 sf; 3 x 475 + 5 x 1,100 + 6 x 950 + 490 + 15 x 475 sf come to 20,240 sf and pass by 272 sf.
"""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from growth.checks.credits import credit, credited
from scenes.canopyrules import CanopyCount, canopy_rules
from scenes.lengths import METRES

FOOT_M = METRES["ft"]
LARGE, SMALL = "Acer rubrum", "Cornus florida"
ENOUGH = [(6, 0), (3, 6), (0, 12)]


def lot_of(area_sf):
    return shapely.box(0, 0, 100 * FOOT_M, area_sf / 100 * FOOT_M)


@pytest.mark.parametrize(("large", "small"), ENOUGH)
def test_a_new_house_lot_has_just_enough(stand_of, large, small):
    names = [LARGE] * large + [SMALL] * small
    stand = stand_of(names, [(1 + number, 2) for number in range(len(names))])
    rule = canopy_rules()["Chesapeake new house"]
    found = credit(rule, lot_of(12_000), stand)
    assert found.area_m2 / FOOT_M**2 == pytest.approx(2_400, abs=0.5)
    assert found.fraction == pytest.approx(rule.share, abs=1e-4)


def test_trees_over_paving_are_credited_by_their_place(stand_of):
    credits_sf = {"south": 475, "islands": 1_100, "middle": 950, "corner": 490, "edge": 475}
    counts = {"south": 3, "islands": 5, "middle": 6, "corner": 1, "edge": 15}
    places = list(counts)
    planted = [place for place in places for _ in range(counts[place])]
    stand = stand_of([LARGE] * len(planted), [(1 + 0.5 * n, 2) for n in range(len(planted))])
    stand = replace(stand, source=np.array([places.index(place) for place in planted]))
    rule = CanopyCount(
        "packet", over="paving", share=0.6,
        credit_m2={place: area * FOOT_M**2 for place, area in credits_sf.items()},
    )  # fmt: skip
    found = credit(rule, lot_of(33_280), stand, places)
    assert found.area_m2 / FOOT_M**2 == pytest.approx(20_240, abs=0.01)
    assert (found.fraction - rule.share) * 33_280 == pytest.approx(272, abs=0.01)


def test_only_trees_whose_crown_reaches_over_paving_count_for_it(stand_of):
    rule = canopy_rules()["Kent parking shade"]
    stand = stand_of([LARGE, LARGE], [(-1, 0), (-40, 0)])
    assert credit(rule, lot_of(33_280), stand).area_m2 / FOOT_M**2 == pytest.approx(706.86, abs=0.1)


def test_presets_over_paving_need_paving(stand_of):
    found = credited({"lot": lot_of(12_000)}, stand_of([LARGE], [(1, 1)]))
    assert found
    assert all(one.rule.over == "lot" for one in found)
