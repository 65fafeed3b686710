from dataclasses import replace

import numpy as np

from growth.crowding import ShadedOut, first_shaded_year, shaded_out
from growth.ranges import Range

OAK, BOX, YEW, GROUND = "Quercus rubra", "Rosa rugosa", "Taxus cuspidata", "Liriope muscari"


def sized(stand, height_m, spread_m):
    """The stand with expected sizes by plant that stay all years; lists may hold series."""
    years = len(stand.years)

    def constant(sizes_m):
        table = np.stack([np.broadcast_to(size, (years,)) for size in sizes_m], axis=1)
        return Range(table, table, table)

    return replace(stand, height_m=constant(height_m), spread_m=constant(spread_m))


def test_under_the_middle_of_a_tree_a_shrub_goes_bare(stand_of):
    stand = sized(stand_of([OAK, BOX], [[0, 0], [1, 0]]), [10, 1], [8, 1])
    assert shaded_out(stand) == (ShadedOut(BOX, 1, 1, 1, 0),)


def test_the_year_is_that_in_which_the_crown_has_come_over_half_the_edge(stand_of):
    """Crown radius grows by 0.5 m a year; at 4 m off, half the edge is reached a little after
    the radius passes 4 m: the chord through the middle bends, so in year 9, not year 8."""
    radius_m = 0.5 * np.arange(31)
    stand = sized(stand_of([OAK, BOX], [[0, 0], [4, 0]]), [10, 1], [2 * radius_m, 1])
    assert first_shaded_year(stand)[1] == 9


def test_neighbours_must_be_half_as_tall_again(stand_of):
    for tall_m, shaded in ((1.45, False), (1.55, True)):
        stand = sized(stand_of([OAK, BOX], [[0, 0], [0.2, 0]]), [tall_m, 1], [8, 1])
        assert bool(shaded_out(stand)) == shaded


def test_two_neighbours_shade_together(stand_of):
    """Each covers three eighths of the edge or less; on both sides they cover most of it."""
    feet = [[-2.2, 0], [2.2, 0], [0, 0]]
    one = sized(stand_of([OAK, OAK, BOX], feet), [9, 0, 2], [4, 0, 2])
    both = sized(stand_of([OAK, OAK, BOX], feet), [9, 9, 2], [4, 4, 2])
    assert shaded_out(one) == ()
    assert [found.plant for found in shaded_out(both)] == [BOX]


def test_plants_that_bear_shade_and_soft_plants_are_not_named(stand_of):
    names = [OAK, YEW, GROUND]
    stand = sized(stand_of(names, [[0, 0], [1, 0], [0, 1]]), [10, 1, 0.5], [8, 1, 0.5])
    assert shaded_out(stand) == ()


def test_a_plant_never_shades_itself_and_a_hedge_of_equals_not_one_another(stand_of):
    stand = sized(stand_of([BOX] * 9, [[0.3 * k, 0] for k in range(9)]), [2] * 9, [1] * 9)
    assert shaded_out(stand) == ()


def test_an_empty_stand_shades_nothing(stand_of):
    assert shaded_out(stand_of([], np.zeros((0, 2)))) == ()


def test_absent_plants_neither_shade_nor_are_shaded(stand_of):
    gone = np.where(np.arange(31) < 5, 0.0, 1.0)
    stand = sized(stand_of([OAK, BOX], [[0, 0], [1, 0]]), [10, gone], [8, gone])
    assert first_shaded_year(stand)[1] == 5


def test_thousands_of_plants_at_once(stand_of):
    feet = np.stack(np.meshgrid(np.arange(100), np.arange(100)), axis=-1).reshape(-1, 2)
    names = [OAK if k % 50 == 0 else BOX for k in range(len(feet))]
    tall, wide = ([a if n == OAK else b for n in names] for a, b in ((9, 1), (3, 1)))
    first = first_shaded_year(sized(stand_of(names, feet), tall, wide))
    beside = np.hypot(*(feet - feet[50]).T)
    assert first[np.argmin(np.where(beside > 0, beside, np.inf))] == 0
