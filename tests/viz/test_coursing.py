"""Cutting faces into courses: area and outline stay, pieces fit their rows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from viz.coursing import COURSES, coursed, cut_by_plane

SQUARE = np.array([[[0.0, 0, 0], [3, 0, 0], [3, 0, 2]], [[0, 0, 0], [3, 0, 2], [0, 0, 2]]])


def area_m2(corners: np.ndarray) -> float:
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(across, axis=1).sum() / 2)


@pytest.mark.parametrize("role", [*COURSES, "glass"])
def test_a_coursed_wall_keeps_its_area(role: str) -> None:
    corners, tones = coursed(role, SQUARE)
    assert area_m2(corners) == pytest.approx(6.0)
    assert tones.shape == corners.shape[:2]


def test_rows_do_not_cross_their_courses() -> None:
    corners, _ = coursed("wall", SQUARE)
    rows = corners[..., 2] / COURSES["wall"].row_m
    assert np.all(np.floor(rows.min(axis=1) + 1e-6) >= np.ceil(rows.max(axis=1) - 1e-6) - 1)


def test_a_plane_that_misses_changes_nothing() -> None:
    assert cut_by_plane(SQUARE, SQUARE[..., 2] - 5) is SQUARE


@given(st.floats(0.01, 1.99), st.floats(-1, 1))
def test_a_cut_keeps_area_and_splits_at_the_plane(level: float, tilt: float) -> None:
    distance = SQUARE[..., 2] + tilt * SQUARE[..., 0] - level
    cut = cut_by_plane(SQUARE, distance)
    assert area_m2(cut) == pytest.approx(6.0)
    side = cut[..., 2] + tilt * cut[..., 0] - level
    assert np.all((side.min(axis=1) > -1e-9) | (side.max(axis=1) < 1e-9))
