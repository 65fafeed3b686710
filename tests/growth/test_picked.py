"""Draws of some plants, one of them lost: the same as when all sizes are copied and changed."""

import numpy as np
import pytest

from growth.memory import tokens
from growth.picked import Loss, Picked
from growth.stand import Draws

COUNT, YEARS, PLANTS = 3, 31, 6
PICKED = np.array([4, 1, 5])


@pytest.fixture
def all_of():
    """Sizes from 1 to 2 m, all different."""
    sizes = np.random.default_rng(5).uniform(1, 2, (4, COUNT, YEARS, PLANTS)).astype(np.float32)
    return Draws(*sizes, b"all")


def sizes_of(draws):
    return np.stack([draws.height_m, draws.spread_m, draws.crown_base_m, draws.vigour])


def test_without_a_loss_they_are_the_plants_themselves(all_of):
    picked = Picked(all_of, PICKED)
    assert picked.shape == (COUNT, YEARS, 3)
    assert np.array_equal(sizes_of(picked), sizes_of(all_of)[..., PICKED])
    assert np.array_equal(picked.marks, all_of.marks[PICKED])
    few = picked.of(np.array([2, 0]))
    assert np.array_equal(sizes_of(few), sizes_of(all_of)[..., [5, 4]])


@pytest.mark.parametrize(
    ("again_from", "after"),
    [(None, lambda year: None), (0, lambda year: year - 11), (4, lambda year: year - 7)],
)
def test_a_plant_is_gone_in_its_year_and_another_grows_from_the_next(all_of, again_from, after):
    """Lost in year 10: in year 11 stands what stood in the year it was set, and so on."""
    picked = Picked(all_of, PICKED, Loss(1, 10, again_from))
    before, now = sizes_of(all_of)[..., PICKED], sizes_of(picked)
    assert np.array_equal(now[..., [0, 2]], before[..., [0, 2]])
    for year in range(YEARS):
        source = year if year < 10 else None if year == 10 else after(year)
        wanted = 0 if source is None else before[:, :, source, 1]
        assert np.array_equal(now[:, :, year, 1], np.broadcast_to(wanted, (4, COUNT)))
    assert np.array_equal(sizes_of(picked.of(np.array([1, 0]))), now[..., [1, 0]])


def test_the_room_is_that_of_the_sizes_with_the_loss(all_of):
    picked = Picked(all_of, PICKED)
    lost = Picked(picked, np.arange(3), Loss(2, 0, None))
    for draws in (picked, lost):
        for size, of in zip(draws.room, Draws(*sizes_of(draws)).room, strict=True):
            assert np.array_equal(size, of)
    assert lost.room.spread_m[2] == 0
    assert all_of.room.spread_m[5] > 1  # that of all is as it was


def test_only_the_lost_plant_has_another_mark_and_each_loss_its_own(all_of):
    picked = Picked(all_of, PICKED)
    losses = [Loss(1, 10, None), Loss(1, 11, None), Loss(1, 10, 0)]
    lost = [Picked(picked, np.arange(3), loss) for loss in losses]
    marks = np.array([draws.marks for draws in lost])
    assert np.array_equal(marks[:, [0, 2]], [picked.marks[[0, 2]]] * 3)
    assert len({picked.marks[1], *marks[:, 1]}) == 4
    assert len({picked.origin, *(draws.origin for draws in lost)}) == 4
    assert picked.drawn_from == lost[0].drawn_from == all_of.origin == b"all"
    assert np.array_equal(all_of.marks, tokens(b"all", np.arange(PLANTS)))
