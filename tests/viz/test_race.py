"""The race's data: who runs, from which sizes, and that packing loses next to nothing."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import scenes
from growth.memory import Memory
from growth.nursery import nursery_size, usual_size
from growth.plants import catalogue
from growth.ranges import Range
from growth.specimen import grow_specimen, plant_course
from growth.starts import climate_of
from scenes.document import PlantFacts
from scenes.layout import Source
from viz.packed import packed
from viz.race import LAST_YEAR, SERIES, Runner, as_params, sizes_offered, starters

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
YEARS = LAST_YEAR + 1


@pytest.fixture(scope="module")
def yard():
    return scenes.load(SMALL)


@pytest.fixture(scope="module")
def raced(yard):
    return as_params(yard, scenes.lay_out(yard, scenes.grade(yard)).sources)


@pytest.fixture(scope="module")
def kinds(raced):
    return {kind["name"]: kind for kind in raced["kinds"]["kinds"]}


def runner(name: str, *, gained_m: float) -> Runner:
    """A runner that gains so much height each year."""
    plant = replace(catalogue()["Carex morrowii"], name=name)
    height_m = gained_m * np.arange(YEARS)
    course = replace(grow_specimen(plant), height_m=Range(height_m, height_m, height_m))
    return Runner(plant, ("#1",), (course,), 0)


def source(name: str) -> Source:
    return Source("planting[1]", name, kept=None, planting=None)


def test_every_plant_of_the_catalogue_runs_in_order_of_names(kinds):
    assert list(kinds) == sorted(catalogue())


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_sizes_offered_hold_the_usual_one_and_rise(plant):
    sizes = sizes_offered(plant)
    stocks = [nursery_size(size, plant) for size in sizes]
    measures = [(stock.height_m, stock.spread_m) for stock in stocks]
    usual = nursery_size(usual_size(plant), plant)
    assert 1 <= len(sizes) <= 3
    assert measures == sorted(set(measures))
    assert (usual.height_m, usual.spread_m) in measures


def test_stock_taller_than_the_plant_grows_is_not_offered():
    dwarf = replace(catalogue()["Thuja 'Green Giant'"], height_m=(2.0, 2.5))
    assert sizes_offered(dwarf) == ("3 ft ht", "6 ft ht")  # 10 ft is 3.05 m


def test_a_yards_own_size_is_offered_and_first(kinds):
    arborvitae = kinds["Thuja occidentalis 'Smaragd'"]
    assert arborvitae["sizes"][arborvitae["size"]] == "1.2 m ht"
    hydrangea = kinds["Hydrangea arborescens"]
    assert hydrangea["sizes"][hydrangea["size"]] == "#3"


@pytest.mark.parametrize("name", ["Acer rubrum", "Cycas revoluta", "Carex morrowii"])
def test_packed_courses_are_those_of_the_grow_command(raced, kinds, yard, name):
    kind = kinds[name]
    counts = raced["courses"]["counts"].reshape(-1, len(SERIES), YEARS)
    for i, size in enumerate(kind["sizes"]):
        step_m = float(raced["courses"]["step"][kind["course"] + i])
        sizes_m = counts[kind["course"] + i] * step_m
        told = plant_course(name, size=size, until=LAST_YEAR, own={}, climate=climate_of(yard))
        ends = ("low", "expected", "high")
        expected_m = [
            *(told["height_m"][end] for end in ends),
            *(told["spread_m"][end] for end in ends),
            told["crown_base_m"]["expected"],
        ]
        # the command rounds to the millimetre, packing to a step of the largest size
        assert np.abs(sizes_m - expected_m).max() <= 0.0005 + step_m / 2 + 1e-6
        assert step_m < 0.001


def test_all_courses_are_small_enough_to_travel(raced):
    assert raced["courses"]["counts"].nbytes < 600_000


def test_the_yards_kinds_start_slowest_first(raced):
    names = [raced["kinds"]["kinds"][i]["name"] for i in raced["kinds"]["start"]]
    assert set(names) == {
        "Acer rubrum", "Thuja occidentalis 'Smaragd'", "Hydrangea arborescens", "Carex morrowii",
    }  # fmt: skip
    assert names[0] == "Carex morrowii"  # a sedge of a foot or so
    assert names[-1] == "Acer rubrum"  # a tree of 40 ft or more


def test_too_many_kinds_are_chosen_evenly_from_slow_to_fast():
    gains = [0.4, 0.1, 0.9, 0.2, 0.5, 0.3, 0.8, 0.6, 0.7]
    field = [runner(f"kind {gain}", gained_m=gain) for gain in gains]
    chosen = starters(field, [source(each.plant.name) for each in field])
    assert [gains[i] for i in chosen] == [0.1, 0.3, 0.5, 0.7, 0.9]


def test_only_the_yards_kinds_start():
    field = [runner("in the yard", gained_m=0.1), runner("elsewhere", gained_m=0.2)]
    assert starters(field, [source("in the yard")]) == (0,)
    assert starters(field, []) == ()


def test_measured_medians_come_with_their_city_up_to_year_thirty(kinds):
    # Urban tree database, doi 10.2737/RDS-2016-0005, table TS3: medians of Acer rubrum, MidWst
    rows = kinds["Acer rubrum"]["measured"]
    city = "Minneapolis, Minnesota"
    row = {"years": 10, "height": 5.5, "spread": 4.5, "trees": 7, "city": city}
    assert row in rows
    assert all(row["years"] <= LAST_YEAR for row in rows)
    assert kinds["Carex morrowii"]["measured"] == []


def test_sizes_seen_in_a_document_are_told(yard):
    facts = PlantFacts.model_validate({"name": "Acer rubrum", "seen": [[5, 4.0, 2.0]]})
    seen = yard.model_copy(update={"plant": (facts,)})
    kinds = as_params(seen, [])["kinds"]["kinds"]
    maple = next(kind for kind in kinds if kind["name"] == "Acer rubrum")
    assert maple["seen"] == [[5, 4.0, 2.0]]
    assert maple["basis"] == "seen locally"


def test_outlines_are_those_of_the_crowns(raced):
    assert raced["outlines"]["mounding"][0] == 1  # a dome is widest at the ground
    assert raced["outlines"]["mounding"][-1] == 0
    assert set(raced["outlines"]["sheet"]) == {1}


def test_a_remembered_race_is_the_one_grown_anew(yard):
    """After the site has changed, and after sizes of one plant were seen."""
    memory = Memory()
    first = packed(as_params(yard, [], memory))
    site = yard.site.model_copy(update={"hardiness_zone": 9, "place": "Florida, US"})
    facts = PlantFacts.model_validate({"name": "Acer rubrum", "seen": [[5, 4.0, 2.0]]})
    for edit in ({"site": site}, {"plant": (facts,)}):
        edited = yard.model_copy(update=edit)
        again = packed(as_params(edited, [], memory))
        assert again == packed(as_params(edited, []))
        assert again != first
    assert packed(as_params(yard, [], memory)) == first


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("Taxus x media 'Hicksii'", "listed as toxic"),
        ("Prunus laurocerasus", "listed as toxic, listed as invasive in places"),
        ("Pinus strobus", ""),
    ],
)
def test_what_lists_warn_of_goes_with_each_plant(kinds, name, told):
    assert kinds[name]["cautions"] == told
