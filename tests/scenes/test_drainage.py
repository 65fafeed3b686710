"""Water on small yards: ponds at a house, walls in the way, drains, outlets; worked by hand."""

import numpy as np
import pytest

import scenes
from scenes.document import Yard
from scenes.drainage import drain

CORNERS = [[0, 0], [20, 0], [20, 20], [0, 20]]
HOUSE = {"name": "house", "kind": "house", "outline": [[6, 6], [14, 6], [14, 12], [6, 12]],
         "floor": 11, "eave": 2.5, "ridge": 4}  # fmt: skip


def water(*, fall=0.05, grading=(), **tables):
    """A lot that falls evenly towards its south, 0.25 m a cell."""
    points = [[x, y, 10 + fall * y] for x, y in [(-9, -9), (29, -9), (29, 29), (-9, 29)]]
    raw = {
        "title": "t",
        "lengths": "m",
        "site": {"boundary": CORNERS},
        "ground": {"points": points, "cell": 0.25},
        "grading": grading,
    }
    yard = Yard.model_validate(raw | tables, context={"unit": "m"})
    return drain(scenes.grade(yard), yard)


def test_an_even_slope_has_no_pond_and_no_outlet():
    """Every column of nodes drains by itself: a node of the south edge gets its column."""
    found = water()
    assert found.ponds == ()
    assert found.outlets == ()
    column = found.catchment_m2[:, 30]
    cell_m2 = 0.25**2
    rows = len(column)  # the north edge row leaves at once; the south one gets all others
    assert column[0] == pytest.approx((rows - 1) * cell_m2)
    assert found.catchment_m2[:, 30][-1] == pytest.approx(cell_m2)


def test_a_house_across_the_slope_parts_the_water_and_none_runs_into_it():
    found = water(structure=[HOUSE])
    assert found.ponds == ()
    inside = found.blocked
    assert inside.sum() == (8 / 0.25 + 1) * (6 / 0.25 + 1)
    assert (found.catchment_m2[inside] == 0).all()
    assert not inside.ravel()[found.to[found.to >= 0]].any()


def test_a_level_pit_behind_the_house_is_a_pond_against_it():
    """A pit of 4 x 2 m with vertical sides at the north wall, half a metre under its south rim."""
    rim_m = 10 + 0.05 * 12
    pit = {"name": "pit", "do": "pad", "outline": [[8, 12], [12, 12], [12, 14], [8, 14]],
           "level": rim_m - 0.5, "batter": 0}  # fmt: skip
    (pond,) = water(structure=[HOUSE], grading=[pit]).ponds
    assert pond.against == "house"
    assert pond.depth_m == pytest.approx(0.5, abs=0.03)  # its way out is round the corner
    assert pond.volume_m3 == pytest.approx(4 * 2 * 0.5, rel=0.1)
    far = {**pit, "outline": [[8, 15], [12, 15], [12, 17], [8, 17]]}
    (pond,) = water(structure=[HOUSE], grading=[far]).ponds
    assert pond.against is None


def test_a_wall_across_the_lot_holds_water_and_a_fence_does_not():
    """A wall with returns up the slope: water stands to the end of the returns, 2 m x 5 %."""
    line = [[4, 12], [4, 10], [16, 10], [16, 12]]
    wall = {"name": "w", "kind": "wall", "line": line, "height": 1, "thickness": 0.2}
    (pond,) = water(structure=[wall]).ponds
    assert pond.depth_m == pytest.approx(2 * 0.05, abs=0.02)
    assert pond.at[1] == pytest.approx(10.25, abs=0.13)
    fence = {"name": "f", "kind": "fence", "line": line, "height": 1}
    assert water(structure=[fence]).ponds == ()


def test_a_drain_takes_the_pond_and_tells_what_reaches_it():
    pit = {"name": "pit", "do": "pad", "outline": [[8, 8], [12, 8], [12, 10], [8, 10]],
           "level": 10.0, "fall_percent": 2, "fall_towards_deg": 90, "batter": 2}  # fmt: skip
    (pond,) = water(grading=[pit]).ponds
    found = water(grading=[pit], drain=[{"name": "d", "at": list(pond.at)}])
    assert found.ponds == ()
    (inlet,) = found.inlets
    assert inlet.catchment_m2 == pytest.approx(pond.catchment_m2, rel=0.02)


def test_a_valley_leaves_the_lot_at_one_place():
    """Two planes that meet at x = 12: their water crosses the south edge there."""
    points = [[0, -5, 11.2], [12, -5, 9.5], [20, -5, 10.3], [0, 25, 12.7], [12, 25, 11.0],
              [20, 25, 11.8]]  # fmt: skip
    raw = {"title": "t", "lengths": "m", "site": {"boundary": CORNERS},
           "ground": {"points": points, "cell": 0.25}}  # fmt: skip
    yard = Yard.model_validate(raw, context={"unit": "m"})
    found = drain(scenes.grade(yard), yard)
    (outlet,) = found.outlets
    assert outlet.at == (pytest.approx(12, abs=0.3), pytest.approx(0, abs=0.3))
    assert outlet.catchment_m2 > 0.5 * 400


def test_a_courtyard_without_a_drain_is_told():
    walls = {"name": "w", "kind": "wall", "height": 1, "thickness": 0.2,
             "line": [[6, 6], [14, 6], [14, 12], [6, 12], [6, 6]]}  # fmt: skip
    found = water(structure=[walls])
    assert 0.7 * 48 < found.closed_in_m2 < 48
    assert np.isfinite(found.filled_m).all()
