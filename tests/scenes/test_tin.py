import numpy as np
import pytest
from shapely.geometry import box

from scenes.lattice import Lattice
from scenes.survey import Survey
from scenes.tin import share_beyond, surveyed_ground

SQUARE = np.array([[0, 0, 10.0], [10, 0, 11.0], [10, 10, 13.0], [0, 10, 12.0]])
LATTICE = Lattice(-2.0, -2.0, 0.5, 29, 29)


def _at(heights: np.ndarray, x: float, y: float) -> float:
    return float(heights[round((y + 2) / 0.5), round((x + 2) / 0.5)])


def test_a_plane_comes_back_exactly_inside_its_points() -> None:
    heights, beyond = surveyed_ground(Survey(SQUARE), LATTICE)
    x, y = np.moveaxis(LATTICE.nodes_m(), -1, 0)
    inside = (x >= 0) & (x <= 10) & (y >= 0) & (y <= 10)
    np.testing.assert_array_equal(beyond, ~inside)
    np.testing.assert_allclose(heights[inside], (10 + x / 10 + y / 5)[inside], atol=1e-6)


def test_beyond_the_points_the_ground_runs_on_level() -> None:
    heights, _ = surveyed_ground(Survey(SQUARE), LATTICE)
    assert abs(_at(heights, -2, 5) - 11.0) < 1e-6
    assert abs(_at(heights, 12, 5) - 12.0) < 1e-6
    assert abs(_at(heights, 12, 12) - 13.0) < 1e-6
    assert heights.min() >= 10 - 1e-6
    assert heights.max() <= 13 + 1e-6


def test_a_peak_is_the_tent_over_its_neighbours() -> None:
    peak = np.vstack([SQUARE * [1, 1, 0], [[5.0, 5.0, 2.0]]])
    heights, _ = surveyed_ground(Survey(peak), LATTICE)
    assert abs(_at(heights, 5, 5) - 2) < 1e-6
    assert abs(_at(heights, 5, 2.5) - 1) < 1e-6
    assert abs(_at(heights, 8, 5) - 0.8) < 1e-6


def test_state_plane_coordinates_lose_nothing() -> None:
    far = np.array([2_100_000.0, 700_000.0, 0.0])
    lattice = Lattice(far[0] - 2, far[1] - 2, 0.5, 29, 29)
    near, _ = surveyed_ground(Survey(SQUARE), LATTICE)
    moved, beyond = surveyed_ground(Survey(SQUARE + far), lattice)
    np.testing.assert_allclose(moved, near, atol=1e-6)
    assert beyond.sum() == 29 * 29 - 21 * 21


def test_share_beyond_is_by_area_not_by_nodes() -> None:
    corner = np.array([[0, 0, 1.0], [10, 0, 1.0], [0, 10, 1.0]])
    assert share_beyond(box(0, 0, 10, 10), Survey(corner)) == pytest.approx(0.5)
    assert share_beyond(box(1, 1, 3, 3), Survey(corner)) == pytest.approx(0.0)
    given = Survey(SQUARE, faces=np.array([[0, 1, 2]]))
    assert share_beyond(box(0, 0, 10, 10), given) == pytest.approx(0.5)
