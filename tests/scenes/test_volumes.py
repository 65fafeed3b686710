import numpy as np
import pytest
from shapely.geometry import Polygon, box

from scenes.lattice import Lattice
from scenes.volumes import cut_and_fill, positive_prisms_m3


def _grid(cell_m: float, size_m: float = 10.0) -> Lattice:
    count = round(size_m / cell_m) + 1
    return Lattice(0.0, 0.0, cell_m, count, count)


@pytest.mark.parametrize("cell_m", [0.5, 0.8])
def test_tilted_ground_cut_to_a_level_is_two_equal_wedges(cell_m: float) -> None:
    """Ground 0.1 x cut to 0.4 over 8 x 8 m: each wedge is 1/2 x 4 m x 0.4 m x 8 m."""
    lattice = _grid(cell_m, 8.0)
    before = 0.1 * lattice.nodes_m()[..., 0]
    after = np.full_like(before, 0.4)
    earth = cut_and_fill(lattice, before_m=before, after_m=after, outline=box(0, 0, 8, 8))
    assert earth.cut_m3.sum() == pytest.approx(6.4, rel=1e-9)
    assert earth.fill_m3.sum() == pytest.approx(6.4, rel=1e-9)
    assert (earth.fill_m3 - earth.cut_m3).sum() == pytest.approx(0.0, abs=1e-9)


def test_the_zero_line_may_run_across_cells_at_any_angle() -> None:
    """Difference x + 2 y - 5 over 0..4 squared; by hand: area integral split on the line.

    Above: whole integral is 16 x (2 + 4 - 5) = 16; the part below zero is the solid over
    the quadrilateral (0,0) (4,0) (4,0.5) (0,2.5): integral of (5 - 2y - x) there
    = integral over x of (5 - x)^2 / 4 = (5^3 - 1^3) / 12 = 31 / 3.
    """
    lattice = _grid(0.8, 4.0)
    x, y = np.moveaxis(lattice.nodes_m(), -1, 0)
    earth = cut_and_fill(
        lattice, before_m=np.zeros_like(x), after_m=x + 2 * y - 5, outline=box(0, 0, 4, 4)
    )
    assert earth.cut_m3.sum() == pytest.approx(31 / 3, rel=1e-9)
    assert earth.fill_m3.sum() == pytest.approx(16 + 31 / 3, rel=1e-9)


def test_cells_are_clipped_by_a_slanting_outline() -> None:
    """A layer of 0.3 m over a triangle of 24.5 square metres; ground rising 0.1 x: 7 m wedge."""
    lattice = _grid(0.8, 8.0)
    triangle = Polygon([(0.3, 0.2), (7.3, 0.2), (0.3, 7.2)])
    layer = np.full((lattice.ny, lattice.nx), 0.3)
    flat = np.zeros_like(layer)
    earth = cut_and_fill(lattice, before_m=layer, after_m=flat, outline=triangle)
    assert earth.cut_m3.sum() == pytest.approx(0.3 * 24.5, rel=1e-9)
    slope = 0.1 * lattice.nodes_m()[..., 0]
    centroid_x = 0.3 + 7 / 3
    earth = cut_and_fill(lattice, before_m=flat, after_m=slope, outline=triangle)
    assert earth.fill_m3.sum() == pytest.approx(24.5 * 0.1 * centroid_x, rel=1e-9)


def test_a_notch_between_nodes_is_not_missed() -> None:
    """A notch 0.2 m wide that no node sees: 2 x 2 m less 0.2 x 1 m, one metre deep."""
    notched = Polygon([(0, 0), (2, 0), (2, 2), (1.6, 2), (1.6, 1), (1.4, 1), (1.4, 2), (0, 2)])
    lattice = _grid(1.0, 2.0)
    flat = np.zeros((3, 3))
    earth = cut_and_fill(lattice, before_m=flat, after_m=flat + 1, outline=notched)
    assert earth.fill_m3.sum() == pytest.approx(3.8, rel=1e-9)


def test_nothing_moved_is_nothing() -> None:
    lattice = _grid(1.0)
    ground = lattice.nodes_m()[..., 0]
    earth = cut_and_fill(lattice, before_m=ground, after_m=ground, outline=box(0, 0, 10, 10))
    assert (earth.cut_m3.sum(), earth.fill_m3.sum(), (earth.fill_m3 - earth.cut_m3).sum()) == (
        0,
        0,
        0,
    )


@pytest.mark.parametrize(
    ("heights", "volume"),
    [
        ((3.0, 3.0, 3.0), 1.5),
        ((-1.0, -2.0, 0.0), 0.0),
        ((3.0, 0.0, 0.0), 0.5),
        ((1.0, -1.0, -1.0), 0.125 * 1 / 3),
        ((1.0, 1.0, -1.0), 0.5 / 3 + 0.125 / 3),
    ],
)
def test_prisms_over_half_a_square_metre(
    heights: tuple[float, float, float], volume: float
) -> None:
    """By hand: a corner at 1 between two at -1 has a quarter of the area above zero."""
    assert positive_prisms_m3(0.5, np.array(heights)) == pytest.approx(volume, abs=1e-12)


def test_differences_of_rounding_at_the_outline_are_no_trouble() -> None:
    """A hair of 2e-16 m beside a cut of 1 m: a sliver too thin for polygon clipping."""
    lattice = _grid(0.5, 3.0)
    before = np.full((7, 7), -(2.0**-52))
    after = np.full((7, 7), -1.0)
    after[4, 5:] = after[3, 6] = 0.0
    west = Polygon([(0, 0), (1, 0), (2, 3), (0, 3)])
    lot = box(0, 0, 3, 3)
    halves = [
        cut_and_fill(lattice, before_m=before, after_m=after, outline=half)
        for half in (west, lot.difference(west))
    ]
    whole = cut_and_fill(lattice, before_m=before, after_m=after, outline=lot)
    assert sum(half.cut_m3.sum() for half in halves) == pytest.approx(whole.cut_m3.sum())
