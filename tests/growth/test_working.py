"""How a requirement's figure comes about: wholes and inputs that are known by hand."""

import pytest

from growth.checks.checking import check
from growth.checks.working import Planned, workings

WALK = {"name": "walk", "kind": "walk", "outline": [[8, 0], [12, 0], [12, 20], [8, 20]]}
MAPLE = {"name": "street side", "plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 10]]}
DOGWOODS = {"plant": "Cornus florida", "size": "#5", "at": [[3, 3], [16, 3]]}
BED = {"name": "lane bed", "edge": [[1, 14], [7, 14], [7, 16], [1, 16]]}


@pytest.fixture
def working_of(level_lot, parts):
    """The working of one requirement on a lot of 20 x 20 m, its view's panel 4 x 4 m."""

    def found(check_name, of, **tables):
        limit = {} if "at_most" in tables else {"at_least": 0.2}
        keys = ("text", "source", "at_most", "season")
        own = {key: tables.pop(key) for key in keys if key in tables}
        wanted = {"name": "r", "check": check_name, "of": of, "year": 5, **limit, **own}
        yard = level_lot(surface=[WALK], planting=[MAPLE, DOGWOODS], requirement=[wanted], **tables)
        terrain, layout, stand = parts(yard)
        findings = check(yard, terrain, layout, stand, light=False)
        (working,) = workings(Planned(yard, terrain, layout, stand, findings))
        return working

    return found


def test_cover_is_a_share_of_the_bed(working_of):
    whole = working_of("coverage", "lane bed", bed=[BED]).whole
    assert (round(whole.amount, 6), whole.unit) == (12.0, "m2")


def test_what_is_hidden_is_a_share_of_the_panel(working_of):
    working = working_of("screening", "north")
    assert [one.amount for one in working.inputs] == pytest.approx([4.0, 4.0])
    assert working.whole.amount == pytest.approx(16.0)


def test_canopy_is_a_share_of_the_lot_or_the_paving(working_of):
    assert working_of("canopy", "lot").whole.amount == pytest.approx(400)
    assert working_of("canopy", "paving").whole.amount == pytest.approx(80)


def test_credited_trees_are_told_kind_by_kind(working_of):
    """Two dogwoods of 6 m2 and a maple of 75: 87 of 400 m2."""
    credit = {"street side": "75 m2", "Cornus florida": "6 m2"}
    rule = {"name": "town", "counts": "mature", "credit": credit, "share": 0.2, "year": 10}
    working = working_of("canopy", "town", canopy_rule=[rule])
    told = [(one.times, one.what, one.amount) for one in working.inputs]
    assert told == [(2, "Cornus florida", 6.0), (1, "Acer rubrum", 75.0)]
    assert working.whole.amount == pytest.approx(400)
    assert working.rule == "20 % of the lot in year 10, by credit of the mature trees"


def test_a_preset_brings_its_place_date_and_source(working_of):
    rule = {"name": "ours", "rule": "California paving shade"}
    working = working_of("canopy", "ours", canopy_rule=[rule])
    assert working.source.startswith("Sacramento, Davis and Los Angeles, California, January 2002")
    sight = {"name": "drive", "at": [10, 0], "rule": "village"}
    working = working_of("sight", "drive", sight=[sight])
    assert working.source.startswith("Woodridge, Illinois")
    assert [one.amount for one in working.inputs] == pytest.approx([3 * 0.3048, 8 * 0.3048])
    # a leg of 10 ft along the street to both sides, and 10 ft into the lot: two halves of a square
    assert working.whole.amount == pytest.approx((10 * 0.3048) ** 2)


def test_the_documents_own_words_go_first(working_of):
    words = {"text": "A fifth of the lot.", "source": "village code 7.2, 2024"}
    working = working_of("canopy", "lot", **words)
    assert (working.rule, working.source) == ("A fifth of the lot.", "village code 7.2, 2024")


def test_counts_are_shares_of_plants_or_of_a_length(working_of):
    assert working_of("count", "evergreen share").whole.amount == 3
    working = working_of("count", "trees per 100 ft of lot line")
    assert working.inputs[0].amount == pytest.approx(80)
    assert working.whole.amount == pytest.approx(80 / 30.48)


def test_a_root_zone_is_the_circle_of_its_rule(working_of):
    """20 in of trunk at 1.25 ft an inch: a radius of 25 ft."""
    oak = {"plant": "Quercus alba", "at": [10, 10], "trunk_diameter": "20 in",
           "height": 15, "spread": 12}  # fmt: skip
    working = working_of("roots", "lot", kept=[oak], at_most=0.25)
    assert working.inputs[0].amount == pytest.approx(25 * 0.3048)
    assert working.source.startswith("NC State Extension")
    assert working.whole.amount == pytest.approx(3.14159265 * (25 * 0.3048) ** 2)
