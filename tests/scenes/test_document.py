"""The document model: units of every table, outlines as written, shapes and rules."""

import datetime

import pytest

from scenes.document import Panel, Yard
from scenes.errors import SceneError
from scenes.keys import OPERATIONS, STRUCTURES
from scenes.reading import load

FOOT_M = 0.3048
FULL = """
title = "Every table"
lengths = "ft"
[site]
latitude_deg = 44.0
boundary = [[0, 0], [60, 0], [60, 110], [0, 110], [0, 0]]
planted = 2027-03-15
origin = [100, 200, 90]
[ground]
points = [[100, 200, 98], [160, 200, 98], [160, 310, 104]]
[[grading]]
name = "terrace"
do = "pad"
outline = [[20, 40], [44, 40], [44, 58], [20, 58]]
level = 102.0
fall_percent = 1.5
fall_towards_deg = 180
batter = [2, 3]
[[surface]]
name = "path"
kind = "walk"
centreline = [[30, 0], [30, 20], [30, 40]]
width = 4
levels = [98.2, 101.9]
[[bed]]
name = "lane bed"
edge = [[2, 2], [20, 3], [24, 12], [8, 14]]
smooth = true
corners = [0, 1]
mulch = "3 in"
[[structure]]
name = "house"
kind = "house"
outline = [[18, 70], [46, 70], [46, 98], [18, 98]]
floor = 104.0
eave = 10
ridge = 18
  [[structure.opening]]
  name = "kitchen window"
  kind = "window"
  from = [26, 70]
  to = [31, 70]
  low = 3.0
  high = 6.5
[[kept]]
plant = "Quercus garryana"
at = [50, 30]
trunk_diameter = "22 in"
height = 45
spread = "12 m"
[[kept]]
plant = "Taxus x media 'Hicksii'"
along = [[59, 0], [59, 30]]
spacing = 3
height = 5
spread = 3
[[planting]]
plant = "Ilex crenata"
size = "#5"
at = [[4, 5], [7, 5], [10, 6]]
removed = 6
[[planting]]
mix = { "Carex morrowii" = 0.4, "Liriope muscari" = 0.6 }
now = { height = 1, spread = "6 in" }
fill = "lane bed"
spacing = "18 in"
pattern = "square"
keep_off = 1
kept_at = { height = 4 }
planted = 2027-10-15
[[plant]]
name = "Ilex 'Local'"
kind = "tree"
height = [20, 30]
growth_per_year = "14 in"
see_through = [0.1, 0.1]
seen = [[5, "9 ft", "4 ft"]]
[[street]]
name = "lane"
curb = [[0, -4], [60, -4]]
[[sight]]
name = "drive to lane"
at = [40, -4]
legs = [10, 10]
band = [3, 8]
[[view]]
name = "from the lane"
eye = [30, -12]
eye_height = 5.5
target = "kitchen window"
[[view]]
name = "walk"
purpose = "keep open"
eye = [[30, 0], [30, 40]]
above = "house"
target = { from = [1, 1], to = [5, 1], low = 1, high = 4 }
[[requirement]]
name = "Kitchen screened"
check = "screening"
of = "from the lane"
year = 5
at_least = 0.8
season = "bare"
[[requirement]]
name = "Path clear"
check = "clearance"
of = "path"
year = 5
at_least = 1.5
[[head]]
name = "bed spray 1"
at = [9, 4]
riser = "12 in"
throw = 12
arc = [0, 180]
"""
MINIMAL = {
    "title": "Minimal",
    "lengths": "m",
    "site": {"boundary": [[0, 0], [4, 0], [4, 3], [0, 3]]},
    "ground": {"points": [[0, 0, 0], [4, 0, 0], [4, 3, 0]]},
}


@pytest.fixture(scope="module")
def full(tmp_path_factory):
    path = tmp_path_factory.mktemp("full") / "full.toml"
    path.write_text(FULL)
    return load(path)


