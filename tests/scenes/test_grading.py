import numpy as np
import pytest
from shapely.geometry import Polygon, box

from scenes.document import Yard
from scenes.grading import OPERATIONS, graded, operations
from scenes.keys import OPERATIONS as KEYS
from scenes.lattice import Array, Lattice, bilinear
from scenes.volumes import cut_and_fill

LOT = [[0, 0], [20, 0], [20, 20], [0, 20]]


def _yard(**tables: object) -> Yard:
    ground = {"points": [[0, 0, 0], [20, 0, 0], [0, 20, 0]]}
    raw = {"title": "t", "lengths": "m", "site": {"boundary": LOT}, "ground": ground, **tables}
    return Yard.model_validate(raw, context={"unit": "m"})


def _lattice(cell_m: float = 0.25) -> Lattice:
    count = round(24 / cell_m) + 1
    return Lattice(-2.0, -2.0, cell_m, count, count)


def _ground(lattice: Lattice, *, east: float = 0.0, north: float = 0.0) -> Array:
    return lattice.nodes_m() @ np.array([east, north])


def _after(yard: Yard, lattice: Lattice, before: Array, points: list[list[float]]) -> Array:
    return bilinear(lattice, graded(yard, lattice, before).after_m, np.array(points))


def _pad(**keys: object) -> dict[str, object]:
    outline = [[6, 6], [14, 6], [14, 12], [6, 12]]
    return {"name": "pad", "do": "pad", "outline": outline, "level": 0.8, "batter": 2} | keys


def _moved_m3(yard: Yard, lattice: Lattice, before: Array) -> tuple[float, float]:
    after = graded(yard, lattice, before).after_m
    earth = cut_and_fill(lattice, before_m=before, after_m=after, outline=box(0, 0, 20, 20))
    return earth.cut_m3.sum(), earth.fill_m3.sum()


def test_pad_falls_from_its_middle_towards_the_azimuth() -> None:
    yard = _yard(grading=[_pad(fall_percent=2.0, fall_towards_deg=90)])
    points = [[10, 9], [13, 9], [7, 9], [10, 11.5]]
    heights = _after(yard, _lattice(), _ground(_lattice()), points)
    np.testing.assert_allclose(heights, [0.8, 0.74, 0.86, 0.8], atol=1e-12)


def test_sides_fall_at_the_batter_until_they_meet_the_ground() -> None:
    yard = _yard(grading=[_pad()])
    points = [[10, 5.5], [10, 5.0], [10, 4.5], [10, 4.25], [10, 2.0]]
    heights = _after(yard, _lattice(), _ground(_lattice()), points)
    np.testing.assert_allclose(heights, [0.55, 0.3, 0.05, 0.0, 0.0], atol=1e-12)


def test_cut_and_fill_sides_each_have_their_own_batter() -> None:
    """Ground falls 0.1 a metre northwards from +0.3 at y = 6; pad at 0: cut south, fill north."""
    lattice = _lattice()
    before = 0.3 - 0.1 * (lattice.nodes_m()[..., 1] - 6)
    yard = _yard(grading=[_pad(level=0.0, batter=[1.0, 4.0])])
    heights = _after(yard, lattice, before, [[10, 5.75], [10, 12.25], [10, 13.0]])
    np.testing.assert_allclose(heights, [0.25, -0.0625, -0.25], atol=1e-12)


def test_raised_pad_has_the_volume_of_its_closed_form() -> None:
    """Flat ground, pad of area A and perimeter P, height h, sides at batter b.

    Sides fall with the distance to the outline, so corners are quarter cones:
    V = A h + P b h^2 / 2 + pi b^2 h^3 / 3.
    """
    wanted = 48 * 0.8 + 28 * 2 * 0.8**2 / 2 + np.pi * 4 * 0.8**3 / 3
    errors = []
    for cell_m in (0.5, 0.25, 0.125):
        lattice = _lattice(cell_m)
        cut_m3, fill_m3 = _moved_m3(_yard(grading=[_pad()]), lattice, _ground(lattice))
        assert cut_m3 == 0
        errors.append(abs(fill_m3 / wanted - 1))
    assert errors[1] < 0.01
    assert errors[2] < errors[0] / 4
    assert errors[2] < 0.001


