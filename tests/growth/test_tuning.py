"""Scatter and centre found again on made trees whose scatter is known."""

import numpy as np
import pytest

from growth.calibrate.fit import STOCK_M, Courses
from growth.calibrate.judge import Outcome
from growth.calibrate.trees import Species, Trees
from growth.calibrate.tuning import (
    Tuning,
    foretell,
    foretell_unseen,
    range_cost,
    tune,
)
from growth.classes import Traits
from growth.curves import grown_m
from growth.scatter import Scatter, scatter_factor, scattered

MADE = Tuning(Scatter(0.2, 0.2, 0.2), stock=0.4, factor=1.0)
AGES = (1, 3, 5, 8, 13, 18, 25, 35, 50, 80)
EACH = 40


@pytest.fixture(scope="module")
def made():
    """Ten species, forty trees of each at ten ages, scattered in growth and size at planting."""
    rng = np.random.default_rng(3)
    kind, age, _ = (
        grid.ravel() for grid in np.meshgrid(np.arange(10), AGES, np.arange(EACH), indexing="ij")
    )
    count = len(kind)
    middle = Courses(
        np.full(count, 15.0), np.full(count, 0.06), np.full(count, 1.3), STOCK_M["height"]
    )
    plants = scattered(
        middle.asymptote_m,
        middle.rate,
        middle.shape,
        scatter=MADE.scatter,
        score=rng.standard_normal(count),
    )
    stock_m = middle.stock_m * scatter_factor(MADE.stock, rng.standard_normal(count))
    height_m = grown_m(stock_m, age, **plants)
    species = tuple(Species(f"Made {n}", Traits("deciduous", 15, 10, "fast"), None) for n in kind)
    trees = Trees(species, kind, 0 * kind, age.astype(float), height_m, height_m, 0)
    return trees, Outcome("height", height_m, middle, middle, np.zeros(1))


def test_the_scatter_that_was_made_holds_four_in_five(made):
    """Of 4,000 trees, standard error 0.6 points."""
    trees, outcome = made
    foretold = foretell(trees, outcome, MADE)
    assert foretold.inside(outcome.measured_m).mean() == pytest.approx(0.8, abs=0.02)
    young = trees.age_years <= 3
    assert foretold.inside_known(outcome.measured_m)[young].mean() < 0.7


def test_tuning_finds_the_scatter_again(made):
    """The three deviations of growth act alike, so that their ends are compared, not they."""
    trees, outcome = made
    tuning = tune(trees, outcome, rows=trees.kind >= 0)
    found, known = foretell(trees, outcome, tuning), foretell(trees, outcome, MADE)
    assert found.low_m == pytest.approx(known.low_m, rel=0.08)
    assert found.high_m == pytest.approx(known.high_m, rel=0.08)
    assert tuning.factor == pytest.approx(1.0, abs=0.03)


def test_a_species_is_judged_without_its_own_trees(made):
    """Trees of the first fold made twice as tall move the others' ranges, never their own."""
    trees, outcome = made
    first = trees.kind % 5 == 0
    measured_m = np.where(first, 2, 1) * outcome.measured_m
    moved = Outcome("height", measured_m, outcome.courses, outcome.others, outcome.found)
    before, after = foretell_unseen(trees, outcome), foretell_unseen(trees, moved)
    assert after.high_m[first] == pytest.approx(before.high_m[first])
    assert np.all(after.high_m[~first] > before.high_m[~first])


def test_cost_of_a_range_by_hand():
    """One band, ln width ln 4; one tree in five a factor 2 above: 10 ln 2 / 5 more; no more,
    since four in five lie inside, of known size at planting too."""
    measured_m = np.array([1.0, 1.0, 1.0, 1.0, 4.0])
    low_m, high_m = np.full(5, 0.5), np.full(5, 2.0)
    bands = np.full(5, 3)
    cost = range_cost(measured_m, low_m, high_m, low_m, high_m, bands=bands)
    assert cost == pytest.approx(np.log(4) + 2 * np.log(2))


def test_bands_that_miss_cost_more():
    measured_m = np.array([1.0, 1.0, 1.0, 4.0, 4.0])  # three in five inside
    low_m, high_m = np.full(5, 0.5), np.full(5, 2.0)
    bands = np.full(5, 3)
    cost = range_cost(measured_m, low_m, high_m, low_m, high_m, bands=bands)
    plain = np.log(4) + 4 * np.log(2)
    assert cost == pytest.approx(plain + 30 * (0.2 - 0.02) + 30 * (0.2 - 0.04))
