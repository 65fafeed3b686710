"""Cards, tubes and blades against lengths and places worked out by hand."""

import numpy as np
import pytest

from viz.cards import arcs, blades, cards, join, tube, unit


def one_card(**changes: object) -> object:
    given = {
        "length_m": 2.0, "width_m": 1.0, "cell": "ovate", "shade": np.ones((1, 3)),
        "normals": np.array([[0.0, 0.0, 2.0]]),
    } | changes  # fmt: skip
    return cards(
        np.zeros((1, 3)), np.array([[0.0, 0.0, 3.0]]), np.array([[0.0, 1.0, 0.0]]), **given
    )


def test_a_card_stands_on_its_stem_end() -> None:
    points = one_card().points_m[0]
    assert points[:2, 2] == pytest.approx([0, 0])
    assert points[2:, 2] == pytest.approx([2, 2])
    assert np.ptp(points[:, 0]) == pytest.approx(1.0)
    assert points[:, 1] == pytest.approx(np.zeros(4))


def test_shading_normals_have_length_one() -> None:
    assert np.linalg.norm(one_card().normals, axis=-1) == pytest.approx(np.ones((1, 4)))


def test_leaves_and_wood_are_told_apart() -> None:
    leaf, flower = one_card(), one_card(own=True)
    assert np.all(join([leaf, flower]).tint[:, :, 3] == np.array([[0.0] * 4, [1.0] * 4]))


def test_a_tube_keeps_its_radius() -> None:
    line = np.array([[0.0, 0, 0], [0, 0, 1], [0, 0, 2]])
    points = tube(line, 0.3, sides=6, colour=np.ones(3)).points_m
    assert np.hypot(points[..., 0], points[..., 1]) == pytest.approx(np.full((12, 4), 0.3))
    assert len(points) == 12


def test_a_stiff_arc_is_a_straight_line() -> None:
    line = arcs(np.zeros((1, 3)), np.array([[1.0, 0, 1.0]]), length_m=2.0, bend=0.0, segments=4)
    assert line.points_m[0, -1] == pytest.approx([2**0.5, 0, 2**0.5], abs=1e-5)


def test_an_arc_is_as_long_as_asked_however_it_bends() -> None:
    line = arcs(np.zeros((1, 3)), np.array([[1.0, 0, 1.0]]), length_m=3.0, bend=1.5, segments=6)
    steps = np.linalg.norm(np.diff(line.points_m[0], axis=0), axis=1)
    assert steps.sum() == pytest.approx(3.0)


def test_blades_join_along_their_length() -> None:
    line = arcs(np.zeros((1, 3)), np.array([[1.0, 0, 1.0]]), length_m=1.0, bend=1.0, segments=3)
    quads = blades(line, width_m=0.02, shade=np.ones((1, 3)), tip_shade=np.ones((1, 3))).points_m
    assert quads[0, 2] == pytest.approx(quads[1, 1])
    assert quads[0, 3] == pytest.approx(quads[1, 0])


def test_unit_of_nothing_is_nothing() -> None:
    assert unit(np.zeros(3)) == pytest.approx([0, 0, 0])
