from pathlib import Path

import numpy as np
import pytest

import scenes
from scenes.document import Yard
from scenes.errors import SceneError

SMALL = Path(__file__).parent / "yards" / "small.toml"


def _raw(**tables: object) -> dict[str, object]:
    ground = {"points": [[0, 0, 1], [20, 0, 1], [20, 10, 1], [0, 10, 1]], "cell": 0.5}
    site = {"boundary": [[0, 0], [20, 0], [20, 10], [0, 10]]}
    return {"title": "t", "lengths": "m", "site": site, "ground": ground} | tables


def _yard(unit: str = "m", **tables: object) -> Yard:
    return Yard.model_validate(_raw(**tables) | {"lengths": unit}, context={"unit": unit})


def test_small_yard_by_hand() -> None:
    """Ground 10 + 0.05 y; pad of 4 x 2.5 m at 10.25, falling 2 % south from its middle."""
    terrain = scenes.grade(scenes.load(SMALL))
    points = np.array([[1.0, 1.0], [9.0, 4.75], [9.0, 3.75], [9.0, 5.75]])
    heights = terrain.height_m(points)
    np.testing.assert_allclose(heights, [10.05, 10.25, 10.23, 10.27], atol=1e-6)
    assert terrain.earth.net_m3 == pytest.approx(
        terrain.earth.fill_m3 - terrain.earth.cut_m3, abs=1e-12
    )
    assert terrain.earth.cell_m == 0.25
    assert terrain.notes == ()


def test_lattice_reaches_three_metres_beyond_everything_placed() -> None:
    tables = {
        "structure": [{"name": "f", "kind": "fence", "line": [[-5, 0], [0, 0]], "height": 2}],
        "kept": [
            {"plant": "Acer rubrum", "at": [25, 5], "height": 8, "spread": 5},
            {"plant": "Thuja", "along": [[0, 5], [30, 5]], "spacing": 1, "height": 2, "spread": 1},
        ],
        "view": [
            {"name": "v", "eye": [3, -12], "target": {"from": [1, 22], "to": [4, 22], "high": 2}}
        ],
    }
    lattice = scenes.grade(_yard(**tables)).lattice
    nodes = lattice.nodes_m().reshape(-1, 2)
    assert nodes.min(axis=0).tolist() == [-8, -15]
    assert nodes.max(axis=0).tolist() == [33, 25]


def test_too_fine_a_cell_is_told_with_one_that_works() -> None:
    raw = _raw()
    raw["ground"] = {**raw["ground"], "cell": 0.001}
    with pytest.raises(SceneError, match=r"ground\.cell: 0\.001 m makes more than 4,000,000"):
        scenes.grade(_yard(ground=raw["ground"]))


def test_the_cell_offered_is_in_the_document_unit_and_works() -> None:
    site = {"boundary": [[0, 0], [5000, 0], [5000, 5000], [0, 5000]]}
    ground = {"points": [[0, 0, 1], [5000, 0, 1], [0, 5000, 2]], "cell": 0.5}
    with pytest.raises(SceneError, match=r"0\.5 ft makes .* write (2\.6) or more"):
        scenes.grade(_yard("ft", site=site, ground=ground))


def test_a_lot_half_beyond_the_survey_says_so() -> None:
    ground = {"points": [[0, 0, 1], [10, 0, 1], [10, 10, 2], [0, 10, 2]], "cell": 0.5}
    terrain = scenes.grade(_yard(ground=ground))
    assert terrain.notes == ("50 % of the lot lies beyond the survey; its ground is extrapolated",)
    assert terrain.height_m(np.array([[18.0, 5.0]]))[0] == pytest.approx(1.5, abs=1e-6)
    assert terrain.extrapolated[:, -1].all()


def test_sides_beyond_the_boundary_are_told_and_not_counted() -> None:
    pad = {
        "name": "p",
        "do": "pad",
        "outline": [[0, 2], [4, 2], [4, 6], [0, 6]],
        "level": 2,
        "batter": 1,
    }
    terrain = scenes.grade(_yard(grading=[pad]))
    assert any("past the boundary" in note for note in terrain.notes)
    half_cone = np.pi / 3 / 2  # two quarter cones of radius and height 1 m lie inside
    assert terrain.earth.fill_m3 == pytest.approx(16 + 3 * 4 / 2 + half_cone, rel=0.02)


def test_flat_ground_without_grading_moves_nothing() -> None:
    terrain = scenes.grade(_yard())
    assert terrain.notes == ()
    assert terrain.earth.cut_m3 == terrain.earth.fill_m3 == 0
