"""Union of discs on cells: hand cases, closed forms, and the plain path beside the quick one."""

import numpy as np
import pytest
import shapely

from growth.cover import (
    Cells,
    Discs,
    cell_size_m,
    cells,
    covered_patches,
    covered_share,
    first_covered,
    one_layer,
    painted,
    shares_without,
)

LOT = shapely.box(0, 0, 4, 3)


def test_cells_weigh_their_share_inside_the_outline():
    triangle = shapely.Polygon([(0, 0), (2, 0), (0, 2)])
    over = cells(triangle, 1.0)
    assert over.weight == pytest.approx(np.array([[1, 0.5], [0.5, 0]]))
    assert over.area_m2 == pytest.approx(2)


@pytest.mark.parametrize("seed", range(5))
def test_cells_add_up_to_the_area_of_any_outline(seed):
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0, 2 * np.pi, 9))
    radius = rng.uniform(1, 5, 9)
    outline = shapely.Polygon(np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]))
    outline = outline.buffer(0)
    assert cells(outline, 0.17).area_m2 == pytest.approx(outline.area, rel=1e-9)


def test_each_cell_waits_for_the_first_disc_that_holds_its_centre():
    over = cells(shapely.box(0, 0, 4, 1), 1.0)
    discs = one_layer(
        np.array([[0.5, 0.5], [3.5, 0.5]]), np.array([[0.1, 1.1, 2.1, 2.2], [0, 0, 0.1, 0.2]])
    )
    assert first_covered(over, discs)[0, 0].tolist() == [0, 1, 2, 2]
    assert covered_share(over, discs)[0] == pytest.approx([0.25, 0.5, 1, 1])


def test_no_disc_covers_nothing_even_at_its_own_centre():
    over = cells(shapely.box(0, 0, 1, 1), 1.0)
    discs = one_layer(np.array([[0.5, 0.5]]), np.array([[0.0, 0.0, 0.3]]))
    assert covered_share(over, discs)[0] == pytest.approx([0, 0, 1])


def test_one_disc_inside_covers_its_circle():
    over = cells(LOT, cell_size_m(12, 2))
    share = covered_share(over, one_layer(np.array([[2.0, 1.5]]), np.array([[1.0]])))
    assert share[0, 0] == pytest.approx(np.pi / 12, abs=0.005)


def test_discs_beyond_the_outline_count_for_what_is_inside():
    over = cells(LOT, cell_size_m(12, 2))
    share = covered_share(over, one_layer(np.array([[0.0, 0.0]]), np.array([[1.0]])))
    assert share[0, 0] == pytest.approx(np.pi / 4 / 12, abs=0.003)


def random_discs(rng, *, count, layers, rising):
    radius = rng.uniform(0, 0.9, (count, 12))
    radius = np.sort(radius, axis=1) if rising else radius
    radius[rng.random(radius.shape[0]) < 0.2] = 0
    return Discs(rng.uniform(-1, 5, (count, 2)), radius, rng.integers(0, layers, count), layers)


@pytest.mark.parametrize("seed", range(4))
def test_first_years_agree_with_painting_every_year(seed):
    discs = random_discs(np.random.default_rng(seed), count=25, layers=3, rising=True)
    over = cells(LOT, 0.1)
    first = first_covered(over, discs)
    for year in range(12):
        assert np.array_equal(first <= year, painted(over, discs, year))


@pytest.mark.parametrize("seed", range(4))
def test_discs_that_leave_agree_with_unions_of_polygons(seed):
    rng = np.random.default_rng(seed)
    discs = random_discs(rng, count=12, layers=1, rising=False)
    over = cells(LOT, 0.02)
    share = covered_share(over, discs)[0]
    for year in range(12):
        circles = shapely.buffer(shapely.points(discs.xy_m), discs.radius_m[:, year], quad_segs=64)
        union = shapely.union_all(circles).intersection(LOT).area / LOT.area
        assert share[year] == pytest.approx(union, abs=0.005)


def test_layers_are_independent():
    over = cells(LOT, 0.05)
    xy, radius = np.array([[1.0, 1], [3, 2]]), np.array([[0.5], [0.8]])
    apart = covered_share(over, Discs(xy, radius, np.array([0, 1]), 2))[:, 0]
    single = [covered_share(over, one_layer(xy[[i]], radius[[i]]))[0, 0] for i in range(2)]
    assert apart == pytest.approx(single)


@pytest.mark.parametrize("seed", range(4))
def test_what_one_alone_covers_is_missing_without_it(seed):
    """Beside painting all others again; one of them is not there, one stands outside."""
    rng = np.random.default_rng(seed)
    xy, radius = rng.uniform(-0.5, 4.5, (15, 2)), rng.uniform(0.3, 1.2, 15).astype(np.float32)
    xy[3], radius[7] = (40.0, 1.0), 0.0
    over = cells(LOT, 0.05)
    found = shares_without(over, xy, radius)
    for number, share in enumerate(found):
        others = np.arange(15) != number - 1
        painted_again = covered_share(over, one_layer(xy[others], radius[others, None]))[0, 0]
        assert share == pytest.approx(painted_again, abs=1e-12)
    assert found[0] > found.min()
    assert (found[[4, 8]] == found[0]).all()


def test_patches_hold_what_the_whole_outline_does():
    """Discs that grow, shrink and leave, each given to those patches alone that it can reach."""
    rng, over = np.random.default_rng(5), cells(LOT, 0.05)
    xy, radius = rng.uniform(0, 4, (12, 2)), rng.uniform(-0.2, 0.9, (3, 6, 12))
    patches = [over.part(row, column, 25) for row in (0, 25, 50, 75) for column in range(0, 99, 25)]
    patches = [patch for patch in patches if patch.weight.size]
    held = []
    for patch in patches:
        low = np.array([patch.x0_m, patch.y0_m])
        high = low + patch.cell_m * np.array(patch.weight.shape[::-1])
        away = np.hypot(*(xy - np.clip(xy, low, high)).T)
        held.append(np.flatnonzero(away < radius.max(axis=(0, 1))))
    assert sum(len(some) for some in held) < len(patches) * 12
    found = covered_patches(patches, xy, radius, held).sum(axis=0) / over.weight.sum()
    discs = Discs(np.tile(xy, (3, 1)), radius.transpose(0, 2, 1).reshape(36, 6),
                  np.repeat(np.arange(3), 12), 3)  # fmt: skip
    assert found == pytest.approx(covered_share(over, discs), abs=1e-12)
    assert 0 < found.min() < found.max() < 1


def test_cell_size_follows_the_smallest_disc_within_bounds():
    assert cell_size_m(1e4, 1.2) == pytest.approx(0.6)
    assert cell_size_m(100, 50.0) == pytest.approx(0.1)  # 10,000 cells at least
    assert cell_size_m(1e6, 0.1) == pytest.approx(1e3 / 2**10.5)  # 2 million at most


def test_more_layers_get_fewer_cells():
    assert cell_size_m(1e6, 0.1, layers=64) == pytest.approx(2e3 / 2**10.5)


def test_cells_without_area_are_not_made_up():
    over = Cells(0, 0, 1, np.array([[0.0, 1.0]]))
    share = covered_share(over, one_layer(np.array([[0.5, 0.5]]), np.array([[0.4]])))
    assert share[0, 0] == 0
