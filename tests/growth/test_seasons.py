from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from growth.plants import catalogue
from growth.seasons import (
    autumn_months,
    dies_back,
    flowering_months,
    foliage_colour,
    in_leaf,
    leaf_days,
    season_of_month,
)

MAPLE = catalogue()["Acer saccharum"]
PINE = catalogue()["Pinus strobus"]
LATITUDES = st.floats(-60, 60).filter(lambda degrees: abs(degrees) > 26)


def tree_days(latitude_deg, longitude_deg=None):
    return leaf_days("tree", "deciduous", latitude_deg=latitude_deg, longitude_deg=longitude_deg)


def test_a_month_without_a_latitude_is_in_leaf_from_may_to_october():
    """Common practice for temperate places."""
    assert [month for month in range(1, 13) if in_leaf(MAPLE, month, None)] == [5, 6, 7, 8, 9, 10]


@pytest.mark.parametrize("month", range(1, 13))
def test_evergreens_are_always_in_leaf(month):
    assert in_leaf(PINE, month, 60.0)
    assert in_leaf(PINE, month, -40.0)


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_midsummer_is_in_leaf_and_midwinter_shows_it(plant):
    assert in_leaf(plant, 7, 45.0)
    assert in_leaf(plant, 1, -45.0)
    assert in_leaf(plant, 1, 45.0) is (plant.leaf == "evergreen")


@given(LATITUDES)
def test_a_degree_further_from_the_equator_is_never_longer_in_leaf(latitude_deg):
    further = latitude_deg + (1 if latitude_deg > 0 else -1)

    def length(degrees):
        days = tree_days(degrees, longitude_deg=10.0)
        return (days.off - days.on) % 365

    assert length(further) < length(latitude_deg)


@given(LATITUDES, st.integers(1, 12))
def test_south_is_the_north_half_a_year_on(latitude_deg, month):
    """Six months are within two days of 183; a month whose middle is that near may differ."""
    opposite = (month + 5) % 12 + 1
    north = tree_days(abs(latitude_deg), longitude_deg=10.0)
    middle = 30.4 * month - 15.2
    if min(abs(middle - north.on), abs(middle - north.off)) > 4:
        assert season_of_month(
            month, latitude_deg=abs(latitude_deg), longitude_deg=10.0
        ) == season_of_month(opposite, latitude_deg=-abs(latitude_deg))


def test_shrubs_leaf_out_before_trees_and_warm_season_grasses_after():
    """Common practice."""
    on = {
        kind: leaf_days(kind, "deciduous", latitude_deg=42.0).on
        for kind in ("shrub", "tree", "grass")
    }
    assert on["shrub"] < on["tree"] < on["grass"]


def test_half_evergreens_keep_their_leaves_into_winter():
    tree = leaf_days("tree", "deciduous", latitude_deg=40.0)
    privet = leaf_days("shrub", "semi-evergreen", latitude_deg=40.0)
    assert privet.off > tree.off + 30
    assert privet.on < tree.on


def test_half_evergreens_are_evergreen_where_winters_are_short():
    privet = leaf_days("shrub", "semi-evergreen", latitude_deg=26.0)
    assert all(privet.hold(day) for day in range(1, 366))


def test_autumn_colour_comes_before_the_fall():
    assert autumn_months(MAPLE, 42.0) == (10,)
    assert autumn_months(MAPLE, -42.0, 172.0) == (5,)
    assert autumn_months(PINE, 42.0) == ()


def test_flowers_come_half_a_year_on_in_the_south():
    forsythia = catalogue()["Forsythia x intermedia"]
    assert flowering_months(forsythia, 40.0) == (3, 4)
    assert flowering_months(forsythia, -40.0) == (9, 10)
    assert flowering_months(replace(forsythia, flower_months=(1, 12)), -40.0) == (6, 7)


def test_colour_goes_from_spring_to_winter():
    larch = catalogue()["Larix decidua"]
    shown = [foliage_colour(larch, month, 42.0) for month in (1, 5, 7, 10, 12)]
    assert shown == ["", larch.colour_spring, larch.colour_leaf, larch.colour_autumn, ""]


def test_evergreens_take_on_their_winter_tone_and_lose_it():
    cedar = catalogue()["Juniperus virginiana"]
    assert foliage_colour(cedar, 1, 42.0) == cedar.colour_winter != cedar.colour_leaf
    assert foliage_colour(cedar, 7, 42.0) == cedar.colour_leaf
    assert foliage_colour(cedar, 7, -42.0) == cedar.colour_winter


def test_straw_of_grasses_stands_in_winter_and_perennials_die_back():
    grass, hosta = catalogue()["Miscanthus sinensis"], catalogue()["Hosta hybrid"]
    assert not dies_back(grass)
    assert foliage_colour(grass, 1, 42.0) == grass.colour_winter
    assert dies_back(hosta)
    assert foliage_colour(hosta, 1, 42.0) == ""
    assert not dies_back(catalogue()["Bergenia cordifolia"])  # evergreen
    assert not dies_back(MAPLE)
