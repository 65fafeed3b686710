from dataclasses import replace

import numpy as np
import pytest

from growth.basis import ASSUMED, CLASS, PUBLISHED, SEEN, basis_of
from growth.climate import ANYWHERE, Climate
from growth.errors import GrowthError
from growth.plants import catalogue, plants_of_facts
from growth.scatter import ASSUMED_SCATTER, between_kinds, class_scatter
from growth.specimen import as_json, grow_specimen
from scenes.document import PlantFacts

PLANTED = (1.5, 0.8)


def basis(plant, climate=ANYWHERE):
    return basis_of(plant, climate, planted_m=PLANTED)


def own(**facts):
    table = {
        "name": "Quercus nova", "kind": "tree", "form": "rounded", "leaf": "deciduous",
        "height": [15.0, 20.0], "spread": [10.0, 14.0], "rate": "moderate", **facts,
    }  # fmt: skip
    read = PlantFacts.model_validate(table, context={"unit": "m"})
    return plants_of_facts([read], file="test.toml")[table["name"]]


@pytest.mark.parametrize(
    ("plant", "name"),
    [
        (catalogue()["Acer rubrum"], PUBLISHED),
        (catalogue()["Betula nigra"], CLASS),
        (catalogue()["Ilex crenata"], ASSUMED),
        (catalogue()["Thuja 'Green Giant'"], ASSUMED),
    ],
    ids=["equation", "class", "shrub", "stated growth"],
)
def test_the_best_basis_there_is(plant, name):
    assert basis(plant).name == name
    assert basis(replace(plant, seen=((5.0, 3.0, 2.0),))).name == SEEN


def test_figures_of_the_document_outrank_a_published_equation():
    assert basis(own(name="Acer rubrum")).name == CLASS
    assert basis(own(name="Acer rubrum", growth_per_year="0.4 m")).name == ASSUMED


def test_the_region_of_an_equation_follows_the_site():
    plant = catalogue()["Acer rubrum"]
    assert "(NoEast)" in basis(plant, Climate("New York", 41.0, 7)).source
    assert "(CenFla)" in basis(plant, Climate("Florida", 28.0, 9)).source
    assert basis(plant, Climate(zone=12)).name == CLASS  # no equation from so warm a place


def test_a_species_own_curve_is_surer_in_its_own_region():
    plant = catalogue()["Acer rubrum"]
    here, anywhere = basis(plant, Climate("New York")), basis(plant)
    assert anywhere.height_scatter == class_scatter("height")
    ratio = here.height_scatter.rate / anywhere.height_scatter.rate
    assert ratio == pytest.approx((1 - between_kinds()) ** 0.5)


def test_shrubs_have_the_assumed_range():
    assert basis(catalogue()["Ilex crenata"]).spread_scatter == ASSUMED_SCATTER


def test_climate_matters_to_a_class_curve():
    plant = catalogue()["Betula nigra"]
    curves = {basis(plant, Climate(zone=zone)).height for zone in (4, 7, 10)}
    assert len(curves) == 3


def test_sizes_seen_stand_in_the_course_and_its_json():
    plant = own(seen=[[5, 4.0, 2.5], [10, 6.5, 4.0]])
    course = as_json(grow_specimen(plant, size="6 ft ht"))
    assert course["basis"] == "seen locally"
    assert course["seen"] == [
        {"year": 5, "height_m": 4.0, "spread_m": 2.5},
        {"year": 10, "height_m": 6.5, "spread_m": 4.0},
    ]
    assert course["height_m"]["expected"][5] == pytest.approx(4.0, rel=0.08)
    assert course["height_m"]["expected"][10] == pytest.approx(6.5, rel=0.08)
    assert course["spread_m"]["expected"][10] == pytest.approx(4.0, rel=0.08)
    assert np.all(np.diff(course["height_m"]["low"]) >= 0)


@pytest.mark.parametrize(
    ("seen", "message"),
    [
        ([[5, 4.0, 2.5], [8, 3.0, 3.0]], r"seen\[2\]: height shrinks from 4 m to 3 m; leave out"),
        ([[5, 4.0, 2.5], [8, 5.0, 2.0]], r"seen\[2\]: spread shrinks from 2.5 m to 2 m"),
        ([[5, 4.0, 2.5], [5, 4.5, 2.5]], r"seen\[2\]: year 5 is not after year 5"),
    ],
)
def test_contradictory_sizes_are_refused(seen, message):
    with pytest.raises(GrowthError, match=r"^test\.toml: plant\[1\]\." + message):
        own(seen=seen)


def test_a_curve_that_leaves_the_mature_range_is_said():
    course = as_json(grow_specimen(own(height=[4.0, 4.5], spread=[4.0, 5.0])))
    assert course["mature_height_m"] == [4.0, 4.5]
    assert any("above the mature 4.0 to 4.5 m" in note for note in course["notes"])