def _yard(**tables):
    return Yard.model_validate({**MINIMAL, **tables}, context={"unit": "m"})


def test_bare_lengths_are_in_the_unit_of_the_document(full):
    assert full.site.boundary[2] == pytest.approx((60 * FOOT_M, 110 * FOOT_M))
    assert full.structure[0].eave == pytest.approx(3.048)
    assert full.view[0].eye_height == pytest.approx(1.6764)
    assert full.grading[0].level == pytest.approx(102 * FOOT_M)
    assert full.plant[0].height == pytest.approx((6.096, 9.144))
    assert full.site.origin == pytest.approx((30.48, 60.96, 27.432))


def test_lengths_with_a_unit_of_their_own_keep_it(full):
    assert full.bed[0].mulch == pytest.approx(0.0762)
    assert full.kept[0].trunk_diameter == pytest.approx(0.5588)
    assert full.kept[0].spread == 12.0
    assert full.planting[1].spacing == pytest.approx(0.4572)
    assert full.planting[1].now.spread == pytest.approx(0.1524)


def test_values_that_are_not_lengths_stay_as_written(full):
    assert full.grading[0].batter == (2.0, 3.0)
    assert full.grading[0].fall_towards_deg == 180
    assert full.planting[1].planted == datetime.date(2027, 10, 15)
    assert full.planting[1].mix == {"Carex morrowii": 0.4, "Liriope muscari": 0.6}
    assert full.plant[0].seen == ((5.0, pytest.approx(2.7432), pytest.approx(1.2192)),)


def test_one_point_and_several_keep_their_shape(full):
    assert full.view[0].eye == pytest.approx((30 * FOOT_M, -12 * FOOT_M))
    assert len(full.view[1].eye) == 2
    assert isinstance(full.view[1].target, Panel)
    assert full.view[0].target == "kitchen window"


def test_survey_unit_is_that_of_the_survey_only(tmp_path):
    path = tmp_path / "yard.toml"
    text = 'title = "t"\nlengths = "m"\n[site]\nboundary = [[0, 0], [3, 0], [3, 3]]\n'
    text += 'origin = [10, 0, 0]\n[ground]\nsurvey_lengths = "ft"\n'
    path.write_text(text + "points = [[10, 0, 1], [20, 0, 1], [20, 10, 1]]\n")
    yard = load(path)
    assert yard.site.boundary[1] == (3.0, 0.0)
    assert yard.site.origin[0] == pytest.approx(3.048)
    assert yard.ground.points[1] == pytest.approx((6.096, 0.0, 0.3048))


def test_outline_may_be_written_closed_and_either_way_round():
    ring = [[0, 0], [4, 0], [4, 3], [0, 3]]
    for written in (ring, [*ring, [0, 0]], ring[::-1], [*ring[::-1], [0, 3]]):
        yard = _yard(site={"boundary": written})
        assert len(yard.site.boundary) == 4
        assert set(yard.site.boundary) == {(0, 0), (4, 0), (4, 3), (0, 3)}


def test_closed_line_of_two_points_is_not_an_outline():
    with pytest.raises(ValueError, match="an outline of 2 points; write three or more"):
        _yard(site={"boundary": [[0, 0], [4, 0], [0, 0]]})


def test_a_read_yard_does_not_change(full):
    with pytest.raises(ValueError, match="frozen"):
        full.title = "other"


@pytest.mark.parametrize(
    ("site", "words"),
    [
        ({"north_deg": "90"}, "valid number"),
        ({"hardiness_zone": True}, "valid integer"),
        ({"hardiness_zone": 6.0}, "valid integer"),
        ({"planted": 20270315}, "valid date"),
    ],
)
def test_loose_values_are_refused(site, words):
    with pytest.raises(ValueError, match=words):
        _yard(site={**MINIMAL["site"], **site})


