"""Laws of edits by hand: whatever is done, undoing all gives the first bytes back."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import scenes
from scenes.desk import Desk
from scenes.editing import edited
from scenes.layout import places_of
from scenes.merging import Merged, merged

LIBRARY = Path(scenes.__path__[0]) / "library"
YARDS = sorted(path.stem for path in LIBRARY.glob("*.toml"))

ways_m = st.tuples(st.floats(-2, 2), st.floats(-2, 2)).map(list)
points_m = st.tuples(st.floats(0, 16), st.floats(0, 26)).map(list)
plants = st.none() | st.lists(st.integers(0, 6), min_size=1, max_size=3)
plantings = st.integers(1, 12).map(lambda n: f"planting[{n}]")
beds = st.integers(1, 4).map(lambda n: f"bed[{n}]")
drawn = beds | st.integers(1, 4).map(lambda n: f"surface[{n}]")
names = st.sampled_from(["Ilex glabra", "Thuja occidentalis 'Smaragd'", 'Ilex "Quoted"'])
numbers = st.integers(0, 7)


def _edit(do, **keys):
    return st.fixed_dictionaries({"do": st.just(do), **keys})


EDITS = st.one_of(
    _edit("move", of=plantings | st.sampled_from(["kept[1]", "head[1]"]), plants=plants,
          by_m=ways_m),
    _edit("mirror", of=plantings, plants=plants, line_m=st.tuples(points_m, points_m),
          copies=st.booleans()),
    _edit("copy_along", of=plantings, plant=numbers, line_m=st.tuples(points_m, points_m),
          spacing_m=st.floats(0.5, 3)),
    _edit("plant", plant=names, size=st.just("#5"),
          at_m=st.lists(points_m, min_size=1, max_size=4)),
    _edit("swap", of=plantings, plants=plants, plant=names, size=st.just("#3")),
    _edit("clip", of=plantings, plants=plants, height_m=st.none() | st.floats(0.5, 4)),
    _edit("remove", of=plantings | beds | st.just("view[1]"), plants=plants),
    _edit("move_points", of=drawn, points=st.lists(numbers, min_size=1, max_size=3), by_m=ways_m),
    _edit("add_point", of=drawn, after=numbers, at_m=points_m),
    _edit("remove_point", of=drawn, point=numbers),
    _edit("look", of=st.just("view[1]"), eye_m=points_m, eye_height_m=st.floats(0.5, 3)),
    _edit("spray", of=st.just("head[1]"), throw_m=st.floats(1, 5), riser_m=st.floats(0.1, 1)),
)  # fmt: skip
STEPS = st.lists(EDITS | st.sampled_from(["undo", "redo"]), min_size=1, max_size=12)


@pytest.mark.parametrize("yard", YARDS)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(steps=STEPS)
def test_undoing_all_gives_the_first_bytes_back(tmp_path_factory, yard, steps) -> None:
    folder = tmp_path_factory.mktemp("law")
    for file in LIBRARY.glob(f"{yard}*.[tc]*"):
        shutil.copy(file, folder)
    path = folder / f"{yard}.toml"
    first = path.read_bytes()
    desk = Desk(path)
    for step in steps:
        before = path.read_bytes()
        outcome = getattr(desk, step)() if isinstance(step, str) else desk.apply(step)
        if not outcome.done:
            assert outcome.question is None
            assert path.read_bytes() == before
        assert scenes.load(path) == desk.yard
    while desk.undo_words is not None:
        assert desk.undo().done
    assert path.read_bytes() == first


@pytest.mark.parametrize("yard", YARDS)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(number=st.integers(1, 12), plant=st.integers(0, 60), by_m=ways_m)
def test_moving_one_plant_moves_no_other(yard, number, plant, by_m) -> None:
    """Nor makes any of another kind: whatever the table was, row, fill or mix."""
    path = LIBRARY / f"{yard}.toml"
    before, of = scenes.load(path), f"planting[{number}]"
    try:
        made = edited(
            path.read_text(encoding="utf-8"), before,
            {"do": "move", "of": of, "plants": [plant], "by_m": by_m},
        )  # fmt: skip
    except scenes.SceneError:
        return
    copy = scenes.reading.checked(path, made.text)
    kinds, xy_m = places_of(before, of)
    xy_m[plant] += by_m
    tables = len(copy.planting) - len(before.planting) + 1
    after = [places_of(copy, f"planting[{number + k}]") for k in range(tables)]
    assert sorted(kinds) == sorted(kind for one, _ in after for kind in one)
    there_m = np.concatenate([there for _, there in after])
    found = {kind: [] for kind in kinds}
    for one, there in after:
        for kind, at in zip(one, there, strict=True):
            found[kind].append(at)
    for kind, at in zip(kinds, xy_m, strict=True):
        apart_m = np.hypot(*(np.array(found[kind]) - at).T)
        assert apart_m.min() < 0.012  # half a step of 0.05 ft each way, on the diagonal
    assert len(there_m) == len(xy_m)


small_m = st.tuples(st.sampled_from([-0.15, 0.15]), st.sampled_from([-0.15, 0.15])).map(list)


def _quiet_edits(yard):
    """Edits of a yard that nearly always fit, and put in or take out no table."""
    at_points = [f"planting[{n}]" for n, one in enumerate(yard.planting, 1) if one.at or one.along]
    fills = [f"planting[{n}]" for n, one in enumerate(yard.planting, 1) if one.fill]
    edges = [f"bed[{n}]" for n in range(1, len(yard.bed) + 1)]
    of = st.sampled_from
    return st.one_of(
        _edit("move", of=of(at_points), by_m=small_m),
        _edit("clip", of=of(at_points + fills), height_m=st.floats(0.5, 4)),
        _edit("swap", of=of(at_points), size=st.sampled_from(["#3", "#7", "#15"])),
        _edit("move_points", of=of(edges), points=st.just([2]), by_m=small_m),
        _edit("look", of=st.just("view[1]"), eye_height_m=st.floats(0.5, 3)),
    )


@pytest.mark.parametrize("yard", YARDS)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_edits_of_two_tables_merge_to_one_after_the_other(yard, data) -> None:
    path = LIBRARY / f"{yard}.toml"
    before, text = scenes.load(path), path.read_text(encoding="utf-8")
    mine, theirs = (data.draw(_quiet_edits(before)) for _ in range(2))
    try:
        one, other = (edited(text, before, edit).text for edit in (mine, theirs))
        both = edited(other, scenes.reading.checked(path, other), mine).text
    except scenes.SceneError:
        assume(False)
    assume(mine["of"] != theirs["of"])
    assert merged(text, one, other) == Merged(both)
    assert merged(text, other, one) == Merged(both)
