"""Leaf density gives each kind its see-through, checked by looking through the drawn crown."""

from dataclasses import replace

import numpy as np
import pytest

from growth.crowns import FORMS, relative_radius
from growth.leafage import LEAST_SEEN, MOST_SEEN, densities_per_m, density_by_radius
from growth.plants import catalogue
from growth.rays import Crowns, fan, transmitted

MAPLE = catalogue()["Acer rubrum"]


def looked_through(plant, density_per_m, *, tall=8.0):
    """Share of light level through the inner part of the mature crown, by sight lines."""
    radius = np.mean(plant.spread_m) / 2
    eye = np.array([0.0, -3000.0, tall / 2])
    panel = np.array([[-radius, radius, 0], [radius, radius, 0], [radius, radius, tall]])
    panel = np.vstack([panel, [-radius, radius, tall]])
    crowns = Crowns(
        np.zeros((1, 3)), *np.array([[[tall]], [[2 * radius]], [[0]]], np.float32),
        (FORMS[plant.form],), np.zeros(1, int), np.array([[density_per_m]]),
    )  # fmt: skip
    lines = fan(eye, panel, rows=200, columns=200)
    through = next(part for _, part in transmitted(lines, crowns))[0, :, :, 0]
    height = (np.arange(200) + 0.5) / 200
    aside = np.abs(2 * height - 1)
    inner = (aside <= 0.5 * relative_radius(FORMS[plant.form], height)[:, None]) & (
        np.abs(height - 0.5) < 0.25
    )[:, None]
    return through[inner].mean()


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("see_through", [0.08, 0.4])
def test_sight_lines_see_the_share_that_the_kind_states(form, see_through):
    plant = replace(MAPLE, form=form, see_through_leaf=see_through, see_through_bare=0.64)
    leaf, bare = densities_per_m([plant])[:, 0]
    assert looked_through(plant, leaf) == pytest.approx(see_through, abs=0.01)
    assert looked_through(plant, bare) == pytest.approx(0.64, abs=0.01)


def test_a_cylinder_with_little_leaf_in_closed_form():
    # 1 - seen is nearly density times the mean chord; over |x| < r/2 of a circle of radius 1
    # the mean chord is 2 (sqrt(3) / 4 + pi / 6) = 1.9132
    density = density_by_radius("sheet", 0.99)
    assert 0.01 / density == pytest.approx(1.9132, rel=0.01)


@pytest.mark.parametrize("plant", catalogue().values(), ids=lambda plant: plant.name)
def test_bare_is_never_denser_than_leaf_and_evergreens_never_change(plant):
    leaf, bare = densities_per_m([plant])[:, 0]
    assert 0 < bare <= leaf
    if plant.leaf == "evergreen":
        assert bare == leaf


def test_a_bare_crown_stated_denser_than_in_leaf_is_taken_as_in_leaf():
    leaf, bare = densities_per_m([replace(MAPLE, see_through_leaf=0.3, see_through_bare=0.2)])
    assert leaf == bare


@pytest.mark.parametrize(("stated", "taken"), [(0.0, LEAST_SEEN), (1.0, MOST_SEEN)])
def test_no_crown_is_a_wall_or_nothing(stated, taken):
    assert density_by_radius("oval", stated) == density_by_radius("oval", taken)


def test_a_wider_kind_of_the_same_see_through_is_thinner_by_the_metre():
    wide = replace(MAPLE, spread_m=(20.0, 20.0))
    narrow = replace(MAPLE, spread_m=(5.0, 5.0))
    density = densities_per_m([wide, narrow])
    assert density[:, 1] == pytest.approx(4 * density[:, 0])
