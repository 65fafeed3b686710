"""Falls of surfaces, banks, ground and house rings on planes whose slopes are known."""

import pytest

import scenes
from scenes.document import Yard
from scenes.errors import SceneError
from scenes.falls import falls
from scenes.limits import presets
from scenes.reading import load

CORNERS = [[0, 0], [40, 0], [40, 40], [0, 40]]
HOUSE = {"name": "house", "kind": "house", "outline": [[15, 15], [25, 15], [25, 23], [15, 23]],
         "floor": 21, "eave": 2.5, "ridge": 4}  # fmt: skip


def found(*, east=0.0, north=0.0, **tables):
    """The falls of a lot on a plane, by rule and place; 0.25 m a cell."""
    points = [
        [x, y, 20 + east * x + north * y] for x, y in [(-9, -9), (49, -9), (49, 49), (-9, 49)]
    ]
    raw = {"title": "t", "lengths": "m", "site": {"boundary": CORNERS},
           "ground": {"points": points, "cell": 0.25}}  # fmt: skip
    yard = Yard.model_validate(raw | tables, context={"unit": "m"})
    terrain = scenes.grade(yard)
    return {
        (fall.rule, fall.place): fall
        for fall in falls(yard, terrain, scenes.lay_out(yard, terrain))
    }


def square(kind, **more):
    outline = [[5, 30], [10, 30], [10, 35], [5, 35]]
    return {"surface": [{"name": "s", "kind": kind, "outline": outline, **more}]}


@pytest.mark.parametrize(
    ("kind", "rule", "slope", "standing"),
    [("patio", "patio steepest", 0.015, "desirable"),
     ("patio", "patio steepest", 0.025, "tolerable"),
     ("patio", "patio steepest", 0.035, "beyond"), ("patio", "patio drains", 0.004, "beyond"),
     ("patio", "patio drains", 0.007, "tolerable"), ("lawn", "lawn drains", 0.02, "desirable"),
     ("lawn", "lawn mown", 0.30, "tolerable"), ("lawn", "lawn mown", 0.34, "beyond"),
     ("drive", "drive steepest", 0.16, "beyond"), ("drive", "drive drains", 0.16, "desirable")],
)  # fmt: skip
def test_a_surface_on_a_plane_has_the_plane_s_slope(kind, rule, slope, standing):
    fall = found(north=-slope, **square(kind))[rule, "s"]
    assert fall.worst_percent == pytest.approx(100 * slope)
    assert fall.standing == standing
    assert fall.met == (standing != "beyond")
    assert 5 <= fall.at[0] <= 10


def test_a_walk_is_measured_along_and_across():
    """Straight up a plane that rises 6 % along it and 2 % across it."""
    walk = {"name": "w", "kind": "walk", "centreline": [[10, 5], [10, 13]], "width": 1.5}
    all_falls = found(east=0.02, north=0.06, surface=[walk])
    assert all_falls["walk steepest", "w"].worst_percent == pytest.approx(6)
    assert all_falls["walk steepest", "w"].standing == "tolerable"
    assert all_falls["walk crossfall", "w"].worst_percent == pytest.approx(2)
    assert all_falls["walk drains", "w"].worst_percent == pytest.approx(
        100 * (0.0004 + 0.0036) ** 0.5
    )


def test_six_inches_in_ten_feet_are_five_percent():
    """T9. A house on a ridge of a pyramid: the ground falls 6 in in 10 ft on every side."""
    assert pytest.approx(presets()["fall from the house"].limit_percent / 100) == 0.5 / 10
    pad = {"name": "p", "do": "pad", "outline": HOUSE["outline"], "level": 22.0, "batter": 20}
    fall = found(structure=[HOUSE], grading=[pad])["fall from the house", "house"]
    assert fall.worst_percent == pytest.approx(5, abs=0.01)
    assert fall.met


def test_the_uphill_side_of_a_house_is_the_worst():
    """On a plane of 3 % the ground falls towards the house from its north, at y = 23."""
    fall = found(north=0.03, structure=[HOUSE])["fall from the house", "house"]
    assert fall.worst_percent == pytest.approx(-3)
    assert not fall.met
    assert fall.at[1] == pytest.approx(23.25)
    assert fall.share_beyond == 1


