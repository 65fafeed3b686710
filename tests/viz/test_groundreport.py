"""The ground's words: units by the document, the worst first, text from the document escaped."""

import json
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

import scenes
from scenes.groundwork import groundwork
from viz.__main__ import main
from viz.groundreport import print_ground, tree_text, what_matters
from viz.units import depth_text, height_text, length_text, volume_text

LIBRARY = Path(scenes.__file__).parent / "library"
SMALL = LIBRARY.parents[1] / "tests" / "scenes" / "yards" / "small.toml"
PIT = """
title = "Pit [red]"
lengths = "m"
[site]
boundary = [[0, 0], [20, 0], [20, 20], [0, 20]]
[ground]
points = [[-9, -9, 9.6], [29, -9, 9.6], [29, 29, 11.4], [-9, 29, 11.4]]
cell = 0.25
[[grading]]
name = "pit"
do = "pad"
outline = [[8, 12], [12, 12], [12, 14], [8, 14]]
level = 10.1
batter = 0
[[structure]]
name = "[bold]house"
kind = "house"
outline = [[6, 6], [14, 6], [14, 12], [6, 12]]
floor = 11
eave = 2.5
ridge = 4
"""


@pytest.fixture
def pit(tmp_path):
    path = tmp_path / "pit.toml"
    path.write_text(PIT)
    return path


def report(path):
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    ground = groundwork(yard, terrain, scenes.lay_out(yard, terrain))
    out = StringIO()
    print_ground(Console(file=out, width=100), ground, lengths=yard.lengths)
    return out.getvalue(), list(what_matters(ground, lengths=yard.lengths))


@pytest.mark.parametrize(
    ("text", "metres", "feet"),
    [(depth_text, "5.1 cm", "2.0 in"), (length_text, "0.05 m", "0.2 ft")],
)
def test_lengths_in_the_document_s_kind_of_unit(text, metres, feet):
    assert text(0.0508, lengths="m") == metres
    assert text(0.0508, lengths="ft") == feet


def test_the_height_of_an_eye_far_above_is_told_whole():
    """61 m are 200.1 ft."""
    assert height_text(61.0, lengths="ft") == "200 ft"
    assert height_text(61.4, lengths="m") == "61 m"
    assert height_text(1.5, lengths="m") == "1.50 m"


def test_volumes_to_three_figures():
    """A cubic yard is 0.7646 cubic metres."""
    assert volume_text(0.764555, lengths="ft") == "1.00 CY"
    assert volume_text(764.555, lengths="ft") == "1,000 CY"
    assert volume_text(12.345, lengths="m") == "12.3 m³"


def test_water_at_the_house_comes_first_and_text_stays_text(pit):
    printed, lines = report(pit)
    assert lines[0].startswith("Water stands against [bold]house, at (")
    assert "fall from the house" in lines[1]
    assert lines[-1].startswith("Earth: ")
    assert "Pit [red]: the ground" in printed
    assert "Water stands against [bold]house" in printed


@pytest.mark.parametrize("name", ["terrace.toml", "clinic.toml", "school.toml"])
def test_library_yards_print_every_table_they_have(name):
    printed, _ = report(LIBRARY / name)
    for heading in ("Falls:", "Quantities", "Before you rely on this"):
        assert heading in printed
    graded = bool(scenes.load(LIBRARY / name).grading)
    assert ("Earth, as" in printed) == graded


def test_the_command_prints_json_and_nothing_else(capsys):
    assert main(["ground", str(LIBRARY / "terrace.toml"), "--json", "--rain", "2 in/h"]) == 0
    written = json.loads(capsys.readouterr().out)
    assert written["peaks"][0]["litres_per_s"] > 0


@pytest.mark.parametrize("rain", ["2in", "2 in/s", "fast/h", "2/h", "-1 in/h", "9 m/h", "nan in/h"])
def test_a_rain_that_is_none_is_told(rain, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["ground", "x.toml", f"--rain={rain}"])
    assert stopped.value.code == 2
    assert "--rain" in capsys.readouterr().err


def test_a_wrong_document_is_one_line(tmp_path, capsys):
    assert main(["ground", str(tmp_path / "none.toml")]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_ground_that_falls_towards_a_house_is_told_as_that(tmp_path):
    """The plane rises 1.8 m in 38 m northwards, 4.7 %: so much it falls towards the north wall."""
    path = tmp_path / "slope.toml"
    path.write_text(PIT[: PIT.index("[[grading]]")] + PIT[PIT.index("[[structure]]") :])
    printed, lines = report(path)
    (told,) = [line for line in lines if "fall from the house" in line]
    assert "-4.7 %, towards it, at" in told
    assert lines[-1] == "Earth: none is cut or filled."
    assert "Earth, as" not in printed


def test_level_ground_has_no_sign(tmp_path):
    path = tmp_path / "level.toml"
    level = PIT.replace("9.6]", "10.4]").replace("11.4]", "10.4]")
    path.write_text(level[: level.index("[[grading]]")] + level[level.index("[[structure]]") :])
    (told,) = [line for line in report(path)[1] if "fall from the house" in line]
    assert "fall from the house, 0.0 % at" in told


def test_trees_without_a_name_are_told_by_their_places(tmp_path):
    """Two maples of one kind, one with a name: places are those of the document, in feet."""
    text = SMALL.read_text(encoding="utf-8")
    kept = text[text.index("[[kept]]") : text.index("[[planting]]")]
    named = kept.replace("[2.5, 7.5]", "[4, 8]").replace("[[kept]]", '[[kept]]\nname = "old maple"')
    path = tmp_path / "yard.toml"
    path.write_text(text.replace(kept, kept + named), encoding="utf-8")
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    zones = scenes.lay_out(yard, terrain).root_zones
    assert [tree_text(zone, lengths="m") for zone in zones] == [
        "Acer rubrum at (2.5, 7.5)", "old maple",
    ]  # fmt: skip


def test_a_plant_that_is_not_known_is_refused_as_by_check(tmp_path, capsys):
    """Its quantities would be ordered."""
    text = SMALL.read_text(encoding="utf-8").replace("Carex morrowii", "Carex morowii")
    path = tmp_path / "yard.toml"
    path.write_text(text, encoding="utf-8")
    (tmp_path / "small-survey.csv").write_bytes(SMALL.with_name("small-survey.csv").read_bytes())
    told = []
    for command in ("ground", "check"):
        assert main([command, str(path)]) == 2
        told.append(capsys.readouterr().err)
    assert told[0] == told[1]
    assert told[0].startswith('yard.toml: planting[3].plant: "Carex morowii" is not a known plant')
