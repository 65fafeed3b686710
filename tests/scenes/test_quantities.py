"""Quantities of small yards on planes: areas on the slope, edging, orders with their waste."""

import pytest

import scenes
from scenes.document import Yard
from scenes.quantities import quantities, sod

CORNERS = [[0, 0], [20, 0], [20, 20], [0, 20]]
BED = {"name": "b", "edge": [[2, 2], [8, 2], [8, 5], [2, 5]], "mulch": "75 mm"}


def amounts(*, rise=0.0, **tables):
    """Amounts by item of a lot that rises evenly to its north."""
    far = [(-9, -9), (29, -9), (29, 29), (-9, 29)]
    raw = {"title": "t", "lengths": "m", "site": {"boundary": CORNERS},
           "ground": {"points": [[x, y, 10 + rise * y] for x, y in far], "cell": 0.25}}  # fmt: skip
    yard = Yard.model_validate(raw | tables, context={"unit": "m"})
    terrain = scenes.grade(yard)
    found = quantities(yard, terrain, scenes.lay_out(yard, terrain))
    assert len({quantity.item for quantity in found}) == len(found)
    return {quantity.item: quantity.amount for quantity in found}


@pytest.mark.parametrize(("rise", "more"), [(0.0, 1.0), (1 / 3, 1.054), (0.5, 1.118)])
def test_a_bed_on_a_slope_is_larger_than_its_plan(rise, more):
    """3 to 1 adds 5.4 %, 2 to 1 11.8 %: plan area over the cosine."""
    found = amounts(rise=rise, bed=[BED])
    assert found["bed b, area on the slope"] == pytest.approx(18 * more, rel=5e-4)
    assert found["bed b, mulch"] == pytest.approx(18 * more * 0.075, rel=5e-4)


def test_edging_leaves_out_what_paving_and_houses_hold():
    """The bed's south side, 6 m, lies on a walk; its edge within 15 cm of the walk too."""
    walk = {"name": "w", "kind": "walk", "outline": [[0, 0], [20, 0], [20, 2], [0, 2]]}
    assert amounts(bed=[BED])["bed b, edging"] == pytest.approx(18)
    found = amounts(bed=[BED], surface=[walk])
    assert found["bed b, edging"] == pytest.approx(18 - 6 - 2 * 0.15)


def test_waste_and_topsoil_as_written():
    own = {"mulch_waste_percent": 10, "topsoil_beds": "200 mm", "topsoil_lawn": "100 mm",
           "topsoil_waste_percent": 20}  # fmt: skip
    lawn = {"name": "l", "kind": "lawn", "outline": [[10, 10], [15, 10], [15, 14], [10, 14]]}
    found = amounts(bed=[BED], surface=[lawn], quantities=own)
    assert found["bed b, mulch"] == pytest.approx(18 * 0.075 * 1.1)
    assert found["bed b, topsoil"] == pytest.approx(18 * 0.2 * 1.2)
    assert found["lawn l, topsoil"] == pytest.approx(20 * 0.1 * 1.2)
    assert found["lawn l, sod"] == pytest.approx(20 * 1.05)


def test_plants_by_kind_and_size():
    rose = {"plant": "Rosa rugosa", "size": "#3", "at": [[3, 3], [4, 3]]}
    more = {"plant": "Rosa rugosa", "size": "#3", "at": [[5, 3]]}
    large = {"plant": "Rosa rugosa", "size": "#7", "at": [[6, 3]]}
    found = amounts(bed=[BED], planting=[rose, more, large], quantities={"plant_waste_percent": 5})
    assert found["Rosa rugosa, #3"] == 4  # three and a twentieth, whole plants
    assert found["Rosa rugosa, #7"] == 2


def test_existing_paving_and_lawns_are_not_ordered():
    there = {"name": "p", "kind": "patio", "outline": [[2, 8], [6, 8], [6, 12], [2, 12]]}
    lawn = {**there, "name": "l", "kind": "lawn", "existing": True}
    assert amounts(surface=[there])["patio p, area on the slope"] == pytest.approx(16)
    assert amounts(surface=[{**there, "existing": True}, lawn]) == {}


def test_sod_in_whole_rolls_and_pallets():
    """Exactly a roll is one roll, a hair more are two."""
    roll_m2 = 10 * 0.3048**2
    assert sod(roll_m2, waste_percent=0)[1:] == (1, 1)
    assert sod(roll_m2 * 1.001, waste_percent=0)[1:] == (2, 1)
