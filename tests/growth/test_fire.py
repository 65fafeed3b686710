"""Fire spacing: the published figures, and a hedge that cannot close and keep its gaps."""

import numpy as np
import pytest

from growth.checks.fire import wanted_gap_m
from growth.checks.record import as_json
from scenes.lengths import METRES

FOOT = METRES["ft"]
YEW = "Taxus x media 'Hicksii'"
BED = {"name": "hedge", "edge": [[4, 8], [16, 8], [16, 10], [4, 10]]}
CLOSED = {"name": "Hedge closed", "check": "coverage", "of": "hedge", "year": 10, "at_least": 0.4}


@pytest.mark.parametrize(
    ("slope", "trees", "gap_ft"),
    [(0.10, False, 8), (0.30, False, 16), (0.50, False, 24), (0.10, True, 10), (0.30, True, 20),
     (0.50, True, 30)],
)  # fmt: skip
def test_published_gaps(slope, trees, gap_ft):
    """T30: brush of 4 ft on 10 % keeps 8 ft, crowns of trees on 30 % keep 20 ft (Napa, Marin)."""
    assert wanted_gap_m(np.array([4 * FOOT]), slope, trees=trees) == pytest.approx(gap_ft * FOOT)


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
    assert set(as_json(findings)["fire_spacing"]) == {"gaps", "conflicts"}


def test_nothing_is_said_of_fire_where_nobody_asks(level_lot, checked):
    findings = checked(yard(level_lot, fire=False, spacing=0.8))
    assert findings.fire is None


def test_plants_far_apart_keep_it(level_lot, checked):
    findings = checked(yard(level_lot, fire=True, spacing=12))
    assert findings.fire.gaps == ()
    assert findings.fire.conflicts == ()
