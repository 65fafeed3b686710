"""Edits of small documents whose new text is known by hand."""

import tomllib
from pathlib import Path

import pytest

import scenes
from scenes.editing import ASKED, EDITS, edited
from scenes.layout import places_of

TOP = """# A lot of 20 x 10 ft
title = "t"
lengths = "ft"

[site]
boundary = [[0, 0], [20, 0], [20, 10], [0, 10]]

[ground]
points = [[0, 0, 5], [20, 0, 5], [20, 10, 5]]

[[surface]]
name = "path"
kind = "walk"
centreline = [[1, 1], [1, 5], [1, 9]]
width = 2
levels = [5, "60 in", 6]

[[bed]]
name = "b"
edge = [[4, 1], [12, 1], [12, 5], [4, 5], [4, 1]]   # written closed
corners = [0, 3]

[[bed]]
name = "c"
edge = [[4, 6], [9, 6], [9, 9], [4, 9]]

[[kept]]
plant = "Acer rubrum"
at = [16, 8]
height = 20
spread = 12

[[planting]]                # two
plant = "Ilex glabra"       # evergreen
size = "#5"
at = [
  [3, 4],                   # west
  ["60 in", 4.0],
]

[[planting]]                # a row
plant = "Ilex crenata"
size = "#3"
along = [[4, 8], [10, 8]]   # by the wall
spacing = "24 in"

[[planting]]
fill = "b"
spacing = 2
pattern = "square"
size = "#1"
mix = { "Carex morrowii" = 0.5, "Liriope muscari" = 0.5 }

[[view]]
name = "v"
square_to = [[0, 0], [20, 0]]
target = { from = [4, 9], to = [8, 9], low = 0, high = "72 in" }

[[head]]
name = "h"
at = [2, 2]
riser = "12 in"
throw = 8
"""

FT = 0.3048


@pytest.fixture
def yard(tmp_path: Path):
    path = tmp_path / "yard.toml"
    path.write_text(TOP, encoding="utf-8")
    return scenes.load(path)


def _lines(yard, **edit):
    """Lines that an edit takes out of the document, and puts in."""
    made = edited(TOP, yard, edit)
    old, new = TOP.splitlines(), made.text.splitlines()
    gone = [line for line in old if line not in new]
    come = [line for line in new if line not in old]
    return gone, come, made


def test_one_plant_moves_each_number_in_its_own_style(yard) -> None:
    gone, come, made = _lines(
        yard, do="move", of="planting[1]", plants=[1], by_m=[1 * FT, -0.5 * FT]
    )
    assert gone == ['  ["60 in", 4.0],']
    assert come == ['  ["72 in", 3.5],']
    assert made.words == "Moved Ilex glabra in planting 1 by 1.1 ft"
    assert made.notes == ()


def test_a_row_moves_as_a_row(yard) -> None:
    gone, come, made = _lines(yard, do="move", of="planting[2]", by_m=[0, 1 * FT])
    assert gone == ["along = [[4, 8], [10, 8]]   # by the wall"]
    assert come == ["along = [[4, 9], [10, 9]]   # by the wall"]
    assert made.words == "Moved all of planting 2 (Ilex crenata) by 1 ft"


def test_a_plant_of_a_row_turns_the_row_into_points(yard) -> None:
    """6 ft at 2 ft: plants at 5, 7 and 9 ft; the middle one a foot north."""
    gone, come, made = _lines(yard, do="move", of="planting[2]", plants=[1], by_m=[0, FT])
    assert gone == ["along = [[4, 8], [10, 8]]   # by the wall", 'spacing = "24 in"']
    assert come == ["at = [[5, 8], [7, 9], [9, 8]]   # by the wall"]
    assert made.notes == (
        "planting[2] was a row of 3; its plants now stand at points of their own",
    )


def test_a_plant_of_a_mixed_fill_leaves_every_other_in_its_place(yard) -> None:
    kinds, before_m = places_of(yard, "planting[3]")
    assert len(kinds) == 8  # 8 x 4 ft at 2 ft, in squares
    _, _, made = _lines(yard, do="move", of="planting[3]", plants=[2], by_m=[0.5 * FT, 0])
    raw = tomllib.loads(made.text)["planting"]
    assert [one["plant"] for one in raw[2:]] == ["Carex morrowii", "Liriope muscari"]
    after = [(one["plant"], *at) for one in raw[2:] for at in one["at"]]
    there = [(kind, *(at / FT).round(2)) for kind, at in zip(kinds, before_m, strict=True)]
    there[2] = (there[2][0], there[2][1] + 0.5, there[2][2])
    assert sorted(after) == sorted(there)
    assert "planting[3] is 2 tables now; later ones have higher numbers" in made.notes


