"""Sobol points: bit by bit those of scipy's own generator, and what is left of the chance after."""

import numpy as np
import pytest
from scipy.stats.qmc import Sobol

from growth.sobol import sobol_points


@pytest.mark.parametrize(("columns", "power"), [(1, 0), (1, 5), (2, 1), (17, 7), (33, 8), (120, 9)])
def test_points_are_those_of_scipy_to_the_last_bit(columns, power):
    ours, theirs = np.random.default_rng(columns), np.random.default_rng(columns)
    points = sobol_points(ours, columns, power)
    assert np.array_equal(points, Sobol(columns, rng=theirs).random_base2(power))
    assert ours.random() == theirs.random()


def test_every_column_has_one_point_in_each_equal_part():
    points = sobol_points(np.random.default_rng(5), 40, 6)
    parts = np.sort(np.floor(64 * points), axis=0)
    assert np.array_equal(parts, np.repeat(np.arange(64.0)[:, None], 40, axis=1))
