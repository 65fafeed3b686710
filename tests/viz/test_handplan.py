"""What the plan under the hand is drawn from: places, numbers and sizes, as others say them."""

from pathlib import Path

import numpy as np
import pytest

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
    by_course = plan["spreads"]["metres"].reshape(-1, plan["spreads"]["years"])
    spread_m = by_course[plan["plants"]["course"]].T
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


def test_a_yard_without_plants_has_an_empty_plan(tmp_path):
    text = SMALL.read_text(encoding="utf-8")
    start, end = text.index("[[kept]]"), text.index("[[view]]")
    path = tmp_path / "yard.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    plan = hand_plan(drawn_of(path))
    assert plan["tables"] == []
    assert len(plan["plants"]["x"]) == len(plan["spreads"]["metres"]) == 0


def test_one_file_has_no_plan_for_nobody_could_write_the_document():
    assert "Plan" in [each["name"] for each in readings("yard", one_file=False)]
    assert "Plan" not in [each["name"] for each in readings("yard", one_file=True)]
