"""Requirements for an officer: sums known by hand, and wording where nothing is known."""

from dataclasses import replace

from growth.checks.findings import Verdict
from growth.checks.working import Input
from scenes.lengths import METRES
from viz.cases import amount_of, how_measured, share_text, sums

BED = Input("area of the bed in plan", 50.0, "m2")
COVER = Verdict("r", "coverage", "bed", 5, "leaf", 0.8, True, 0.5, 0.6, 0.7, "missed")


def plain(lines):
    return [line.replace("\u00a0", " ") for line in lines]


def test_a_share_of_an_area():
    assert plain(sums(COVER, BED, lengths="m")) == [
        "asked: at least 80.0 % of 50.0 m² = 40.0 m²",
        "expected: 60.0 % of 50.0 m² = 30.0 m²",
        "range: 25.0 m² to 35.0 m²",
        "10.0 m² (20.0 points) lacking if as expected",
    ]


def test_what_a_count_lacks_is_told_in_whole_plants():
    """57 % of 25 plants are 14.25; 9 are there, or 17."""
    lacks = Verdict("r", "count", "evergreen", 0, "leaf", 0.57, True, 0.36, 0.36, 0.36, "missed")
    spares = replace(lacks, low=0.68, expected=0.68, high=0.68, standing="met")
    plants = Input("plants", 25.0, "")
    assert plain(sums(lacks, plants, lengths="m"))[-1].startswith("6 plants (")  # 14.25 - 9
    assert plain(sums(spares, plants, lengths="m"))[-1].startswith("2 plants (")  # 17 - 14.25


def test_chesapeakes_worked_example():
    """20 % of 12,000 sf is 2,400 sf: met by six large trees of 400 sf, with nothing to spare."""
    lot = Input("area of the lot", 12000 * METRES["ft"] ** 2, "m2")
    met = Verdict("r", "canopy", "town", 5, "leaf", 0.2, True, 0.2, 0.2, 0.2, "met")
    told = plain(sums(met, lot, lengths="ft"))
    assert told[0] == "asked: at least 20.0 % of 12,000 sf = 2,400 sf"
    assert told[3] == "0 sf (0.0 points) to spare if as expected"


def test_a_limit_of_at_most_is_spared_from_below():
    most = Verdict("r", "roots", "oak", 5, "leaf", 0.25, False, 0.1, 0.1, 0.1, "met")
    told = plain(sums(most, Input("zone", 200.0, "m2"), lengths="m"))
    assert told[0] == "asked: at most 25.0 % of 200.0 m² = 50.0 m²"
    assert told[3] == "30.0 m² (15.0 points) to spare if as expected"


def test_plants_along_a_line():
    """5 in each 100 ft along 250 ft: 12.5; 6 in each are 15."""
    dense = Verdict(
        "r", "count", "x", 5, "leaf", 5, True, 6, 6, 6, "met", unit="per 100 ft"
    )  # fmt: skip
    told = sums(dense, Input("hundreds of feet", 2.5, ""), lengths="ft")
    assert told[0] == "asked: at least 5.00 × 2.500 = 12.5 plants"
    assert told[1] == "expected: 6.00 × 2.500 = 15 plants"


def test_what_is_not_computed_is_not_summed():
    unknown = Verdict("r", "count", "x", 5, "leaf", 5, True, None, None, None, "unknown")
    assert sums(unknown, BED, lengths="m") == ["not computed"]


def test_amounts_in_the_documents_kind_of_unit():
    assert amount_of(1.0, "m2", lengths="ft") == "11 sf"
    assert amount_of(3.0, "plants", lengths="ft") == "3 plants"
    assert amount_of(11.9999, "plants", lengths="ft") == "12 plants"
    assert amount_of(0.99999, "plants", lengths="ft") == "1 plant"
    assert amount_of(18.25, "plants", lengths="ft") == "18.2 plants"


def test_nothing_is_never_told_below_itself():
    assert share_text(-0.0001, "share").replace("\u00a0", " ") == "0.0 %"


def test_each_measure_is_told_once():
    assert len(how_measured((COVER, COVER))) == 1
