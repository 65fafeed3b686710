"""What to do: yards in which everybody sees which change helps, and which does not."""

import numpy as np
import pytest

import growth
from growth.checks.record import as_json
from growth.nursery import nursery_size
from growth.plants import catalogue

YEW, HOLLY = "Taxus x media 'Hicksii'", "Ilex crenata"
BED = {"name": "bed", "edge": [[4, 4], [10, 4], [10, 10], [4, 10]]}


def asks(check, of, *, year, **limit):
    return {"name": "asked", "check": check, "of": of, "year": year} | limit


@pytest.fixture
def advised(level_lot, parts):
    def found(requirement, **tables):
        yard = level_lot(requirement=[requirement], **tables)
        (verdict,) = growth.check(yard, *parts(yard), advising=len).requirements
        return verdict

    return found


def test_the_size_that_is_large_enough_is_told_and_the_smaller_one_is_not(advised):
    """On the day of planting sizes are certain: nine discs on 36 square metres."""
    plant = catalogue()[HOLLY]
    share = {
        size: 9 * np.pi / 4 * nursery_size(size, plant).spread_m ** 2 / 36
        for size in ("#5", "#7", "#10", "#15")
    }
    assert share["#5"] < share["#7"] < share["#10"]
    limit = (share["#7"] + share["#10"]) / 2
    nine = {"plant": HOLLY, "size": "#5", "at": [[x, y] for x in (5, 7, 9) for y in (5, 7, 9)]}
    verdict = advised(asks("coverage", "bed", year=0, at_least=limit), bed=[BED], planting=[nine])
    assert verdict.standing == "missed"
    told = {one.change: one for one in verdict.advice.changes}
    larger = next(one for words, one in told.items() if "#10 instead of #5" in words)
    assert (larger.plants, larger.year_met, larger.standing) == (9, 0, "met")
    assert larger.expected == pytest.approx(share["#10"], abs=0.01)
    assert not any("#7 instead" in words for words in told)


def test_a_closer_spacing_closes_a_bed(advised):
    """Discs of one spread, so far apart that they do not overlap: cover goes by their number."""
    fill = {"plant": HOLLY, "size": "#5", "fill": "bed", "spacing": 1.2, "pattern": "square"}
    spread_m = nursery_size("#5", catalogue()[HOLLY]).spread_m
    limit = np.pi / 4 * (spread_m / 0.95) ** 2  # more than one a 0.95 m square
    verdict = advised(asks("coverage", "bed", year=0, at_least=limit), bed=[BED], planting=[fill])
    closer = [one for one in verdict.advice.changes if "spacing" in one.change]
    assert closer
    assert all("1.2 m" in one.change and one.standing == "met" for one in closer)
    assert not any("spacing 1 m" in one.change for one in closer)


def test_what_stands_before_a_view_is_left_out(advised):
    two = {"plant": YEW, "size": "6 ft ht", "at": [[10, 9], [2, 9]]}
    verdict = advised(asks("opening", "north", year=5, at_least=0.99), planting=[two])
    first = verdict.advice.changes[0]
    assert first.change == f"planting[1], {YEW}: without the one at (10.0, 9.0)"
    assert (first.plants, first.low, first.year_met) == (1, 1, 0)


def test_of_a_mix_at_points_the_plant_in_the_way_is_found_by_its_place(advised):
    """The kinds take turns along the points, so the plant's number within its kind is another."""
    mix = {"mix": {HOLLY: 0.5, YEW: 0.5}, "size": "#15",
           "at": [[2, 9], [10, 9], [18, 9], [2, 3]]}  # fmt: skip
    verdict = advised(asks("opening", "north", year=20, at_least=0.99), planting=[mix])
    first = verdict.advice.changes[0]
    assert "without the one at (10.0, 9.0)" in first.change
    assert (first.plants, first.low) == (1, 1)


def test_less_cover_is_met_by_leaving_out_or_clipping(advised):
    two = {"plant": YEW, "size": "6 ft ht", "at": [[7, 7], [1, 1]]}
    verdict = advised(asks("coverage", "bed", year=9, at_most=0.0), bed=[BED], planting=[two])
    assert verdict.standing == "missed"
    assert "without the one at (7.0, 7.0)" in verdict.advice.changes[0].change


def test_two_steps_never_write_the_same_key_twice(advised):
    one = {"plant": HOLLY, "size": "#1", "at": [[7, 7]]}
    verdict = advised(asks("coverage", "bed", year=0, at_least=0.99), bed=[BED], planting=[one])
    steps = verdict.advice.nearest.change.split("; and ")
    assert len({step.split(" instead")[0].split(": ")[1][0] for step in steps}) == len(steps)


def test_nothing_is_advised_where_nothing_helps_and_the_nearest_is_told_as_that(advised):
    one = {"plant": HOLLY, "size": "#5", "at": [[7, 7]]}
    verdict = advised(asks("coverage", "bed", year=0, at_least=0.99), bed=[BED], planting=[one])
    assert verdict.advice.changes == ()
    assert verdict.advice.tried > 3
    assert verdict.advice.nearest.standing == "missed"
    assert verdict.advice.nearest.low < 0.99


def test_every_change_told_holds_when_the_yard_is_checked_with_it(level_lot, parts, advised):
    """The change is made by hand and checked from scratch."""
    nine = {"plant": HOLLY, "size": "#1", "at": [[x, y] for x in (5, 7, 9) for y in (5, 7, 9)]}
    wanted = asks("coverage", "bed", year=4, at_least=0.12)
    told = advised(wanted, bed=[BED], planting=[nine]).advice.changes
    larger = next(one for one in told if " instead of #1" in one.change)
    size = larger.change.split(": ")[1].split(" ")[0]
    yard = level_lot(requirement=[wanted], bed=[BED], planting=[nine | {"size": size}])
    (by_hand,) = growth.check(yard, *parts(yard)).requirements
    assert (by_hand.low, by_hand.expected, by_hand.standing) == (
        larger.low, larger.expected, larger.standing,
    )  # fmt: skip


def test_a_requirement_that_is_met_needs_no_advice(advised):
    one = {"plant": HOLLY, "size": "#5", "at": [[7, 7]]}
    assert (
        advised(asks("coverage", "bed", year=0, at_least=0), bed=[BED], planting=[one]).advice
        is None
    )


def test_advice_is_written_as_json(level_lot, parts):
    one = {"plant": HOLLY, "size": "#5", "at": [[7, 7]]}
    yard = level_lot(requirement=[asks("coverage", "bed", year=0, at_least=0.9)], bed=[BED],
                     planting=[one])  # fmt: skip
    (row,) = as_json(growth.check(yard, *parts(yard), advising=len))["requirements"]
    assert set(row["advice"]) == {"changes", "tried", "nearest"}
