import numpy as np
import pytest

from scenes.lattice import (
    MOST_NODES,
    Lattice,
    bilinear,
    lattice_over,
    node_count,
    part,
    rounded_up,
    smallest_cell_m,
    within,
)


def test_nodes_run_east_by_column_and_north_by_row() -> None:
    nodes = Lattice(1.0, 2.0, 0.5, 3, 2).nodes_m()
    assert nodes.shape == (2, 3, 2)
    assert nodes[0, 2].tolist() == [2.0, 2.0]
    assert nodes[1, 0].tolist() == [1.0, 2.5]


def test_bilinear_is_exact_for_a_twisted_plane() -> None:
    lattice = Lattice(-1.0, 4.0, 0.25, 9, 13)
    xy = lattice.nodes_m()
    points = np.array([[-1.0, 4.0], [0.13, 5.71], [0.999, 6.999], [1.0, 7.0]])

    def height(p):
        return 3 + 2 * p[..., 0] - p[..., 1] + 0.5 * p[..., 0] * p[..., 1]

    np.testing.assert_allclose(bilinear(lattice, height(xy), points), height(points), atol=1e-12)


def test_beyond_the_lattice_the_edge_holds() -> None:
    lattice = Lattice(0.0, 0.0, 1.0, 2, 2)
    values = np.array([[0.0, 1.0], [2.0, 3.0]])
    points = np.array([[-5.0, -5.0], [9.0, -1.0], [0.5, 40.0]])
    assert bilinear(lattice, values, points).tolist() == [0.0, 1.0, 2.5]


def test_covers_with_margin_and_keeps_to_multiples_of_the_cell() -> None:
    corners = np.array([[0.1, 0.0], [7.0, 3.3]])
    lattice = lattice_over(corners, cell_m=0.5, margin_m=3.0)
    nodes = lattice.nodes_m().reshape(-1, 2)
    assert (nodes.min(axis=0) <= corners.min(axis=0) - 3).all()
    assert (nodes.max(axis=0) >= corners.max(axis=0) + 3).all()
    assert np.allclose(nodes / 0.5, np.round(nodes / 0.5))


@pytest.mark.parametrize("size_m", [10.0, 333.0, 5e4])
def test_the_cell_offered_works_and_one_much_smaller_does_not(size_m: float) -> None:
    corners = np.array([[0.0, 0.0], [size_m, size_m / 2]])
    cell_m = rounded_up(smallest_cell_m(corners, margin_m=3.0))
    assert node_count(corners, cell_m=cell_m, margin_m=3.0) <= MOST_NODES
    assert node_count(corners, cell_m=0.85 * cell_m, margin_m=3.0) > MOST_NODES
    lattice = lattice_over(corners, cell_m=cell_m, margin_m=3.0)
    assert lattice.nx * lattice.ny <= MOST_NODES * 1.002


@pytest.mark.parametrize(
    ("value", "up"), [(2.512, 2.6), (0.0131, 0.014), (118.0, 120.0), (0.5, 0.5)]
)
def test_rounding_up_to_two_digits(value: float, up: float) -> None:
    assert rounded_up(value) == pytest.approx(up)


def test_a_part_holds_the_nodes_in_a_rectangle() -> None:
    lattice = Lattice(-1.0, 2.0, 0.5, 9, 11)
    window = within(lattice, np.array([0.1, 3.0]), np.array([1.5, 4.9]))
    nodes = part(lattice, window).nodes_m()
    np.testing.assert_array_equal(nodes, lattice.nodes_m()[window])
    assert nodes[0, 0].tolist() == [0.5, 3.0]
    assert nodes[-1, -1].tolist() == [1.5, 4.5]


def test_a_part_is_never_empty() -> None:
    lattice = Lattice(0.0, 0.0, 1.0, 4, 4)
    for corner in (-9.0, 1.4, 9.0):
        window = within(lattice, np.array([corner] * 2), np.array([corner + 0.1] * 2))
        assert part(lattice, window).nodes_m().shape == (2, 2, 2)
