"""The year each spot of a bed closes: discs whose radii are known."""

import numpy as np
import pytest
import shapely

from growth.checks.closing import closings
from growth.checks.record import as_json
from scenes.layout import BedShape

BED = BedShape("bed", shapely.box(0, 0, 10, 10), None)
YEW = "Taxus x media 'Hicksii'"


def grown(stand_of, spreads):
    """One yew in the middle of the bed with spreads by year."""
    stand = stand_of([YEW], [[5, 5]])
    course = np.zeros((31, 1))
    course[:, 0] = spreads
    stand.spread_m.expected[:] = course
    return stand


def test_rings_close_as_the_disc_grows(stand_of):
    spreads = np.where(np.arange(31) < 5, 2.0, np.where(np.arange(31) < 12, 4.0, 8.0))
    (closing,) = closings([BED], grown(stand_of, spreads))
    areas = closing.area_m2
    assert areas[[0, 5, 12]] == pytest.approx(np.pi * np.array([1, 3, 12]), rel=0.02)
    assert areas.sum() == pytest.approx(np.pi * 16, rel=0.01)
    assert closing.year[0, 0] == 31  # the corner never closes


def test_a_disc_that_shrinks_closes_its_ground_once(stand_of):
    spreads = np.where(np.arange(31) < 8, 6.0, 2.0)
    (closing,) = closings([BED], grown(stand_of, spreads))
    assert closing.area_m2[0] == pytest.approx(np.pi * 9, rel=0.02)
    assert closing.area_m2[1:].sum() == 0


def test_json_tells_the_area_by_year_and_the_lot_as_a_row(level_lot, checked):
    bed = {"name": "bed", "edge": [[4, 4], [10, 4], [10, 10], [4, 10]]}
    row = {"plant": YEW, "size": "#5", "at": [[6, 6], [8, 8]]}
    coverage = as_json(checked(level_lot(bed=[bed], planting=[row])))["coverage"]
    assert [cover["bed"] for cover in coverage] == ["bed", "lot"]
    for end in ("low", "expected", "high"):  # it is the only bed
        assert coverage[1]["fraction"][end] == pytest.approx(coverage[0]["fraction"][end])
    assert len(coverage[0]["closing_m2"]) == 31
    assert sum(coverage[0]["closing_m2"]) <= 36
