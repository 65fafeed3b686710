"""Fire spacing: the published figures, and a hedge that cannot close and keep its gaps."""

import numpy as np
import pytest

from growth.checks.record import as_json
from growth.firerules import FROM_HOUSE, SHRUBS, TREES, UPWARDS, wanted_gap_m
from scenes.lengths import METRES

FOOT = METRES["ft"]
YEW = "Taxus x media 'Hicksii'"
BED = {"name": "hedge", "edge": [[4, 8], [16, 8], [16, 10], [4, 10]]}
CLOSED = {"name": "Hedge closed", "check": "coverage", "of": "hedge", "year": 10, "at_least": 0.4}


@pytest.mark.parametrize(
    ("slope", "what", "tall_ft", "gap_ft"),
    [(0.10, SHRUBS, 4, 8), (0.30, SHRUBS, 4, 16), (0.50, SHRUBS, 4, 24), (0.10, TREES, 4, 10),
     (0.30, TREES, 4, 20), (0.50, TREES, 4, 30), (0.30, UPWARDS, 5, 15), (0.30, FROM_HOUSE, 4, 5)],
)  # fmt: skip
def test_published_gaps(slope, what, tall_ft, gap_ft):
    """T30: brush of 4 ft on 10 % keeps 8 ft, crowns of trees on 30 % keep 20 ft, a shrub of 5 ft
    keeps 15 ft clear above its top (Napa, Marin); no plants in the first 5 ft from a house."""
    wanted_m = wanted_gap_m(what, np.array([tall_ft * FOOT]), slope)
    assert wanted_m == pytest.approx(gap_ft * FOOT)


def yard(level_lot, *, fire, spacing):
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "fire_spacing": fire}
    row = {"plant": YEW, "size": "6 ft ht", "along": [[4, 9], [16, 9]], "spacing": spacing}
    return level_lot(site=site, bed=[BED], planting=[row], requirement=[CLOSED])


def test_a_hedge_conflicts_and_both_rules_are_told(level_lot, checked):
    findings = checked(yard(level_lot, fire=True, spacing=0.8))
    (gap,) = findings.fire.gaps
    assert (gap.plant, gap.other, gap.first_year) == (YEW, YEW, 0)
    assert gap.wanted_m == pytest.approx(2 * 6 * FOOT, rel=0.01)  # twice the height of planting
    (conflict,) = findings.fire.conflicts
    assert "Hedge closed" in conflict
    assert "fire spacing" in conflict
    (judged,) = findings.requirements
    assert f"40 % in year 10: {judged.standing}." in conflict  # both verdicts
    assert "missed by the plants it rests on from year 0" in conflict
    assert set(as_json(findings)["fire_spacing"]) == {"gaps", "conflicts"}


def test_nothing_is_said_of_fire_where_nobody_asks(level_lot, checked):
    findings = checked(yard(level_lot, fire=False, spacing=0.8))
    assert findings.fire is None


def test_plants_far_apart_keep_it(level_lot, checked):
    findings = checked(yard(level_lot, fire=True, spacing=12))
    assert findings.fire.gaps == ()
    assert findings.fire.conflicts == ()


def test_a_shrub_below_a_tree_is_told_with_the_crown_above_it(level_lot, checked):
    """The tree's crown reaches over the shrub from some year on; then 3 times its height is
    missing, for no young maple carries its crown that high."""
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "fire_spacing": True}
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 10]]}
    shrub = {"plant": YEW, "size": "6 ft ht", "at": [[12, 10]]}
    findings = checked(level_lot(site=site, planting=[tree, shrub]))
    (gap,) = findings.fire.gaps
    assert (gap.plant, gap.other, gap.rule) == (YEW, "Acer rubrum", UPWARDS)
    assert gap.first_year > 0
    assert gap.wanted_m >= 3 * 6 * FOOT


def test_plants_by_a_house_are_told_with_the_distance_that_is_left(level_lot, checked):
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "fire_spacing": True}
    house = {"name": "house", "kind": "house", "outline": [[2, 2], [6, 2], [6, 6], [2, 6]],
             "floor": 0.2, "eave": 3, "ridge": 5}  # fmt: skip
    shrub = {"plant": YEW, "now": {"height": 1, "spread": 0.4}, "at": [[7, 4], [16, 16]]}
    findings = checked(level_lot(site=site, structure=[house], planting=[shrub]))
    (gap,) = findings.fire.gaps
    assert (gap.other, gap.rule, gap.first_year) == ("house", FROM_HOUSE, 0)
    assert gap.gap_m == pytest.approx(1 - 0.2, abs=0.01)
    assert gap.wanted_m == pytest.approx(5 * FOOT)
    assert gap.other_at == pytest.approx((6, 4))