@pytest.mark.parametrize("shift_m", [0.0, 0.1, 0.125])
def test_vertical_pad_moves_exactly_area_times_height(shift_m: float) -> None:
    outline = [[6 + shift_m, 6], [14, 6], [14, 12], [9, 12 - shift_m]]
    yard = _yard(grading=[_pad(outline=outline, batter=0)])
    lattice = _lattice()
    cut_m3, fill_m3 = _moved_m3(yard, lattice, _ground(lattice))
    assert fill_m3 == pytest.approx(0.8 * Polygon(outline).area, rel=1e-9)
    assert cut_m3 == 0


def test_level_pad_on_a_slope_balances_about_its_middle() -> None:
    """Slope s along L = 8 m: each wedge inside is W s (L/2)^2 / 2 = 6 x 0.1 x 16 / 2 = 4.8."""
    lattice = _lattice()
    before = _ground(lattice, east=0.1)
    cut_m3, fill_m3 = _moved_m3(_yard(grading=[_pad(level=1.0, batter=0)]), lattice, before)
    assert cut_m3 == pytest.approx(4.8, rel=1e-6)
    assert fill_m3 == pytest.approx(4.8, rel=1e-6)


def test_a_hollow_beyond_the_meeting_line_is_left_alone() -> None:
    lattice = _lattice()
    before = _ground(lattice)
    x, y = np.moveaxis(lattice.nodes_m(), -1, 0)
    before[(np.abs(x - 10) < 1) & (np.abs(y - 2) < 1)] = -3.0
    heights = _after(_yard(grading=[_pad(batter=2.5)]), lattice, before, [[10, 2], [10, 5]])
    np.testing.assert_allclose(heights, [-3.0, 0.4], atol=1e-12)


def _ribbon(**keys: object) -> dict[str, object]:
    line = [[4, 4], [4, 14], [14, 14]]
    return {"name": "r", "do": "ribbon", "centreline": line, "width": 2, "batter": 1} | keys


@pytest.mark.parametrize(
    ("levels", "wanted"), [([0, 2], [0.5, 1.0, 1.5]), ([0, 1, 0], [0.5, 1.0, 0.5])]
)
def test_ribbon_levels_at_both_ends_or_at_each_point(
    levels: list[float], wanted: list[float]
) -> None:
    yard = _yard(grading=[_ribbon(levels=levels)])
    points = [[4, 9], [4, 14], [9, 14]]
    heights = _after(yard, _lattice(), _ground(_lattice()), points)
    np.testing.assert_allclose(heights, wanted, atol=0.01)


def test_ribbon_without_levels_keeps_an_even_slope() -> None:
    lattice = _lattice()
    before = _ground(lattice, north=0.1)
    yard = _yard(grading=[_ribbon(centreline=[[10, 2], [10, 18]])])
    points = [[10, 2.5], [10, 9], [9.5, 17]]
    heights = _after(yard, lattice, before, points)
    np.testing.assert_allclose(heights, [0.25, 0.9, 1.7], atol=1e-9)


def test_ribbon_without_levels_takes_a_bump_out() -> None:
    lattice = _lattice()
    before = _ground(lattice)
    before[np.abs(lattice.nodes_m()[..., 1] - 10) < 0.3] = 0.5
    yard = _yard(grading=[_ribbon(centreline=[[10, 2], [10, 18]])])
    assert 0 < _after(yard, lattice, before, [[10, 10]])[0] < 0.15


def test_crossfall_falls_to_the_right_of_the_line() -> None:
    yard = _yard(grading=[_ribbon(levels=[1, 1], crossfall_percent=2)])
    points = [[4.75, 8], [3.25, 8], [9, 13.25]]
    heights = _after(yard, _lattice(), _ground(_lattice()), points)
    np.testing.assert_allclose(heights, [0.985, 1.015, 0.985], atol=1e-9)


def test_crown_falls_to_both_sides() -> None:
    yard = _yard(grading=[_ribbon(levels=[1, 1], crown_percent=2)])
    heights = _after(yard, _lattice(), _ground(_lattice()), [[4, 8], [4.75, 8], [3.25, 8]])
    np.testing.assert_allclose(heights, [1.0, 0.985, 0.985], atol=1e-9)


