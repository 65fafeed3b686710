import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from scenes.bedlines import bed_outline, smooth_edge_m
from scenes.document import Bed


def _circle(count: int, radius_m: float = 3.0) -> np.ndarray:
    angle = np.arange(count) / count * 2 * np.pi
    return radius_m * np.column_stack([np.cos(angle), np.sin(angle)])


def test_eight_points_of_a_circle_give_its_area() -> None:
    area = Polygon(smooth_edge_m(_circle(8), corners=())).area
    assert area == pytest.approx(np.pi * 9, rel=0.01)


@pytest.mark.parametrize("corners", [(), (0,), (1, 3), (0, 1, 2, 3, 4)])
def test_the_edge_passes_through_its_points(corners: tuple[int, ...]) -> None:
    points = np.array([[2, 2], [20, 3], [24, 12], [15, 9], [8, 14]], dtype=float)
    edge = smooth_edge_m(points, corners=corners)
    apart = np.linalg.norm(edge[:, None] - points, axis=-1).min(axis=0)
    np.testing.assert_allclose(apart, 0, atol=1e-12)


def _turn_deg(edge: np.ndarray, point: np.ndarray) -> float:
    """How far the edge turns at one of its points, in degrees."""
    at = int(np.linalg.norm(edge - point, axis=1).argmin())
    before, after = edge[at] - edge[at - 1], edge[(at + 1) % len(edge)] - edge[at]
    cos = before @ after / np.linalg.norm(before) / np.linalg.norm(after)
    return float(np.degrees(np.arccos(np.clip(cos, -1, 1))))


def test_corners_stay_sharp_and_other_points_are_rounded() -> None:
    square = np.array([[0, 0], [6, 0], [6, 6], [0, 6]], dtype=float)
    edge = smooth_edge_m(square, corners=(0, 1))
    assert _turn_deg(edge, square[0]) > 50
    assert _turn_deg(edge, square[1]) > 50
    assert _turn_deg(edge, square[2]) < 15
    assert _turn_deg(edge, square[3]) < 15


def test_between_neighbouring_corners_the_edge_is_straight() -> None:
    square = np.array([[0, 0], [6, 0], [6, 6], [0, 6]], dtype=float)
    edge = smooth_edge_m(square, corners=(0, 1))
    south = edge[edge[:, 1] < 0]
    assert len(south) == 0
    whole = Polygon(smooth_edge_m(square, corners=(0, 1, 2, 3)))
    assert whole.area == pytest.approx(36)


def test_an_edge_that_is_not_smooth_is_its_points() -> None:
    points = [[0, 0], [4, 0], [4, 3]]
    raw = {"name": "b", "edge": points}
    bed = Bed.model_validate(raw, context={"unit": "m"})
    assert bed_outline(bed).area == 6


@settings(max_examples=100, deadline=None)
@given(st.lists(st.floats(2.0, 4.0), min_size=5, max_size=12), st.floats(0, 6))
def test_a_star_shaped_bed_never_crosses_itself(radii: list[float], turn: float) -> None:
    """Radii within a factor of two round one middle: what a bed looks like when drawn."""
    angle = turn + np.arange(len(radii)) / len(radii) * 2 * np.pi
    points = np.array(radii)[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
    outline = Polygon(smooth_edge_m(points, corners=()))
    assert outline.is_valid
    assert outline.contains(Point(0, 0))
