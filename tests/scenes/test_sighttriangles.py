"""Sight triangles in plan: corners and areas by hand, presets, and what is refused."""

import pytest
import shapely

import scenes
from scenes.errors import SceneError
from scenes.sighttriangles import FOOT_M, sight_rules, sight_shapes, speed_mph

YARD = """
title = "Corner"
lengths = "ft"
[site]
boundary = [[0, 0], [60, 0], [60, 80], [0, 80]]
[ground]
points = [[0, 0, 0], [60, 0, 0], [0, 80, 0], [60, 80, 0]]
[[street]]
name = "lane"
curb = [[-30, -4], [90, -4]]
speed = "25 mph"
"""
SIGHT = '[[sight]]\nname = "drive"\nat = [40, -4]\n'
SIDE = '[[street]]\nname = "side"\ncurb = [[-4, -30], [-4, 90]]\n'


@pytest.fixture
def shape_of(tmp_path):
    def made(text):
        path = tmp_path / "corner.toml"
        path.write_text(YARD + text)
        return sight_shapes(scenes.load(path))[0]

    return made


def in_feet(points):
    return shapely.Polygon([[x * FOOT_M, y * FOOT_M] for x, y in points])


def test_a_drive_has_a_triangle_on_each_side(shape_of):
    """The village rule of Woodridge: 10 ft along the curb and 10 ft into the lot."""
    found = shape_of(SIGHT + 'rule = "village"')
    by_hand = in_feet([[30, -4], [50, -4], [40, 6]])
    assert found.area.symmetric_difference(by_hand).area == pytest.approx(0, abs=1e-9)
    assert found.band_m == pytest.approx((3 * FOOT_M, 8 * FOOT_M))
    assert found.speed_mph == 25
    assert "Woodridge" in found.source


def test_a_corner_has_a_leg_along_each_curb(shape_of):
    """Zanesville's 30 ft at two streets that meet at (-4, -4)."""
    corner = SIGHT.replace("[40, -4]", "[-4, -4]") + 'rule = "zanesville corner"\n'
    found = shape_of(SIDE + corner)
    by_hand = in_feet([[-4, -4], [26, -4], [-4, 26]])
    assert found.area.symmetric_difference(by_hand).area == pytest.approx(0, abs=1e-9)


def test_what_the_document_writes_goes_before_the_rule(shape_of):
    found = shape_of(SIGHT + 'rule = "village"\nlegs = [20, 5]\nband = [2, 7]')
    by_hand = in_feet([[20, -4], [60, -4], [40, 1]])
    assert found.area.symmetric_difference(by_hand).area == pytest.approx(0, abs=1e-9)
    assert found.band_m == pytest.approx((2 * FOOT_M, 7 * FOOT_M))


def test_every_rule_names_its_place_and_a_band_with_a_height():
    for rule in sight_rules().values():
        assert rule.place in rule.source
        assert 0 < rule.band_m[0] < rule.band_m[1]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", "sight[1]: legs and band not written; write them, or name a rule"),
        ('rule = "vilage"', 'sight[1]: "vilage" is not a rule we know; write legs and band, or'),
        ('rule = "x"\nlegs = [3, 3]', 'sight[1]: "x" is not a rule we know'),
        ("legs = [3, 3]\nband = [5, 2]", "sight[1].band"),
    ],
)
def test_a_sight_without_its_figures_is_refused(shape_of, text, line):
    with pytest.raises(SceneError) as error:
        shape_of(SIGHT + text)
    assert line in str(error.value)


def test_a_speed_that_cannot_be_read_is_refused(shape_of):
    with pytest.raises(SceneError, match=r"street\[2\]\.speed"):
        shape_of(SIDE + 'speed = "fast"\n' + SIGHT + 'rule = "village"')


def test_speeds_are_read_in_miles_and_kilometres():
    assert speed_mph("25 mph") == 25
    assert speed_mph("40 km/h") == pytest.approx(24.85, abs=0.01)
    assert speed_mph("40") is None