def test_operations_apply_in_their_order() -> None:
    yard = _yard(grading=[_pad(name="first", level=1.0), _pad(name="second", level=0.5, batter=0)])
    heights = _after(yard, _lattice(), _ground(_lattice()), [[10, 9], [10, 5.0]])
    np.testing.assert_allclose(heights, [0.5, 0.5], atol=1e-12)


def test_surface_with_levels_is_its_own_ribbon() -> None:
    surface = {"name": "r", "kind": "walk", "centreline": [[4, 4], [4, 14]], "width": 2}
    lattice = _lattice()
    alone = graded(_yard(surface=[surface | {"levels": [0, 1]}]), lattice, _ground(lattice)).after_m
    ribbon = _ribbon(centreline=surface["centreline"], levels=[0, 1], batter=2)
    written = graded(_yard(grading=[ribbon]), lattice, _ground(lattice)).after_m
    np.testing.assert_array_equal(alone, written)
    assert np.ptp(alone) > 0.9


def test_surface_without_levels_moves_nothing() -> None:
    surface = {"name": "r", "kind": "walk", "centreline": [[4, 4], [4, 14]], "width": 2}
    assert operations(_yard(surface=[surface])) == ()


def test_patio_with_a_level_at_each_corner_is_the_plane_through_them() -> None:
    outline = [[6, 6], [14, 6], [14, 12], [6, 12]]
    patio = {"name": "p", "kind": "patio", "outline": outline, "levels": [1.0, 1.8, 1.5, 0.7]}
    points = [[10, 9], [7, 7], [6, 6], [14, 12]]
    heights = _after(_yard(surface=[patio]), _lattice(), _ground(_lattice()), points)
    np.testing.assert_allclose(heights, [1.25, 1.05, 1.0, 1.5], atol=1e-6)


EVERY = {
    "pad": _pad(),
    "ribbon": _ribbon(levels=[0.5, 0.7]),
    "mound": {"do": "mound", "outline": [[6, 6], [14, 6], [14, 12]], "height": 0.6},
    "swale": {"do": "swale", "centreline": [[6, 6], [12, 12]], "width": 1.5, "depth": 0.3},
    "wall": {"do": "wall", "line": [[10, 6], [10, 14]], "height": 0.1, "footing": 0.4},
    "steps": {"do": "steps", "centreline": [[6, 6], [12, 6]], "width": 1.2, "risers": 3,
              "levels": [0.1, 0.6]},
    "ramp": {"do": "ramp", "centreline": [[6, 6], [14, 6]], "width": 1.2, "levels": [0.1, 0.6]},
    "levels": {"do": "levels", "points": [[10, 10, 0.9], [12, 10, 0.2]]},
}  # fmt: skip


def test_every_operation_is_tried() -> None:
    assert set(EVERY) == set(OPERATIONS) == set(KEYS)


@pytest.mark.parametrize("word", sorted(OPERATIONS))
def test_every_operation_leaves_distant_ground_and_its_argument_alone(word: str) -> None:
    lattice = _lattice()
    before = _ground(lattice, east=0.02)
    kept = before.copy()
    made = graded(_yard(grading=[{"name": word} | EVERY[word]]), lattice, before)
    np.testing.assert_array_equal(before, kept)
    np.testing.assert_array_equal(made.after_m[:, -4:], before[:, -4:])
    (shaped,) = made.shaped
    assert (shaped.place, shaped.do) == ("grading[1]", word)
    changed = np.zeros(before.shape, dtype=bool)
    changed[shaped.window] = shaped.changed
    np.testing.assert_array_equal(changed, made.after_m != before)
    assert changed.any()
    assert (made.disturbed[changed] > 0).all()
    assert made.clashes == ()


def test_a_round_drive_leaves_its_island_but_for_the_sides() -> None:
    """A closed ribbon raised 0.5 m round a middle 3 m from its inner edge."""
    ring = [[7, 7], [15, 7], [15, 15], [7, 15], [7, 7]]
    yard = _yard(grading=[_ribbon(centreline=ring, levels=[0.5, 0.5], batter=2)])
    heights = _after(yard, _lattice(), _ground(_lattice()), [[11, 11], [11, 8.5], [11, 7]])
    np.testing.assert_allclose(heights, [0.0, 0.25, 0.5], atol=1e-9)
