"""The layer of closing beds: classes of given years, and shares of areas known by hand."""

import numpy as np
import pytest
import shapely

from growth.checks.findings import BedCover, Closing
from growth.cover import Cells
from growth.ranges import Range
from scenes.layout import BedShape
from viz.closinglayer import NO_BED, bed_labels, bed_layer, classes, shares


def closing_of(years, *, weight=1.0, cell_m=1.0) -> Closing:
    """One row of cells that close in the given years of 31; in none where that is 31."""
    year = np.array([years], dtype=np.uint8)
    return Closing("bed", Cells(2.0, 3.0, cell_m, np.full(year.shape, weight)), year, 31)


@pytest.mark.parametrize(
    ("first", "last", "expected"),
    [(0, 2, 0), (3, 5, 1), (6, 10, 2), (11, 20, 3), (21, 30, 4), (31, 31, 5)],
)
def test_a_class_holds_its_first_and_last_year(first: int, last: int, expected: int) -> None:
    assert classes(closing_of([first, last])).tolist() == [[expected, expected]]


def test_what_never_closes_in_a_short_forecast_is_of_the_last_class() -> None:
    """Five years looked at: 5 means never there, though it is a year of the second class."""
    short = closing_of([4, 5])
    assert classes(Closing(short.bed, short.over, short.year, 5)).tolist() == [[1, 5]]


def test_shares_are_of_the_area_of_all_beds() -> None:
    """3 m2 in year 1; 4 m2 each in years 4 and 31, of which half lies outside the bed."""
    small, large = closing_of([1, 1, 1]), closing_of([4, 31], weight=0.5, cell_m=2.0)
    assert shares([small, large]) == pytest.approx([3 / 7, 2 / 7, 0, 0, 0, 2 / 7])
    assert shares([]).tolist() == [0.0] * 6


def test_a_beds_cells_begin_at_its_corner_and_leave_out_what_is_outside() -> None:
    closing = closing_of([1, 8])
    closing.over.weight[0, 1] = 0.0
    sent = bed_layer(BedShape("bed", shapely.box(2, 3, 3, 4), None), closing)
    assert sent["corner"] == [2.0, 3.0]
    assert (sent["cell"], sent["columns"]) == (1.0, 2)
    assert sent["cells"].tolist() == [0, NO_BED]
    (edge,) = sent["edge"]
    assert {tuple(point) for point in edge.reshape(-1, 2)} == {(2, 3), (3, 3), (3, 4), (2, 4)}


@pytest.mark.parametrize(
    ("year", "words"), [(3, "by the lane: closed in year 3"), (None, "by the lane: not closed by")]
)
def test_a_chip_stands_at_its_beds_north_and_tells_the_year_of_the_findings(year, words) -> None:
    kite = shapely.Polygon([(0, 0), (4, -3), (8, 0), (5, 6)])
    flat = np.zeros(31)
    cover = BedCover("by the lane", 25.0, Range(flat, flat, flat), year)
    (label,) = bed_labels([BedShape("by the lane", kite, None)], [cover])
    assert label["text"].startswith(words)
    assert label["at"] == [5, 6]