def test_paving_beside_the_house_needs_less():
    patio = {"name": "s", "kind": "patio", "outline": [[14, 23], [26, 23], [26, 30], [14, 30]]}
    all_falls = found(north=-0.025, structure=[HOUSE], surface=[patio])
    paved = all_falls["paving beside the house", "house"]
    assert paved.worst_percent == pytest.approx(2.5)
    assert paved.met
    assert all_falls["fall from the house", "house"].worst_percent == pytest.approx(-2.5)


def test_a_house_beyond_the_lot_is_not_looked_at():
    away = {**HOUSE, "outline": [[50, 15], [60, 15], [60, 23], [50, 23]]}
    assert ("fall from the house", "house") not in found(structure=[away])


@pytest.mark.parametrize(("batter", "standing"), [(4, "desirable"), (2.5, "tolerable"),
                                                  (1.5, "beyond")])  # fmt: skip
def test_a_graded_bank_has_the_slope_of_its_batter(batter, standing):
    pad = {"name": "p", "do": "pad", "outline": [[10, 10], [20, 10], [20, 20], [10, 20]],
           "level": 21.5, "batter": batter}  # fmt: skip
    fall = found(grading=[pad])["bank steepest", "graded banks"]
    assert fall.worst_percent == pytest.approx(100 / batter, rel=0.02)
    assert fall.standing == standing


def test_a_retaining_wall_is_no_bank():
    """The fill behind it is level and its ends are returns: only the step is steep."""
    wall = {"name": "w", "do": "wall", "line": [[5, 10], [5, 30]], "height": 1, "retains": "left"}
    ring = [[10, 10], [20, 10], [20, 20], [10, 20], [10, 10]]
    bed = {"name": "raised", "do": "wall", "line": ring, "height": 0.5}
    assert ("bank steepest", "graded banks") not in found(north=-0.02, grading=[bed])
    assert ("bank steepest", "graded banks") in found(north=-0.02, grading=[wall])


def test_a_written_limit_replaces_the_preset():
    limit = {"rule": "patio steepest", "percent": 4, "source": "village code 7.2"}
    fall = found(north=-0.035, limit=[limit], **square("patio"))["patio steepest", "s"]
    assert fall.met
    assert fall.limit_percent == 4
    assert "village code 7.2" in fall.source


@pytest.mark.parametrize(
    ("rule", "rise", "run", "standing"),
    [("ramp steepest", 1, 12, "desirable"), ("ramp crossfall", 1, 48, "desirable"),
     ("walk crossfall", 1, 48, "desirable"), ("lawn mown", 1, 3, "tolerable"),
     ("open ground mown", 1, 3, "tolerable"), ("lawn mown", 1, 4, "desirable")],
)  # fmt: skip
def test_a_slope_at_the_ratio_of_its_source_keeps_to_it(rule, rise, run, standing):
    """ADA 2010 405.2 (1 in 12), 403.3 and 405.3 (1 in 48); mown turf 4 to 1, 3 to 1 the most."""
    assert presets()[rule].standing(100 * rise / run) == standing
    assert presets()[rule].standing(100 * rise / (run - 0.1)) != standing


def test_every_preset_has_its_sides_in_order_and_its_source():
    for limit in presets().values():
        assert limit.standing(limit.desirable_percent) == "desirable"
        assert limit.standing(limit.limit_percent) in ("desirable", "tolerable")
        assert len(limit.source) > 20


@pytest.mark.parametrize(
    ("rule", "percent", "more", "said"),
    [("patio stepest", 4, "", 'is not a rule; did you mean "patio steepest"'),
     ("patio steepest", 4, "desirable_percent = 5", "5 % is laxer than the limit of 4 %"),
     ("lawn drains", 2, "desirable_percent = 1", "1 % is laxer than the limit of 2 %"),
     ("patio steepest", -4, "", "limit")],
)  # fmt: skip
def test_wrong_limits_are_told(tmp_path, rule, percent, more, said):
    text = (
        'title = "t"\nlengths = "m"\n[site]\nboundary = [[0, 0], [9, 0], [9, 9]]\n'
        "[ground]\npoints = [[0, 0, 1], [9, 0, 1], [9, 9, 1]]\n"
        f'[[limit]]\nrule = "{rule}"\npercent = {percent}\nsource = "x"\n{more}\n'
    )
    (tmp_path / "y.toml").write_text(text)
    with pytest.raises(SceneError, match=r"^y\.toml: limit\[1\]") as caught:
        load(tmp_path / "y.toml")
    assert said in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1
