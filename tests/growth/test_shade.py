"""Sun through crowns, beside closed form and beside the sight lines of the screening check."""

import numpy as np
import pytest

from growth.crowns import FORMS
from growth.rays import Crowns, Fan, transmitted
from growth.shade import _tall_enough, grove, meetings, sun_lost

SHEET, LEVEL_SUN = FORMS["sheet"], np.array([[0.0, 0.8, 0.6], [0.6, 0.0, 0.8]])


def crowns(xy, *, height, spread, base, form=SHEET, density=0.5):
    one = np.ones(len(xy))
    size = lambda value: (value * one)[None].astype(np.float32)  # noqa: E731
    return Crowns(
        np.column_stack([xy, 0 * one]), size(height), size(spread), size(base), (form,),
        np.zeros(len(xy), int), density * one[None],
    )  # fmt: skip


def through(stand, up_m, towards):
    """Share of sun at the first plant in every direction, in the first row."""
    up = np.full(stand.height_m.shape, up_m, np.float32)
    plants = grove(stand, up)
    found = meetings(plants.room, np.array([0]), towards)
    worth = np.ones((1, 1, len(towards)), np.float32)
    return 1 - sun_lost(plants, found, worth, np.arange(len(towards)))[0, :, 0]


def test_a_slanting_path_through_a_slab_of_leaf():
    # a broad flat cylinder from 4 to 6 m over a low plant: 2 m of leaf at altitude asin 0.6
    slab = crowns([[0, 0], [0, 1]], height=np.array([1, 6]), spread=np.array([1, 60]),
                  base=np.array([0, 4]))  # fmt: skip
    assert through(slab, 0.6, LEVEL_SUN) == pytest.approx(
        [np.exp(-0.5 * 2 / 0.6), np.exp(-0.5 * 2 / 0.8)], abs=1e-4
    )


def test_the_own_crown_is_left_out_and_the_same_leaf_counts_once():
    alone = crowns([[0, 0]], height=9, spread=8, base=0)
    assert through(alone, 6, LEVEL_SUN) == pytest.approx([1, 1])
    twice = crowns([[0, 0], [0, 1], [0, 1]], height=np.array([1, 6, 6]),
                   spread=np.array([1, 60, 60]), base=np.array([0, 4, 4]))  # fmt: skip
    assert through(twice, 0.6, LEVEL_SUN)[0] == pytest.approx(np.exp(-1 / 0.6), abs=1e-4)


def test_the_sun_does_not_shine_through_what_stands_behind():
    north = crowns([[0, 0], [0, -5]], height=9, spread=4, base=0)
    assert through(north, 1, np.array([[0.0, 0.8, 0.6]])) == pytest.approx([1])


@pytest.mark.parametrize("form", ["rounded", "pyramidal", "vase", "columnar"])
def test_random_crowns_hide_what_sight_lines_to_the_sun_find(form):
    rng = np.random.default_rng(7)
    xy = np.vstack([[0, 0], rng.uniform(-9, 9, (25, 2))])
    stand = crowns(xy, height=rng.uniform(2, 9, 26), spread=rng.uniform(1, 6, 26),
                   base=rng.uniform(0, 1, 26), form=FORMS[form])  # fmt: skip
    altitude, azimuth = rng.uniform(0.1, 1.4, 40), np.sort(rng.uniform(0, 6.2, 40))
    towards = np.column_stack([np.cos(altitude) * np.sin(azimuth),
                               np.cos(altitude) * np.cos(azimuth), np.sin(altitude)])  # fmt: skip
    lines = Fan(np.array([0, 0, 0.7]), 80 * towards[:, :2].T, 80 * towards[:, 2:].T)
    ((_, theirs),) = transmitted(lines, stand.only(np.arange(1, 26)))
    assert theirs.min() < 0.5
    assert through(stand, 0.7, towards) == pytest.approx(theirs[0, 0, :, 0], abs=2e-3)


def test_plants_too_low_for_how_far_off_they_stand_are_met_by_no_line(monkeypatch):
    """The plants left out beforehand are those that no line would have met."""
    rng = np.random.default_rng(3)
    xy = rng.uniform(0, 100, (400, 2))
    stand = crowns(xy, height=rng.uniform(0.3, 9, 400), spread=rng.uniform(0.3, 6, 400), base=0)
    plants = grove(stand, np.full(stand.height_m.shape, 0.2, np.float32))
    targets = np.flatnonzero((xy < 30).all(axis=1))
    suns = np.array([[0.0, 0.995, 0.0999], [0.8, 0.3, 0.52]])
    few = meetings(plants.room, targets, suns)
    assert 0 < len(_tall_enough(plants.room, targets, np.float32([0.1]))) < 300
    monkeypatch.setattr("growth.shade._tall_enough", lambda grove, *_: np.arange(400))
    every = meetings(plants.room, targets, suns)
    assert (few.ends == every.ends).all()
    assert (few.plant == every.plant).all()
    assert len(every.plant) > 20