def test_kept_plants_and_heads_move_by_their_point(yard) -> None:
    assert _lines(yard, do="move", of="kept[1]", plants=[0], by_m=[FT, 0])[1] == ["at = [17, 8]"]
    _, come, made = _lines(yard, do="move", of="head[1]", by_m=[0.25 * FT, 0])
    assert come == ["at = [2.25, 2]"]
    assert made.words == "Moved h by 0.25 ft"


def test_mirrored_copies_are_a_table_more(yard) -> None:
    """Across x = 10 ft: 3 becomes 17 and 5 becomes 15."""
    line_m = [[10 * FT, 0], [10 * FT, 1]]
    gone, come, _ = _lines(yard, do="mirror", of="planting[1]", line_m=line_m)
    assert gone == []
    assert come == ['at = [[17, 4], ["180 in", 4.0]]']
    gone, come, _ = _lines(yard, do="mirror", of="planting[2]", line_m=line_m, copies=False)
    assert come == ["along = [[16, 8], [10, 8]]   # by the wall"]


def test_a_row_copied_from_one_plant(yard) -> None:
    _, _, made = _lines(
        yard, do="copy_along", of="planting[3]", plant=7, spacing_m=FT,
        line_m=[[14 * FT, FT], [18 * FT, FT]],
    )  # fmt: skip
    assert tomllib.loads(made.text)["planting"][3] == {
        "plant": "Liriope muscari", "size": "#1", "along": [[14, 1], [18, 1]], "spacing": 1,
    }  # fmt: skip


def test_plantings_of_each_way_are_written(yard) -> None:
    def planted(**values):
        made = _lines(yard, do="plant", size="#5", **values)[2]
        return tomllib.loads(made.text)["planting"][3], made.words

    point = [14 * FT, 2 * FT]
    found = planted(plant="Ilex glabra", at_m=[point])
    assert found == ({"plant": "Ilex glabra", "size": "#5", "at": [[14, 2]]}, "Planted Ilex glabra")
    row = planted(plant="Ilex glabra", along_m=[point, [18 * FT, 2 * FT]], spacing_m=2 * FT)
    assert row[1] == "Planted 2 Ilex glabra in a row"
    row = row[0]
    assert (row["along"], row["spacing"]) == ([[14, 2], [18, 2]], 2)
    shares = {"Ilex glabra": 0.25, "Carex morrowii": 0.75}
    filled = planted(mix=shares, fill="c", spacing_m=FT, keep_off_m=0.5 * FT)[0]
    assert (filled["fill"], filled["mix"], filled["keep_off"]) == ("c", shares, 0.5)


def test_swapped_as_a_whole_and_in_part(yard) -> None:
    gone, come, _ = _lines(yard, do="swap", of="planting[2]", plant="Ilex opaca", size="#7")
    assert (gone, come) == (['plant = "Ilex crenata"', 'size = "#3"'],
                            ['plant = "Ilex opaca"', 'size = "#7"'])  # fmt: skip
    _, _, made = _lines(yard, do="swap", of="planting[1]", plants=[0], plant="Ilex opaca")
    found = tomllib.loads(made.text)["planting"]
    assert [(one["plant"], one.get("at")) for one in found[:2]] == [
        ("Ilex glabra", [["60 in", 4.0]]), ("Ilex opaca", [[3, 4]]),
    ]  # fmt: skip
    _, come, _ = _lines(
        yard, do="swap", of="planting[3]", plant="Ilex opaca", instead_of="Carex morrowii"
    )
    assert come == ['mix = { "Ilex opaca" = 0.5, "Liriope muscari" = 0.5 }']


def test_clipped_and_left_to_grow(yard) -> None:
    gone, come, made = _lines(yard, do="clip", of="planting[2]", height_m=4 * FT)
    assert (gone, come) == ([], ["kept_at = { height = 4 }"])
    assert made.words == "Clipped all of planting 2 (Ilex crenata) to 4 ft high"
    again = edited(made.text, yard, {"do": "clip", "of": "planting[2]"})
    assert again.text == TOP
    assert again.words == "Left all of planting 2 (Ilex crenata) to grow"


