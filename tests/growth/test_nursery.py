import csv
from dataclasses import replace

import pytest

from growth.errors import GrowthError
from growth.nursery import CONTAINERS, STOCK, nursery_size, planted_size, usual_size
from growth.plants import catalogue
from scenes.document import Planting


def plant(name):
    return catalogue()[name]


@pytest.mark.parametrize(
    ("size", "height_m"),
    [("6 ft ht", 1.8288), ("1.8 m ht", 1.8), ("72 in ht", 1.8288), (" 180 cm  ht ", 1.8)],
)
def test_a_written_height_is_taken_as_written(size, height_m):
    assert nursery_size(size, plant("Picea abies")).height_m == pytest.approx(height_m)


def test_caliper_in_inches_and_millimetres_agree():
    inches = nursery_size("2 in cal", plant("Quercus rubra"))
    millimetres = nursery_size("50.8 mm cal", plant("Quercus rubra"))
    assert inches.height_m == pytest.approx(millimetres.height_m)
    assert inches.caliper_m == pytest.approx(0.0508)


def test_caliper_between_two_rows_lies_between_their_heights():
    """2 in is 12 ft and 2.5 in 13 ft; halfway between is 12.5 ft."""
    size = nursery_size("2.25 in cal", plant("Quercus rubra"))
    assert size.height_m == pytest.approx(12.5 * 0.3048, abs=0.01)


@pytest.mark.parametrize("kind", catalogue().values(), ids=lambda kind: kind.name)
def test_stock_grows_with_its_container_and_stays_under_the_mature_size(kind):
    sizes = [nursery_size(f"#{number}", kind) for number in CONTAINERS]
    heights, spreads = [s.height_m for s in sizes], [s.spread_m for s in sizes]
    assert heights == sorted(heights)
    assert spreads == sorted(spreads)
    assert heights[0] > 0
    assert heights[-1] <= kind.height_m[0]
    assert spreads[0] > 0
    assert spreads[-1] <= kind.spread_m[0]


@pytest.mark.parametrize("kind", catalogue().values(), ids=lambda kind: kind.name)
def test_every_plant_has_a_usual_size(kind):
    assert nursery_size(usual_size(kind), kind).height_m > 0


@pytest.mark.parametrize(
    ("span", "middle"),
    [("5-7 ft ht", "6 ft ht"), ("1.5-2.5 in cal", "2 in cal"), ("150 - 210 cm ht", "180 cm ht")],
)
def test_a_span_as_the_trade_writes_it_is_read_as_its_middle(span, middle):
    read, plain = (nursery_size(size, plant("Acer rubrum")) for size in (span, middle))
    assert read.height_m == pytest.approx(plain.height_m)
    assert read.caliper_m == pytest.approx(plain.caliper_m)


@pytest.mark.parametrize("size", ["2 in cal B&B", "2 in cal. b & b", "6 ft ht B&B"])
def test_stock_dug_from_the_field_may_be_said_to_be(size):
    bare = size.lower().replace("b & b", "b&b").removesuffix("b&b").strip()
    assert nursery_size(size, plant("Acer rubrum")) == nursery_size(bare, plant("Acer rubrum"))


def test_every_row_of_stock_names_its_source_and_every_group_all_containers():
    with STOCK.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert all(row["source"] for row in rows)
    for group in ("tree", "shrub", "palm", "soft"):
        sizes = [row["size"] for row in rows if row["group"] == group]
        assert sizes == [f"#{number}" for number in CONTAINERS]


def test_trees_have_a_caliper_and_containers_are_told_apart():
    """12 ft shade trees have 2 in; a #15 tree 1 to 1.5 in (retail rule)."""
    by_height = nursery_size("12 ft ht", plant("Quercus rubra"))
    assert by_height.caliper_m == pytest.approx(0.0508, abs=0.0002)
    assert not by_height.in_container
    potted = nursery_size("#15", plant("Quercus rubra"))
    assert 0.0254 <= potted.caliper_m <= 1.5 * 0.0254
    assert potted.in_container
    assert nursery_size("#15", plant("Ilex crenata")).caliper_m is None


def test_narrow_trees_are_narrow_at_planting():
    narrow = nursery_size("6 ft ht", plant("Thuja occidentalis 'Smaragd'"))
    broad = nursery_size("6 ft ht", plant("Acer rubrum"))
    assert narrow.spread_m < broad.spread_m


def test_size_as_measured_is_used_even_above_the_mature_size():
    planting = Planting(plant="Ilex crenata", at=((0, 0),), now={"height": 4.0, "spread": 3.5})
    size = planted_size(planting, plant("Ilex crenata"))
    assert (size.height_m, size.spread_m) == (4.0, 3.5)


@pytest.mark.parametrize(
    ("size", "name", "message"),
    [
        ("big", "Acer rubrum", r'size: "big" is unknown; known are a container "#1" to "#45"'),
        ("#4", "Acer rubrum", r'size: "#4" is no container class; known are #1, #2, #3, #5'),
        ("5", "Acer rubrum", r'size: "5" is unknown; known are'),
        ("2 in cal", "Ilex crenata", r"Ilex crenata is a shrub, not a tree; write a container"),
        ("1 in cal", "Liriope muscari", r'is a perennial, not a tree; .* such as "#1"'),
        ("9 in cal", "Acer rubrum", r"beyond nursery stock of 0.5 to 5 in caliper"),
        ("2 cal", "Acer rubrum", r'size: "2 cal": .* known are'),
        ("two ft ht", "Acer rubrum", r'size: "two ft ht": .* known are'),
        ("5-6 ells ht", "Acer rubrum", r'size: "5-6 ells ht": .* unknown unit .* known are'),
        ("B&B", "Acer rubrum", r'size: "B&B" is unknown; known are'),
        ("0 ft ht", "Acer rubrum", r'size: "0 ft ht" is not above zero'),
        ("20 ft ht", "Thuja occidentalis 'Smaragd'", r"is taller than .* grows \(3.66 to 4.57 m\)"),
    ],
)
def test_a_wrong_size_is_named_with_its_remedy(size, name, message):
    with pytest.raises(GrowthError, match=message):
        nursery_size(size, plant(name))


def test_a_planting_without_a_size_is_refused():
    with pytest.raises(GrowthError, match=r"size: none is written; known are"):
        planted_size(Planting(plant="Acer rubrum", at=((0, 0),)), plant("Acer rubrum"))


def test_an_evergreen_tree_below_six_feet_is_usually_sold_in_a_container():
    dwarf = replace(catalogue()["Pinus strobus"], height_m=(1.0, 1.5))
    assert usual_size(dwarf) == "#5"
    assert nursery_size(usual_size(dwarf), dwarf).height_m <= 1.0
