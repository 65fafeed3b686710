"""Counts of stands made by hand; lengths of 30.48 m are the 100 ft of town rules."""

from types import SimpleNamespace

import numpy as np
import pytest
from shapely.affinity import rotate
from shapely.geometry import Polygon, box

import scenes
from growth.checks.count import counts, genus, stretch_m
from growth.checks.plantedsizes import smallest_sizes
from growth.nursery import nursery_size
from growth.plants import catalogue
from growth.stand import Draws
from scenes.countwords import count_unit, count_words
from scenes.errors import SceneError

HUNDRED_FEET = box(0, 0, 10.48, 4.76)  # 2 (10.48 + 4.76) m round is 30.48 m
TREES = ["Acer rubrum", "Acer saccharum", "Quercus alba", "Picea abies"]
DRAWS = Draws(*[np.ones((1, 31, 1), np.float32)] * 3)


def count(stand, *, boundary=HUNDRED_FEET, beds=(), draws=DRAWS):
    return counts(boundary, beds, stand, draws)


@pytest.fixture
def four_trees(stand_of):
    return stand_of(TREES, [(1, 1), (2, 1), (3, 1), (4, 1)])


def test_shares_of_four_trees(four_trees):
    found = count(four_trees)
    assert found["evergreen share"].expected[5] == pytest.approx(1 / 4)
    assert found["share of one kind"].expected[5] == pytest.approx(1 / 4)
    assert found["share of one genus"].expected[5] == pytest.approx(2 / 4)


def test_four_trees_round_a_lot_line_of_100_ft(four_trees):
    found = count(four_trees)
    assert found["trees per 100 ft of lot line"].expected[0] == pytest.approx(4)
    assert found["shrubs per 100 ft of lot line"].expected[0] == 0


def test_five_trees_in_a_bed_of_200_ft_are_two_and_a_half_per_100(stand_of):
    at = [(10 * step, 1) for step in range(1, 6)]
    bed = SimpleNamespace(name="buffer", outline=box(0, 0, 60.96, 3))
    found = count(stand_of(["Acer rubrum"] * 5, at), boundary=box(0, 0, 90, 30), beds=[bed])
    assert found["trees per 100 ft of buffer"].expected[9] == pytest.approx(2.5)


def test_plants_beyond_the_lot_line_do_not_count(stand_of):
    found = count(stand_of(TREES, [(1, 1), (2, 1), (3, 1), (4, -1)]))
    assert found["trees per 100 ft of lot line"].expected[0] == pytest.approx(3)
    assert found["evergreen share"].expected[0] == 0  # the spruce is next door


def test_dead_in_half_the_draws_counts_half(four_trees):
    vigour = np.ones((2, 31, 4), np.float32)
    vigour[0, 10:, 3] = 0
    sizes = np.ones((2, 31, 4), np.float32)
    found = count(four_trees, draws=Draws(sizes, sizes, sizes, vigour))
    trees = found["trees per 100 ft of lot line"]
    assert trees.expected[9] == pytest.approx(4)
    assert trees.expected[10] == pytest.approx(3.5)
    assert (trees.low[10], trees.high[10]) == (pytest.approx(3.1), pytest.approx(3.9))


def test_no_shares_without_trees_or_shrubs(stand_of):
    assert "evergreen share" not in count(stand_of([], np.zeros((0, 2))))


@pytest.mark.parametrize("turn_deg", [0, 33, 90])
def test_the_stretch_of_a_turned_bed(turn_deg):
    assert stretch_m(rotate(box(0, 0, 12, 3), turn_deg)) == pytest.approx(12)
    assert stretch_m(rotate(Polygon([(0, 0), (8, 0), (8, 2)]), turn_deg)) >= 8 - 1e-9


def test_hybrids_belong_to_their_genus():
    assert genus("x Chitalpa tashkentensis") == "Chitalpa"
    assert genus("Acer x freemanii") == "Acer"


def test_every_count_has_its_unit():
    assert count_unit("evergreen share") == "share"
    assert count_unit("trees per 100 ft of lot line") == "per 100 ft"


def test_the_smallest_tree_and_shrub_as_they_are_sold(level_lot, checked):
    """The arborvitae is a tree too, of 3 ft; the kept oak of 5 ft is not planted."""
    kept = {"plant": "Quercus alba", "at": [3, 3], "height": 1.5, "spread": 1.2}
    sold = [("Acer rubrum", "2 in cal"), ("Acer saccharum", "3 in cal"),
            ("Thuja occidentalis", "3 ft ht")]  # fmt: skip
    planting = [{"plant": name, "size": size, "at": [[6 + 4 * k, 6]]}
                for k, (name, size) in enumerate(sold)]  # fmt: skip
    measured = {"height": 0.5, "spread": 0.3}
    planting.append({"plant": "Viburnum dentatum", "now": measured, "at": [[6, 16]]})
    caliper = "smallest tree caliper in inches"
    wanted = {"name": "2 in", "check": "count", "of": caliper, "year": 0, "at_least": 2}
    found = checked(level_lot(kept=[kept], planting=planting, requirement=[wanted]))
    smallest = nursery_size("3 ft ht", catalogue()["Thuja occidentalis"]).caliper_m / 0.0254
    assert smallest < 2
    assert found.counts[caliper].expected == pytest.approx(smallest)
    in_mm = found.counts["smallest tree caliper in millimetres"]
    assert in_mm.low[9] == pytest.approx(smallest * 25.4)
    assert found.counts["smallest tree height in feet"].expected[0] == pytest.approx(3)
    assert found.counts["smallest shrub height in metres"].expected[0] == pytest.approx(0.5)
    assert (found.requirements[0].unit, found.requirements[0].standing) == ("inches", "missed")


def test_nothing_planted_has_no_smallest_size(stand_of):
    kept = SimpleNamespace(planting=None)
    assert smallest_sizes(stand_of(["Acer rubrum"], [(1, 1)]), [kept]) == {}


def test_a_count_that_is_none_is_refused(tmp_path):
    asked = 'check = "count"\nof = "evergren share"\nyear = 5\nat_least = 0.5\n'
    path = tmp_path / "lot.toml"
    path.write_text(
        'title = "Lot"\nlengths = "m"\n[site]\nboundary = [[0, 0], [9, 0], [9, 9]]\n'
        "[ground]\npoints = [[0, 0, 0], [9, 0, 0], [9, 9, 0]]\n"
        f'[[requirement]]\nname = "green"\n{asked}'
    )
    with pytest.raises(SceneError, match='did you mean "evergreen share"'):
        scenes.load(path)


def test_every_count_found_may_be_asked_for(four_trees):
    bed = SimpleNamespace(name="lane bed", outline=box(0, 0, 2, 60.96))
    assert set(count(four_trees, beds=[bed])) <= set(count_words(["lane bed"]))