def test_plants_and_tables_are_taken_out(yard) -> None:
    assert _lines(yard, do="remove", of="planting[1]", plants=[0])[:2] == (
        ["  [3, 4],                   # west"], [],
    )  # fmt: skip
    made = _lines(yard, do="remove", of="planting[1]", plants=[0, 1])[2]
    assert made.text == _lines(yard, do="remove", of="planting[1]")[2].text
    start, end = (
        TOP.index("[[planting]]                # two"),
        TOP.index("[[planting]]      " + " " * 10 + "# a row"),
    )
    assert made.text == TOP[:start] + TOP[end:]
    assert _lines(yard, do="remove", of="planting[2]", plants=[2])[1] == [
        "at = [[5, 8], [7, 8]]   # by the wall"
    ]


def test_points_of_beds_move_with_the_end_that_repeats_them(yard) -> None:
    _, come, made = _lines(yard, do="move_points", of="bed[1]", points=[0], by_m=[-FT, 0])
    assert come == ["edge = [[3, 1], [12, 1], [12, 5], [4, 5], [3, 1]]   # written closed"]
    assert made.words == "Moved point 0 of b by 1 ft"


def test_a_point_more_or_less_shifts_the_corners(yard) -> None:
    _, come, _ = _lines(yard, do="add_point", of="bed[1]", after=0, at_m=[8 * FT, 0.5 * FT])
    assert come == [
        "edge = [[4, 1], [8, 0.5], [12, 1], [12, 5], [4, 5], [4, 1]]   # written closed",
        "corners = [0, 4]",
    ]
    _, come, _ = _lines(yard, do="remove_point", of="bed[1]", point=0)
    assert come == [
        "edge = [[12, 1], [12, 5], [4, 5], [12, 1]]   # written closed", "corners = [2]",
    ]  # fmt: skip


def test_a_point_of_a_graded_line_brings_its_level(yard) -> None:
    """Half way from 60 in (5 ft) to 6 ft is 66 in, in the style of the one before."""
    _, come, _ = _lines(yard, do="add_point", of="surface[1]", after=1, at_m=[FT, 7 * FT])
    assert come == [
        "centreline = [[1, 1], [1, 5], [1, 7], [1, 9]]", 'levels = [5, "60 in", "66 in", 6]',
    ]  # fmt: skip
    _, come, _ = _lines(yard, do="remove_point", of="surface[1]", point=0)
    assert come == ["centreline = [[1, 5], [1, 9]]", 'levels = ["60 in", 6]']


def test_views_and_heads(yard) -> None:
    _, come, made = _lines(
        yard, do="look", of="view[1]", eye_m=[4 * FT, 0.5 * FT], eye_height_m=5 * FT,
        target={"from_m": [4 * FT, 9 * FT], "to_m": [9 * FT, 9 * FT], "high_m": 7 * FT},
    )  # fmt: skip
    assert come == [
        "eye = [4, 0.5]", 'target = { from = [4, 9], to = [9, 9], low = 0, high = "84 in" }',
        "eye_height = 5",
    ]  # fmt: skip
    assert made.words == "Changed eye and eye height and target of the view v"
    _, come, _ = _lines(
        yard, do="spray", of="head[1]", throw_m=10 * FT, riser_m=0.5 * FT, arc_deg=[0, 90]
    )
    assert come == ['riser = "6 in"', "throw = 10", "arc = [0, 90]"]


