"""Canopy of the lot by crowns of sizes given by hand: what counts, and how much of it."""

import numpy as np
import pytest
import shapely
from shapely.geometry import box

from growth.checks.canopy import canopy
from growth.checks.credits import credited
from growth.stand import Draws
from scenes.surfaces import SurfaceShape

LOT = shapely.box(0, 0, 10, 10)
CIRCLE = np.pi * 2**2 / 100  # a crown 4 m across


@pytest.fixture
def canopy_of(stand_of):
    def found(plants, *, spread=4.0, height=4.0):
        """Canopy of one draw and one year of plants given as (name, x, y)."""
        stand = stand_of([name for name, _, _ in plants], [[x, y] for _, x, y in plants])
        spreads, heights = (np.full((1, 1, len(plants)), s, np.float32) for s in (spread, height))
        return canopy(LOT, stand, Draws(heights, spreads, np.zeros_like(spreads)))

    return found


def test_a_tree_counts_with_the_circle_of_its_crown(canopy_of):
    found = canopy_of([("Acer rubrum", 5, 5)])
    assert found.lot_m2 == pytest.approx(100)
    assert found.fraction.expected == pytest.approx([CIRCLE], abs=0.002)


def test_a_neighbours_tree_counts_for_what_is_inside(canopy_of):
    found = canopy_of([("Acer rubrum", 0, 5), ("Acer rubrum", 10, 10)])
    assert found.fraction.expected == pytest.approx([CIRCLE * 0.75], abs=0.002)


def test_overlapping_crowns_count_once(canopy_of):
    found = canopy_of([("Acer rubrum", 5, 5), ("Betula nigra", 5, 5)])
    assert found.fraction.expected == pytest.approx([CIRCLE], abs=0.002)


@pytest.mark.parametrize(
    ("name", "height", "counts"),
    [
        ("Acer rubrum", 0.9, True),
        ("Trachycarpus fortunei", 0.9, True),
        ("Hydrangea arborescens", 1.4, False),
        ("Hydrangea arborescens", 1.5, True),
        ("Miscanthus sinensis", 2.5, False),
        ("Pachysandra terminalis", 2.5, False),
    ],
)
def test_trees_palms_and_shrubs_of_one_and_a_half_metres_count(canopy_of, name, height, counts):
    found = canopy_of([(name, 5, 5)], height=height)
    assert found.fraction.expected == pytest.approx([CIRCLE if counts else 0], abs=0.002)


def test_shade_over_paving_is_of_the_paving_alone(stand_of):
    """A crown 4 m across on a walk 2 m wide: the chord's strip by closed form, of 20 m²."""
    walk = SurfaceShape("walk", "walk", box(4, 0, 6, 10))
    lawn = SurfaceShape("lawn", "lawn", box(0, 0, 4, 10))
    sizes = np.full((1, 1, 1), 4, np.float32)
    draws = Draws(sizes, sizes, np.zeros_like(sizes))
    found = canopy(LOT, stand_of(["Acer rubrum"], [[5, 5]]), draws, surfaces=[walk, lawn])
    strip = 2 * (1 * np.sqrt(3) + 4 * np.arcsin(0.5))
    assert found.paving_m2 == pytest.approx(20)
    assert found.over_paving.expected == pytest.approx([strip / 20], abs=0.003)


def test_trees_of_the_lot_add_up(stand_of):
    names = ["Acer rubrum", "Quercus alba", "Buxus sempervirens", "Acer rubrum"]
    stand = stand_of(names, [(1, 1), (2, 2), (3, 3), (11, 1)])  # a shrub, and one next door
    kent = next(
        c for c in credited({"lot": box(0, 0, 10, 10)}, stand) if c.rule.name.startswith("Kent")
    )
    assert kent.area_m2 / 0.3048**2 == pytest.approx(2 * 706.858, abs=0.01)
    assert kent.fraction == pytest.approx(kent.area_m2 / 100)


def test_credits_of_overlapping_trees_pass_the_lot(stand_of):
    """Two circles of 15 ft radius are 131.3 square metres; the lot has 100."""
    stand = stand_of(["Acer rubrum"] * 2, [(5, 5), (5, 6)])
    kent = next(
        c for c in credited({"lot": box(0, 0, 10, 10)}, stand) if c.rule.name.startswith("Kent")
    )
    assert kent.fraction == pytest.approx(1.313, abs=0.001)


def test_rules_for_chosen_trees_credit_no_lot(stand_of):
    found = credited({"lot": box(0, 0, 10, 10)}, stand_of(["Acer rubrum"], [(5, 5)]))
    chosen = [credit for credit in found if credit.rule.name.startswith("Ramsey")]
    assert [(credit.area_m2, credit.fraction) for credit in chosen] == [(None, None)] * 2
