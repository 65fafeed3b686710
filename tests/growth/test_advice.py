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
    assert first.change == f"{YEW} at (10.0, 9.0) and (2.0, 9.0): without the one at (10.0, 9.0)"
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


def test_too_few_evergreens_give_way_to_others_that_are(advised):
    maples = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[5, 5], [15, 5]]}
    spruce = {"plant": "Picea abies", "size": "6 ft ht", "at": [[15, 15]]}
    wanted = asks("count", "evergreen share", year=5, at_least=0.9)
    told = advised(wanted, planting=[maples, spruce]).advice.changes
    assert told
    for one in told:
        change = one.change.removeprefix("Acer rubrum at (5.0, 5.0) and (15.0, 5.0): ")
        name = change.removesuffix(" instead")
        assert catalogue()[name].leaf == "evergreen"
        assert (one.plants, one.expected, one.standing) == (2, 1, "met")


def test_one_tree_more_where_a_count_along_the_lot_line_lacks_it(advised):
    """80 m round the lot are 2.62 times 100 ft: one tree is 0.38 per 100 ft, two are 0.76."""
    one = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[5, 5]]}
    wanted = asks("count", "trees per 100 ft of lot line", year=5, at_least=0.7)
    first = advised(wanted, planting=[one]).advice.changes[0]
    assert "one Acer rubrum more" in first.change
    assert first.expected == pytest.approx(2 * 30.48 / 80)


def test_a_larger_caliper_meets_a_least_size(advised):
    tree = {"plant": "Acer rubrum", "size": "1.5 in cal", "at": [[5, 5]]}
    wanted = asks("count", "smallest tree caliper in inches", year=0, at_least=2)
    first = advised(wanted, planting=[tree]).advice.changes[0]
    assert "2 in cal instead of 1.5 in cal" in first.change
    assert first.expected == pytest.approx(2)


def test_the_riser_that_clears_a_plant_is_told_and_no_lower_one(advised):
    """A plant clipped to 15 in stops a riser of 12 in and lets one of 18 in pass."""
    head = {"name": "spray", "at": [10, 5], "riser": "12 in", "throw": 4}
    shrub = {"plant": HOLLY, "now": {"height": 0.381, "spread": 1}, "at": [[10, 7]],
             "kept_at": {"height": 0.381}}  # fmt: skip
    wanted = asks("spray", "spray", year=10, at_least=0.99)
    told = advised(wanted, head=[head], planting=[shrub]).advice.changes
    assert any(one.change == "spray: a riser of 18 in" and one.plants == 0 for one in told)
    assert not any("riser of 12 in" in one.change for one in told)


def test_plants_in_too_little_light_give_way_to_others_that_bear_it(advised):
    """North of a wall 8 m high and 20 m long a plant of the sun stands in shade."""
    wall = {"name": "wall", "kind": "wall", "line": [[0, 10], [20, 10]], "height": 8}
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "latitude_deg": 52.0}
    sunny = {
        "name": "row",
        "size": "#1",
        "at": [[10, 11]],
        "plant": next(
            p.name
            for p in catalogue().values()
            if p.light == "sun" and p.kind == "shrub" and p.leaf == "deciduous"
        ),
    }
    verdict = advised(asks("light", "row", year=0, at_least=1), site=site, structure=[wall],
                      planting=[sunny])  # fmt: skip
    assert verdict.standing == "missed"
    assert verdict.advice.changes
    for one in verdict.advice.changes:
        name = one.change.partition(": ")[2].removesuffix(" instead")
        assert catalogue()[name].light != "sun"
        assert one.expected == 1


def test_a_tree_more_beside_paving_that_no_crown_shades_yet(advised):
    """A walk along the south edge, one maple in the far north: none of its plants helps now."""
    walk = {"name": "walk", "kind": "walk", "outline": [[0, 0], [20, 0], [20, 1], [0, 1]]}
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 17]]}
    wanted = asks("canopy", "paving", year=20, at_least=0.02)
    verdict = advised(wanted, surface=[walk], planting=[tree])
    assert verdict.low < 0.02
    first = verdict.advice.changes[0]
    assert first.change.startswith("one Acer rubrum more")
    assert first.standing == "met"


def test_a_credit_is_met_by_one_tree_more(advised):
    """Two credits of 60 square metres on 400: 30 %."""
    rule = {"name": "town", "counts": "mature", "credit": {"Acer rubrum": "60 m2"}}
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 17]]}
    wanted = asks("canopy", "town", year=20, at_least=0.3)
    first = advised(wanted, canopy_rule=[rule], planting=[tree]).advice.changes[0]
    assert "one Acer rubrum more" in first.change
    assert first.expected == pytest.approx(0.3)