def test_several_edits_are_one_and_no_number_shifts_before_its_turn(yard) -> None:
    edits = [
        {"do": "remove", "of": "planting[1]"},
        {"do": "move", "of": "planting[2]", "by_m": [0, FT]},
        {"do": "move", "of": "kept[1]", "by_m": [0, -FT]},
    ]
    made = edited(TOP, yard, {"do": "together", "edits": edits})
    raw = tomllib.loads(made.text)
    assert raw["planting"][0]["along"] == [[4, 9], [10, 9]]
    assert raw["kept"][0]["at"] == [16, 7]
    assert made.words == "Removed all of planting 1 (Ilex glabra), and 2 more changes"


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        ({"do": "mve"}, r'edit.do: "mve" is not an edit; did you mean "move"'),
        ({}, "edit.do: None is not an edit; known are move, mirror"),
        ({"do": "move", "of": "planting[1]"}, "edit.by_m: is missing"),
        ({"do": "move", "of": "planting[1]", "by_m": [1, "x"]}, r'by_m\[2\]: "x" does not fit'),
        ({"do": "move", "of": "planting[1]", "by_m": [1e9, 0]}, "less than or equal to 10000"),
        ({"do": "move", "of": "planting[1]", "by_m": [0, 0], "up": 1}, "edit.up: is not known"),
        ({"do": "move", "of": "planting[1]", "by_m": [0.001, 0]}, "changes nothing"),
        ({"do": "move", "of": "planting[9]", "by_m": [1, 0]}, r"planting\[9\]: is not there"),
        ({"do": "move", "of": "bed[1]", "by_m": [1, 0]}, "has no points of its own"),
        ({"do": "move", "of": "planting[3]", "by_m": [1, 0]}, "move those of its bed"),
        ({"do": "move", "of": "planting[1]", "plants": [2], "by_m": [1, 0]}, "numbered 0 to 1"),
        (
            {"do": "move", "of": "planting[1]", "plants": [0], "by_m": [-5, 0]},
            r"planting\[1\].at\[1\]: \(-13.4, 4.0\) lies outside the boundary; move it inside",
        ),
        ({"do": "mirror", "of": "kept[1]", "line_m": [[0, 0], [1, 0]]}, "is not planted"),
        ({"do": "mirror", "of": "planting[1]", "line_m": [[1, 1], [1, 1 + 1e-9]]}, "has no length"),
        ({"do": "swap", "of": "planting[1]"}, "neither plant nor size is given"),
        ({"do": "swap", "of": "planting[3]", "plant": "Ilex opaca"}, "is a mix; name the plant"),
        ({"do": "remove", "of": "site"}, "is no table of many"),
        ({"do": "remove", "of": "bed[1]"}, r'planting\[3\].fill: "b" is not a bed'),
        ({"do": "move_points", "of": "bed[1]", "points": [4], "by_m": [1, 0]}, "numbered 0 to 3"),
        (
            {"do": "move_points", "of": "bed[1]", "points": [0], "by_m": [3, 1]},
            r"bed\[1\].edge: crosses or touches itself",
        ),
        ({"do": "look", "of": "bed[1]"}, 'is no view; write a place like "view'),
        ({"do": "plant", "plant": "Ilex glabra", "size": "#5"}, "none of at, along, fill"),
        (
            {"do": "together", "edits": [{"do": "remove", "of": "head[1]"}] * 2},
            r"head\[1\] is named twice",
        ),
        ({"do": "together", "edits": [{"do": "together", "edits": []}]}, "is not an edit"),
    ],
)  # fmt: skip
def test_edits_that_are_refused_say_why(yard, edit, said) -> None:
    with pytest.raises(scenes.SceneError, match=said):
        edited(TOP, yard, edit)


def test_every_edit_refuses_a_table_written_on_one_line(tmp_path) -> None:
    """Such a document is a good yard, but it has no text of a table to change."""
    start, end = TOP.index("[[head]]"), len(TOP)
    line = 'head = [{ name = "h", at = [2, 2], riser = "12 in", throw = 8 }]\n'
    text = TOP[:start].replace('lengths = "ft"\n', f'lengths = "ft"\n{line}') + TOP[end:]
    path = tmp_path / "yard.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(scenes.SceneError, match=r"write it under a line \[\[head\]\] of its own"):
        edited(text, scenes.load(path), {"do": "move", "of": "head[1]", "by_m": [1, 0]})


@pytest.mark.parametrize("do", EDITS)
def test_every_edit_is_a_record_that_knows_its_keys(do) -> None:
    assert ASKED[do].__doc__
    assert ASKED[do].model_config["extra"] == "forbid"


WALK = "square_to = [[0, 0], [20, 0]]", 'eye = [[1, 1], ["60 in", 1], [9, 1]]'


def test_one_eye_of_a_walk_moves(tmp_path) -> None:
    text = TOP.replace(*WALK)
    path = tmp_path / "yard.toml"
    path.write_text(text, encoding="utf-8")
    asked = {"do": "look", "of": "view[1]", "eye_m": [6 * FT, 2 * FT]}
    made = edited(text, scenes.load(path), {**asked, "eye": 1})
    assert made.text == text.replace('["60 in", 1]', '["72 in", 2]')
    with pytest.raises(scenes.SceneError, match="is a walk; name the eye that moves, 0 to 2"):
        edited(text, scenes.load(path), asked)


def test_a_view_looks_square_at_another_line(yard) -> None:
    line_m = [[FT, 0], [9 * FT, 0]]
    gone, come, made = _lines(yard, do="look", of="view[1]", square_to_m=line_m)
    assert (gone, come) == (["square_to = [[0, 0], [20, 0]]"], ["square_to = [[1, 0], [9, 0]]"])
    assert made.words == "Changed line of the view v"
