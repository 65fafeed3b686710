"""Looks of plants by month: leaf, colour, flowers and density, on stands known by hand."""

import numpy as np
import pytest

from growth.crowns import FORMS
from growth.leafage import densities_per_m
from viz.foliage import flowers, without_flowers
from viz.grown import grown
from viz.months import DRAWINGS, drawing_of, leaf_shares, looks, pieces, usual_months


def kinds(stand, leaf: str) -> list[int]:
    return [k for k, plant in enumerate(stand.plants) if plant.leaf == leaf]


def test_what_drops_its_leaves_is_bare_in_january_and_no_evergreen_ever_is(small, small_stage):
    stand, stage = small.stand, small_stage
    drawn = stage.months["drawing"].reshape(12, -1)
    bare = DRAWINGS.index("bare")
    assert kinds(stand, "deciduous")
    assert kinds(stand, "evergreen")
    assert (drawn[0, kinds(stand, "deciduous")] == bare).all()
    assert (drawn[5] != bare).all()
    assert (drawn[:, kinds(stand, "evergreen")] != bare).all()


def test_flowers_stand_in_the_months_of_the_catalogue(small, small_stage):
    yard, stand, stage = small.yard, small.stand, small_stage
    drawn = stage.months["drawing"].reshape(12, -1)
    for kind, plant in enumerate(stand.plants):
        for month in plant.flower_months if plant.colour_flower else ():
            look = DRAWINGS[drawn[month - 1, kind]]
            assert look in ("flowers", "bare")
            assert look == drawing_of(plant, yard.site, month)
            named = (plant.common or plant.name) in stage.months["flowers"][month - 1]
            assert named or look == "bare"


def test_density_is_that_of_the_checks_in_leaf_and_bare(small, small_stage):
    stand, stage = small.stand, small_stage
    density = stage.months["density"].reshape(12, -1)
    leaf, bare = densities_per_m(stand.plants)
    assert density[5] == pytest.approx(leaf, rel=1e-6)
    assert density[0] == pytest.approx(bare, rel=1e-6)


def test_leaf_is_all_in_summer_and_evergreen_alone_in_winter(small):
    yard, stand = small.yard, small.stand
    share = leaf_shares(stand, yard.site)
    assert share.shape == (31, 12)
    assert share[15, 5] == pytest.approx(1)
    area = (stand.spread_m.expected[15] * stand.present[15]) ** 2
    green = np.isin(stand.plant, kinds(stand, "evergreen") + kinds(stand, "semi-evergreen"))
    assert (
        area[np.isin(stand.plant, kinds(stand, "evergreen"))].sum() / area.sum() - 1e-9
        <= (share[15, 0])
    )
    assert share[15, 0] <= area[green].sum() / area.sum() + 1e-9


def test_the_month_of_a_season_is_june_and_january_and_turned_about_in_the_south(small):
    site = small.yard.site
    north = site.model_copy(update={"latitude_deg": 42.0, "longitude_deg": -75.0})
    south = site.model_copy(update={"latitude_deg": -38.0, "longitude_deg": 145.0})
    assert usual_months(north) == {"leaf": 5, "bare": 0}
    assert usual_months(south) == {"leaf": 11, "bare": 6}


def test_summer_colours_are_the_plants_own(small, small_stage):
    stand, stage = small.stand, small_stage
    june = stage.months["colours"].reshape(12, -1, 3)[5].astype(int)
    plain = [k for k, p in enumerate(stand.plants) if p.leaf == "deciduous" and not p.colour_spring]
    mine = np.isin(stand.plant, plain)
    assert mine.any()
    assert np.abs(june[mine] - stage.colours[mine].astype(int)).max() <= 3


def test_pieces_are_those_of_the_forms(small):
    stand = small.stand
    table = pieces(stand.plants).reshape(-1, 3, 5)
    for plant, rows in zip(stand.plants, table, strict=True):
        form = FORMS[plant.form]
        assert (rows[:, 1] > rows[:, 0]).sum() == len(form.pieces)
        assert rows[len(form.pieces) - 1, 1] == 1


def test_flowers_and_leaves_are_sent_apart_and_none_is_lost(small_stage):
    for stages in small_stage.kinds:
        for one in stages:
            whole = len(one.leaf.points_m)
            assert len(without_flowers(one.leaf).points_m) + flowers(one.leaf).sum() == whole


def test_nothing_planted_has_no_looks_but_months(small):
    yard = small.yard
    empty = yard.model_copy(update={"planting": (), "kept": ()})
    *_, stand = grown(empty)
    told = looks(stand, empty.site, np.zeros((0, 3), dtype=np.uint8))
    assert len(told["names"]) == len(told["seasons"]) == 12
    assert told["leaf"].max() == 0
