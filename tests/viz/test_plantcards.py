"""What a plant's card tells: read off the small yard's document, and from plants made here."""

from dataclasses import replace

import numpy as np
import pytest

from growth.plants import catalogue
from viz.plantcards import caution_words, envelope, leaf_words, plant_cards


@pytest.fixture(scope="module")
def cards(small):
    return plant_cards(small.yard, small.layout, small.stand, small.findings)


def test_one_card_for_each_table_with_its_count(cards):
    """One maple, four arborvitae along 3.2 m at 0.8 m, two hydrangeas; sedges fill the bed."""
    told = [(each["botanical"], each["count"]) for each in cards["tables"]]
    assert told[:3] == [
        ("Acer rubrum", 1),
        ("Thuja occidentalis 'Smaragd'", 4),
        ("Hydrangea arborescens", 2),
    ]
    assert told[3][0] == "Carex morrowii"
    assert np.bincount(cards["table"]).tolist() == [count for _, count in told]


def test_planted_as_the_document_says(cards):
    maple, thuja, hydrangea, _ = (each["planted"] for each in cards["tables"])
    assert maple == "Stood here before and is kept; measured 8.00 m tall, 5.00 m wide"
    assert thuja.startswith("Planted 15 March 2027 as 1.2 m ht, 1.20 m tall")
    assert hydrangea.startswith("Planted 15 March 2027 as #3, ")


def test_how_growth_is_known_is_the_basis_of_the_forecast(cards):
    """A measured species; an evergreen of a measured class; a shrub nobody measured."""
    maple, thuja, hydrangea, _ = cards["tables"]
    assert maple["basis"] == "From a published equation of the species"
    assert "10.2737/RDS-2016-0005" in maple["source"]
    assert thuja["basis"].startswith("From the curve of its class")
    assert hydrangea["basis"].startswith("From its mature size and rate")


def test_leaf_and_flowers():
    plant = replace(
        catalogue()["Acer rubrum"],
        leaf="deciduous",
        see_through_leaf=0.2,
        see_through_bare=0.6,
        colour_flower="#ff0000",
        flower_months=(3, 4),
    )
    shown = "Deciduous; 20\u00a0% of the sky shows through in leaf, 60\u00a0% bare"
    assert leaf_words(plant) == f"{shown}. In flower: March, April"
    evergreen = replace(plant, leaf="evergreen", see_through_bare=0.2, colour_flower="")
    assert leaf_words(evergreen) == "Evergreen; 20\u00a0% of the sky shows through"


def test_cautions_name_their_source_and_what_nobody_looked_up():
    plant = replace(
        catalogue()["Acer rubrum"],
        toxic_people="listed toxic",
        toxic_pets="listed toxic",
        thorny=True,
        invasive="listed invasive in Ohio",
        sources={**catalogue()["Acer rubrum"].sources, "cautions": "a list of 2020"},
    )
    assert caution_words(plant) == [
        "Listed toxic (a list of 2020)",
        "Thorny or sharp; keep it back from paths and play",
        "Listed invasive in Ohio; check the list of your state or county",
    ]
    unknown = replace(
        plant, toxic_people="not looked up", toxic_pets="not looked up", thorny=False, invasive=""
    )
    assert caution_words(unknown) == ["Poison: not looked up"]


def test_an_envelope_is_that_of_the_checks():
    plant = replace(catalogue()["Acer rubrum"], form="oval")
    # an ellipse of half a crown about its middle: r^2 = 1 - ((h - 0.5) / 0.5)^2 = 4 h - 4 h^2
    assert envelope(plant) == [[0, 1, 0, 4, -4]]