WHOLE = {
    "outline": [[1, 1], [3, 1], [3, 2]],
    "centreline": [[1, 1], [3, 1]],
    "line": [[1, 1], [3, 1]],
    "points": [[1, 1, 0]],
    "level": 1,
    "width": 1,
    "height": 1,
    "depth": 1,
    "top": 1,
    "risers": 3,
    "floor": 0,
    "eave": 2,
    "ridge": 3,
    "clear": 1,
    "at": [1, 1],
    "file": "shed.glb",
}
KINDS = [("grading", "do", kind, keys) for kind, keys in OPERATIONS.items()]
KINDS += [("structure", "kind", kind, keys) for kind, keys in STRUCTURES.items()]


def _load(tmp_path, **tables):
    lines = ['title = "t"', 'lengths = "m"']
    lines += ["site = { boundary = [[0, 0], [4, 0], [4, 3], [0, 3]] }"]
    lines += ["ground = { points = [[0, 0, 0], [4, 0, 0], [4, 3, 0]] }"]
    for name, keys in tables.items():
        lines += [f"[[{name}]]"]
        lines += [f"{k} = {v if isinstance(v, list) else repr(v)}" for k, v in keys.items()]
    (tmp_path / "shed.glb").write_bytes(b"glTF")
    (tmp_path / "yard.toml").write_text("\n".join(lines))
    return load(tmp_path / "yard.toml")


@pytest.mark.parametrize(("table", "word", "kind", "keys"), KINDS)
def test_each_kind_is_read_with_its_keys_and_refused_without_one(tmp_path, table, word, kind, keys):
    needed = [*keys.needs, *keys.one_of[:1]]
    written = {"name": "thing", word: kind, **{key: WHOLE[key] for key in needed}}
    assert getattr(_load(tmp_path, **{table: written}), table)[0].name == "thing"
    for key in needed:
        less = {k: v for k, v in written.items() if k != key}
        with pytest.raises(SceneError, match=rf"yard\.toml: {table}\[1\]: .*{key}"):
            _load(tmp_path, **{table: less})


def test_flat_roof_needs_no_ridge(tmp_path):
    shed = {"name": "shed", "kind": "shed", "outline": WHOLE["outline"], "floor": 0, "eave": 2}
    assert _load(tmp_path, structure={**shed, "roof": "flat"}).structure[0].ridge is None
    with pytest.raises(SceneError, match="needs ridge"):
        _load(tmp_path, structure=shed)


def test_plants_on_the_boundary_are_inside(tmp_path):
    plants = {"plant": "Carex morrowii", "size": "#1", "at": [[0, 0], [4, 1.5], [2, 3]]}
    assert len(_load(tmp_path, planting=plants).planting[0].at) == 3


def test_a_hundred_thousand_plants_are_allowed(tmp_path):
    row = {"plant": "Carex morrowii", "size": "#1", "along": [[0, 1], [4, 1]], "spacing": 4e-5}
    assert _load(tmp_path, planting=row).planting[0].spacing == 4e-5


def test_kept_plants_and_structures_may_lie_outside(tmp_path):
    kept = {"plant": "Acer rubrum", "at": [-3, 1], "height": 8, "spread": 5}
    wall = {"name": "wall", "kind": "wall", "line": [[-2, 0], [-2, 9]], "height": 1}
    assert _load(tmp_path, kept=kept, structure=wall).kept[0].at == (-3.0, 1.0)


def test_screening_may_be_asked_of_a_view_kept_open(tmp_path):
    view = {"name": "v", "purpose": "keep open", "eye": [1, -3], "target": "wall"}
    wall = {"name": "wall", "kind": "wall", "line": [[0, 4], [4, 4]], "height": 1}
    asked = {"name": "r", "check": "screening", "of": "v", "year": 5, "at_most": 0.2}
    assert _load(tmp_path, structure=wall, view=view, requirement=asked).requirement[0].of == "v"
