"""What if one fails: yards in which everybody sees which plant matters."""

from functools import cache

import pytest

import growth
from growth.memory import Memory

YEW, HOLLY = "Taxus x media 'Hicksii'", "Ilex crenata"
BED = {"name": "bed", "edge": [[4, 4], [10, 4], [10, 10], [4, 10]]}


def asks(check, of, *, year=8, **limit):
    return {"name": "asked", "check": check, "of": of, "year": year} | (limit or {"at_least": 0.1})


@pytest.fixture
def fails(level_lot, checked):
    def found(requirement, **tables):
        (verdict,) = checked(level_lot(requirement=[requirement], **tables)).requirements
        return verdict, verdict.if_one_fails

    return found


def test_the_only_plant_of_a_bed_leaves_nothing_and_its_successor_starts_anew(
    fails, level_lot, checked
):
    one = {"plant": YEW, "size": "#5", "at": [[7, 7]]}
    _, loss = fails(asks("coverage", "bed", at_least=0.02), bed=[BED], planting=[one])
    assert (loss.low, loss.expected, loss.high) == (0, 0, 0)
    assert (loss.place, loss.at, loss.replaced) == ("planting[1]", (7, 7), True)
    # the successor, set a season later, needs as many years as the first one did
    (cover,) = checked(level_lot(bed=[BED], planting=[one])).coverage
    assert loss.recovers_year == 9 + int((cover.fraction.expected >= 0.02).argmax())


def test_the_large_one_of_two_is_named(fails):
    two = [
        {"plant": YEW, "size": "#1", "at": [[5, 5]]},
        {"plant": YEW, "size": "#15", "at": [[8, 8]]},
    ]
    verdict, loss = fails(asks("coverage", "bed"), bed=[BED], planting=two)
    assert loss.place == "planting[2]"
    assert 0 < loss.expected < verdict.expected / 2


def test_a_twin_at_the_same_place_is_no_loss(fails):
    twins = [{"plant": YEW, "size": "#5", "at": [[7, 7]]}] * 2
    assert fails(asks("coverage", "bed"), bed=[BED], planting=twins)[1] is None


def test_a_kept_tree_is_not_replaced(fails):
    oak = {"plant": "Quercus alba", "at": [10, 10], "trunk_diameter": "12 in", "height": 12,
           "spread": 9}  # fmt: skip
    verdict, loss = fails(asks("canopy", "lot"), kept=[oak])
    assert verdict.expected > 0.1
    assert (loss.place, loss.replaced, loss.expected, loss.recovers_year) == (
        "kept[1]", False, 0, None,
    )  # fmt: skip


def test_the_one_evergreen_of_three_takes_the_share_with_it(fails):
    planting = [
        {"plant": YEW, "size": "#5", "at": [[5, 5]]},
        {"plant": "Hydrangea quercifolia", "size": "#5", "at": [[8, 8], [12, 12]]},
    ]
    verdict, loss = fails(asks("count", "evergreen share", at_least=0.3), planting=planting)
    assert verdict.expected == pytest.approx(1 / 3)
    assert (loss.plant, loss.expected) == (YEW, 0)
    assert loss.recovers_year == 9  # a new one counts from the day it stands


def test_a_screen_names_the_plant_before_the_panel_and_not_the_one_beside(fails):
    planting = [{"plant": YEW, "size": "6 ft ht", "at": [[10, 9]]},
                {"plant": YEW, "size": "6 ft ht", "at": [[2, 9]]}]  # fmt: skip
    verdict, loss = fails(asks("screening", "north"), planting=planting)
    assert verdict.expected > 0.1
    assert (loss.at, loss.expected) == ((10, 9), pytest.approx(0, abs=1e-6))


@pytest.mark.parametrize("check", ["opening", "clearance", "sight"])
def test_where_more_plants_are_worse_no_loss_is_told(fails, check):
    planting = [{"plant": YEW, "size": "6 ft ht", "at": [[10, 9]]}]
    _, loss = fails(asks(check, "north"), planting=planting)
    assert loss is None


def test_a_plant_that_is_not_there_yet_cannot_fail(fails):
    nurse = {"plant": YEW, "size": "#5", "at": [[7, 7]], "removed": 4}
    _, loss = fails(asks("coverage", "bed"), bed=[BED], planting=[nurse])
    assert loss is None


@pytest.mark.parametrize(
    ("check", "of", "limit"),
    [("screening", "north", 0.1), ("coverage", "bed", 0.1), ("canopy", "lot", 0.01),
     ("count", "evergreen share", 0.3)],
)  # fmt: skip
def test_a_loss_is_told_anew_wherever_a_plant_that_counts_has_moved(
    level_lot, parts, check, of, limit
):
    """A yew before the panel and over the bed is moved away, where it hides and covers nothing,
    and back again; an oak grows in the corner, where it counts as canopy alone."""
    memory = Memory()

    @cache
    def scratch(x, y):
        made = whole(x, y)
        (verdict,) = growth.check(*made, light=False).requirements
        return made, verdict

    def whole(x, y):
        yew = {"plant": YEW, "size": "8 ft ht", "at": [[x, y]]}
        holly = {"plant": HOLLY, "size": "#5", "at": [[5, 5], [9, 9]]}
        oak = {"plant": "Quercus alba", "size": "2 in cal", "at": [[18, 3]]}
        yard = level_lot(
            requirement=[asks(check, of, at_least=limit)], bed=[BED], planting=[yew, holly, oak]
        )
        return yard, *parts(yard)

    def loss(x, y):
        made, anew = scratch(x, y)
        (remembered,) = growth.check(*made, light=False, memory=memory).requirements
        assert remembered == anew
        return remembered.if_one_fails

    here = loss(10, 9)
    assert here is not None
    assert here == loss(10, 9)
    loss(2, 14)
    assert here == loss(10, 9)
