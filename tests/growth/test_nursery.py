import pytest

from growth.errors import GrowthError
from growth.nursery import CONTAINERS, nursery_size, planted_size, usual_size
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
