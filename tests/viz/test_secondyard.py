"""Two yards side by side: which may be, and which rows of figures belong together."""

import tomllib
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import tomlkit

import scenes
from growth.ranges import Range
from scenes.errors import SceneError
from viz.__main__ import main
from viz.rows import Course, Row
from viz.secondyard import check_levels, check_lots, paired

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
FILES = (Path("a.toml"), Path("b.toml"))


@pytest.fixture
def yard():
    return scenes.load(SMALL)


def with_lot(yard, boundary):
    site = yard.site.model_copy(update={"boundary": boundary})
    return yard.model_copy(update={"site": site})


def test_the_same_lot_and_a_slightly_other_one_may_stand_side_by_side(yard):
    check_lots(yard, yard, files=FILES)
    nearly = [[0, 0], [12, 0], [12, 9], [0, 9]]  # 108 of 120 m2 in common
    check_lots(yard, with_lot(yard, nearly), files=FILES)


def test_unlike_lots_are_refused_with_what_they_share(yard):
    """Of 12 x 10 m the lot moved 6 m has 60 m2 of 180 in common."""
    moved = with_lot(yard, [[6, 0], [18, 0], [18, 10], [6, 10]])
    with pytest.raises(SceneError, match=r"^b\.toml: site\.boundary: has 33 % .* a\.toml; .* one"):
        check_lots(yard, moved, files=FILES)


def at_level(yard, level_m):
    ground = SimpleNamespace(points=np.array([[0, 0, level_m - 1], [1, 0, level_m], [2, 0, 90.0]]))
    return SimpleNamespace(yard=yard, stage=SimpleNamespace(ground=ground))


@pytest.mark.parametrize(("lengths", "told"), [("m", "6.00 m"), ("ft", "19.7 ft")])
def test_grounds_far_above_each_other_are_refused_in_the_documents_unit(yard, lengths, told):
    """6 m are 19.69 ft."""
    low, near = at_level(yard, 10.0), at_level(yard, 14.0)
    check_levels(low, near, files=FILES)
    high = at_level(yard.model_copy(update={"lengths": lengths}), 16.0)
    with pytest.raises(
        SceneError, match=rf"^b\.toml: ground: lies {told} above .* a\.toml; .* zero"
    ):
        check_levels(low, high, files=FILES)
    with pytest.raises(SceneError, match="below the ground of"):
        check_levels(high, low, files=FILES)


def test_more_than_two_yards_are_one_line(capsys):
    for command in (["show"], ["pack", "--out", "never.html"]):
        assert main([*command, str(SMALL), str(SMALL), str(SMALL)]) == 2
        (line,) = capsys.readouterr().err.splitlines()
        assert line.startswith("3 yards cannot be shown together; ")
    assert not Path("never.html").exists()


def test_the_command_refuses_unlike_lots_before_any_work(tmp_path, capsys):
    document = tomllib.loads(SMALL.read_text(encoding="utf-8"))
    other = {"title": "Elsewhere", "lengths": "m", "site": dict(document["site"])}
    other["site"]["boundary"] = [[100, 0], [112, 0], [112, 10], [100, 10]]
    corners = [[100, 0, 10], [112, 0, 10], [112, 10, 10], [100, 10, 10]]
    other["ground"] = {"points": corners, "cell": 0.5}
    file = tmp_path / "elsewhere.toml"
    file.write_text(tomlkit.dumps(other), encoding="utf-8")
    assert main(["show", str(SMALL), str(file), "--no-browser"]) == 2
    told = capsys.readouterr().err.splitlines()[-1]
    assert "elsewhere.toml: site.boundary: has 0 % of its ground in common" in told


def course(season: str, share: float) -> Course:
    level = np.full(31, share)
    return Course(season, Range(low=level, expected=level, high=level), season)


def test_rows_are_paired_by_name_and_season():
    mine = (
        Row("Bed covered", "", 1.0, (course("leaf", 0.1),), ()),
        Row("From the lane", "", 1.0, (course("leaf", 0.2), course("bare", 0.3)), ()),
        Row("Only here", "", 1.0, (course("leaf", 0.4),), ()),
    )
    theirs = (
        Row("From the lane", "", 1.0, (course("leaf", 0.6), course("bare", 0.7)), ()),
        Row("Only there", "", 1.0, (course("leaf", 0.8),), ()),
        Row("Bed covered", "", 1.0, (course("leaf", 0.5),), ()),
    )
    found = paired(mine, theirs)
    expected = {key: each["expected"][0] for key, each in found.items()}
    assert expected == {"value-0-leaf": 0.5, "value-1-leaf": 0.6, "value-1-bare": 0.7}


def test_one_course_of_both_seasons_stands_beside_each():
    mine = (Row("Lane", "", 1.0, (course("leaf", 0.2), course("bare", 0.3)), ()),)
    theirs = (Row("Lane", "", 1.0, (course("leaf", 0.6),), ()),)
    found = paired(mine, theirs)
    assert [each["expected"][0] for each in found.values()] == [0.6, 0.6]
