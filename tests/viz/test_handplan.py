"""What the plan under the hand is drawn from: places, numbers and sizes, as others say them."""

from pathlib import Path

import numpy as np
import pytest
import trimesh

import growth
import scenes
from scenes.layout import places_of
from viz.frame import readings
from viz.handplan import Drawn, hand_plan

LIBRARY = Path(scenes.__file__).parent / "library"
SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


def drawn_of(path: Path) -> Drawn:
    yard = scenes.load(path)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    return Drawn(yard, layout, growth.grow(yard, layout))


@pytest.mark.parametrize("path", [SMALL, LIBRARY / "terrace.toml"], ids=lambda path: path.stem)
def test_every_plant_carries_the_number_that_edits_call_it_by(path):
    drawn = drawn_of(path)
    plan = hand_plan(drawn)
    plants = plan["plants"]
    for number, table in enumerate(plan["tables"]):
        mine = np.flatnonzero(plants["table"] == number)
        kinds, xy_m = places_of(drawn.yard, table["place"])
        assert plants["number"][mine].tolist() == list(range(len(kinds)))
        assert np.array_equal(np.column_stack([plants["x"], plants["y"]])[mine], xy_m)
        assert [plan["kinds"][k]["name"] for k in plants["kind"][mine]] == list(kinds)
    assert len(plants["x"]) == len(drawn.layout.source)


def test_spreads_are_those_of_the_stand_and_nought_where_a_plant_is_gone(tmp_path):
    text = SMALL.read_text(encoding="utf-8").replace(
        'plant = "Hydrangea arborescens"', 'removed = 6\nplant = "Hydrangea arborescens"'
    )
    path = tmp_path / "yard.toml"
    path.write_text(text, encoding="utf-8")
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    drawn = drawn_of(path)
    plan = hand_plan(drawn)
    ends = plan["spreads"]
    low, by_course, high = (
        ends[end].reshape(-1, ends["years"]) for end in ("low", "expected", "high")
    )
    course = plan["plants"]["course"]
    spread_m = by_course[course].T
    assert np.allclose(low[course].T[:, 0], drawn.stand.spread_m.low[:, 0], rtol=1e-6)
    assert np.allclose(high[course].T[:, 0], drawn.stand.spread_m.high[:, 0], rtol=1e-6)
    hydrangeas = [5, 6]
    assert np.all(spread_m[:6, hydrangeas] > 0)
    assert np.all(spread_m[6:, hydrangeas] == 0)
    others = [n for n in range(spread_m.shape[1]) if n not in hydrangeas]
    expected = drawn.stand.spread_m.expected[:, others]
    assert np.allclose(spread_m[:, others], expected, rtol=1e-6)
    assert len(by_course) == 4  # one for each of the four tables


def test_areas_of_the_small_yard_are_those_of_its_document():
    plan = hand_plan(drawn_of(SMALL))
    places = {area["place"]: area for area in plan["areas"] if area["place"]}
    assert places["bed[1]"]["rings"][0].reshape(-1, 2)[:4].tolist() == [
        [1, 0.5], [4, 0.5], [4, 2.5], [1, 2.5],
    ]  # fmt: skip
    assert {place: area["kind"] for place, area in places.items()} == {
        "bed[1]": "bed", "surface[1]": "patio", "surface[2]": "walk", "structure[1]": "built",
    }  # fmt: skip
    assert [line["kind"] for line in plan["lines"]] == ["window", "fence"]
    assert [table["how"] for table in plan["tables"]] == [
        "each at its point", "in a row", "each at its point", "filling lane bed",
    ]  # fmt: skip
    # the lot is 12 by 10 m, the eye four metres south of it, and three metres are shown round both
    assert plan["bounds"] == [-3, -7, 15, 13]
    assert plan["views"][0]["eye"] == [8.7, -4]


def test_a_meter_is_a_circle_and_a_model_what_it_covers(tmp_path):
    """A box of 2 by 3 m in plan, its middle at (3, 5); a meter at (9, 9.5), clear 0.9 m."""
    trimesh.creation.box((2, 4, 3)).export(tmp_path / "shed.glb")  # y is up in a GLB
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    path = tmp_path / "yard.toml"
    more = """
[[structure]]
name = "model shed"
kind = "model"
file = "shed.glb"
at = [3, 5]

[[structure]]
name = "gas meter"
kind = "meter"
at = [9, 9.5]
clear = 0.9
"""
    path.write_text(SMALL.read_text(encoding="utf-8") + more, encoding="utf-8")
    plan = hand_plan(drawn_of(path))
    (shed,) = (area for area in plan["areas"] if area["name"] == "model shed")
    corners = shed["rings"][0].reshape(-1, 2)
    assert np.allclose([corners.min(axis=0), corners.max(axis=0)], [[2, 3.5], [4, 6.5]], atol=1e-5)
    (meter,) = (line for line in plan["lines"] if line["kind"] == "meter")
    away = np.hypot(*(meter["points"].reshape(-1, 2) - [9, 9.5]).T)
    assert np.allclose(away, 0.9, atol=1e-5)


def test_a_yard_without_plants_has_an_empty_plan(tmp_path):
    text = SMALL.read_text(encoding="utf-8")
    start, end = text.index("[[kept]]"), text.index("[[view]]")
    path = tmp_path / "yard.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    plan = hand_plan(drawn_of(path))
    assert plan["tables"] == []
    assert len(plan["plants"]["x"]) == len(plan["spreads"]["expected"]) == 0


def test_one_file_has_no_plan_for_nobody_could_write_the_document():
    assert "Plan" in [each["name"] for each in readings("yard", one_file=False)]
    assert "Plan" not in [each["name"] for each in readings("yard", one_file=True)]
