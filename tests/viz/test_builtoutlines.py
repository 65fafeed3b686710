"""What built things cover on a plan: a model by its own shape, and none of a meter."""

import shutil
from datetime import date
from pathlib import Path

import pytest
import shapely
import trimesh
from shapely.geometry import Polygon, box

import growth
import scenes
from viz.builtoutlines import built_outline
from viz.plan import Asked, plan
from viz.plansheet import read_scale

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
BUILT = """
[[structure]]
name = "studio"
kind = "model"
file = "studio.glb"
at = [4, 5]

[[structure]]
name = "gas meter"
kind = "meter"
at = [9, 9.5]
clear = 0.9
"""


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    """The small yard with a house model on an L: 4 x 2 m along the south, 2 x 2 m in the west."""
    folder = tmp_path_factory.mktemp("built")
    along, up = trimesh.creation.box((4, 3, 2)), trimesh.creation.box((2, 3, 2))  # y is up
    along.apply_translation((0, 1.5, 1))
    up.apply_translation((-1, 1.5, -1))
    trimesh.util.concatenate([along, up]).export(folder / "studio.glb")
    shutil.copy(SMALL.with_name("small-survey.csv"), folder)
    path = folder / "yard.toml"
    path.write_text(SMALL.read_text(encoding="utf-8") + BUILT, encoding="utf-8")
    return scenes.load(path)


@pytest.fixture(scope="module")
def ell():
    """The L about the middle of its foot at (4, 5)."""
    return shapely.union(box(2, 3, 6, 5), box(2, 5, 4, 7))


def test_a_model_covers_what_its_triangles_do_and_a_meter_nothing(yard, ell):
    layout = scenes.lay_out(yard, scenes.grade(yard))
    *_, studio, meter = (built_outline(each, layout) for each in yard.structure)
    assert studio.area == pytest.approx(12.0, abs=1e-6)  # its hull has 14 m2
    assert studio.symmetric_difference(ell).area == pytest.approx(0.0, abs=1e-6)
    assert meter is None


def test_the_printed_plan_draws_it_to_scale_and_only_the_meter_as_one(yard, ell):
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    asked = Asked("A3", read_scale("1:50"), 15, "", date(2027, 3, 1))
    marks = plan(yard, terrain, layout, growth.grow(yard, layout), asked).pages[0].plan
    (drawn,) = (mark for mark in marks if mark.role == "model")
    (ring,) = drawn.rings
    assert Polygon(ring).area == pytest.approx(ell.area * 20**2, rel=1e-6)  # 20 mm a metre
    assert len([mark for mark in marks if mark.role == "meter"]) == 1
