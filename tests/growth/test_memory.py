"""Remembered parts: an edited yard gives the same findings as one that was never seen before."""

import json
import shutil
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

import numpy as np
import pytest

import growth
import scenes
from growth.checks.record import as_json
from growth.memory import Memory, digest, tokens
from scenes.desk import Desk
from scenes.document import Yard

LIBRARY = Path(__file__).parents[2] / "scenes" / "library"


def moved(yard, table, by_m):
    """The yard with the first point of a planting table moved: a plant, or the end of a row."""
    planting = list(yard.planting)
    of = "at" if planting[table].at else "along"
    (x, y), *others = getattr(planting[table], of)
    points = ((x + by_m[0], y + by_m[1]), *others)
    planting[table] = planting[table].model_copy(update={of: points})
    return yard.model_copy(update={"planting": tuple(planting)})


def found(yard, memory=None, *, light=True):
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    checked = growth.check(yard, terrain, layout, stand, light=light, memory=memory)
    return json.dumps(as_json(checked))


@pytest.mark.parametrize(
    ("name", "edits"), [("terrace", [(3,), (4,)]), ("clinic", [(3, 6)]), ("school", [(0, 1)])]
)
def test_a_moved_plant_is_checked_as_from_scratch(name, edits):
    """Edits by the tables in which something is moved, one table after another."""
    yard = scenes.load(LIBRARY / f"{name}.toml")
    memory = Memory()
    before = found(yard, memory)
    told = [before]
    for tables in edits:
        edited = yard
        for table in tables:
            edited = moved(edited, table, (0.3, -0.2))
            told.append(found(edited, memory))
            assert told[-1] not in told[:-1]
        assert told[-1] == found(edited)
    assert found(yard, memory) == before


EDITS = (
    {"do": "move", "of": "planting[6]", "plants": [1], "by_m": [0.2, -0.4]},  # beside a spray head
    {"do": "move", "of": "planting[1]", "plants": [5], "by_m": [0.3, -0.5]},  # out of the hedge
    {"do": "move", "of": "planting[5]", "plants": [0], "by_m": [0.5, 0.2]},  # a tree, over a bed
    {"do": "move", "of": "planting[9]", "plants": [3], "by_m": [0.2, 0.1]},  # out of a filled bed
    {"do": "remove", "of": "planting[7]", "plants": [0]},
    {"do": "move", "of": "kept[1]", "plants": [0], "by_m": [0.4, 0.0]},
)


def test_plant_after_plant_is_checked_as_from_scratch(tmp_path):
    """Of the demo yard, with its spray heads and what if one plant fails."""
    for file in LIBRARY.glob("terrace*.*"):
        shutil.copy(file, tmp_path)
    desk, memory = Desk(tmp_path / "terrace.toml"), Memory()
    told = [found(desk.yard, memory, light=False)]
    for edit in EDITS:
        assert desk.apply(edit).done
        told.append(found(desk.yard, memory, light=False))
        assert told[-1] == found(desk.yard, light=False)
        assert told[-1] != told[-2]


KINDS = (("Acer rubrum", "2 in cal", 3), ("Ilex crenata", "#5", 9), ("Carex morrowii", "#1", 28))


def crowded_yard(places):
    """Trees, shrubs and sedges at places (40, 2) round a house, over two beds and in a view."""
    parts = np.split(places, np.cumsum([count for *_, count in KINDS])[:-1])
    return Yard.model_validate(
        {
            "title": "Crowded", "lengths": "m",
            "site": {"boundary": [[0, 0], [12, 0], [12, 9], [0, 9]], "latitude_deg": 42.0},
            "ground": {"points": [[0, 0, 0], [12, 0, 0.5], [12, 9, 0.5], [0, 9, 0]], "cell": 1.0},
            "bed": [{"name": "long", "edge": [[0.5, 0.5], [7, 0.5], [7, 3], [0.5, 3]]},
                    {"name": "round", "edge": [[8, 5], [11.5, 5.2], [10.5, 8.5], [8.3, 8]]}],
            "structure": [{"name": "house", "kind": "house", "floor": 0.3, "eave": 3, "ridge": 5,
                           "outline": [[1, 5], [6, 5], [6, 8.5], [1, 8.5]]}],
            "view": [{"name": "out", "eye": [6.5, 6], "eye_height": 1.6,
                      "target": {"from": [7, 0.2], "to": [11.5, 0.2], "low": 0, "high": 3}}],
            "planting": [{"plant": name, "size": size, "at": at.tolist()}
                         for (name, size, _), at in zip(KINDS, parts, strict=True)],
            "requirement": [{"name": "closed", "check": "coverage", "of": "lot", "year": 5,
                             "at_least": 0.9}],
        },
        context={"unit": "m", "survey_unit": "m"},
    )  # fmt: skip


def bits(thing):
    """All that a record says, its numbers to the last bit."""
    if is_dataclass(thing):
        return [bits(getattr(thing, field.name)) for field in fields(thing)]
    if isinstance(thing, Mapping):
        return [(key, bits(value)) for key, value in thing.items()]
    if isinstance(thing, np.ndarray):
        return thing.shape, thing.dtype.str, thing.tobytes()
    return [bits(one) for one in thing] if isinstance(thing, list | tuple) else repr(thing)


def everything(yard, memory=None):
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return growth.check(yard, terrain, layout, growth.grow(yard, layout), memory=memory)


def test_random_moves_give_every_number_to_the_last_bit():
    """Trees, shrubs and sedges, near and far, one after the other and two at a time."""
    rng, memory = np.random.default_rng(11), Memory()
    places = rng.uniform([0.5, 0.5], [11.5, 4.8], (40, 2)).round(3)
    everything(crowded_yard(places), memory)
    for plants in ([0], [5], [20], [21], [7, 30], [2], [39], []):
        places[plants] = rng.uniform([0.5, 0.5], [11.5, 4.8], (len(plants), 2)).round(3)
        yard = crowded_yard(places)
        kept, anew = everything(yard, memory), everything(yard)
        for field in fields(anew):
            assert bits(getattr(kept, field.name)) == bits(getattr(anew, field.name)), field.name


def test_only_what_is_missing_is_made_and_the_round_before_last_is_forgotten():
    memory, made = Memory(), []

    def make(numbers):
        made.append(numbers)
        return [10 * number for number in numbers]

    assert memory.each([("a",), ("b",)], make) == [0, 10]
    memory.next_round()
    assert memory.each([("b",), ("c",)], make) == [10, 10]
    assert made == [[0, 1], [1]]
    memory.next_round()
    memory.each([("a",)], make)
    assert made[-1] == [0]


def test_what_a_whole_was_made_of_is_kept_with_it():
    memory, made = Memory(), []

    def part(name):
        return memory.of((name,), lambda: made.append(name) or name)

    def whole(name):
        return memory.whole((name,), lambda: part("a") + part("b"))

    assert whole("first") == "ab"
    for _ in range(3):
        memory.next_round()
        assert whole("first") == "ab"
    assert made == ["a", "b"]
    memory.next_round()
    assert whole("second") == "ab"  # another whole of the same parts
    assert made == ["a", "b"]
    memory.next_round()
    memory.next_round()
    assert whole("second") == "ab"
    assert made == ["a", "b", "a", "b"]


def test_arrays_that_differ_anywhere_have_another_name():
    array = np.arange(12.0).reshape(3, 4)
    other = array.copy()
    other[2, 3] = np.nextafter(other[2, 3], 99)
    assert digest(array) == digest(array.copy())
    assert len({digest(array), digest(other), digest(array.T), digest(array.ravel())}) == 4


def test_a_token_changes_with_any_bit_of_its_thing_and_with_no_other_thing():
    sizes, places = np.random.default_rng(3).random((2, 40, 5))
    before = tokens(b"oak", sizes, places)
    assert len(set(before)) == 40
    for array in (sizes, places):
        array[7, 4] = np.nextafter(array[7, 4], 99)
        after = tokens(b"oak", sizes, places)
        assert np.flatnonzero(after != before).tolist() == [7]
        before = after
    assert not np.isin(tokens(b"ash", sizes, places), before).any()
    assert (tokens(b"oak", sizes[::-1], places[::-1]) == before[::-1]).all()
    assert len(tokens(b"oak", sizes[:0])) == 0


def test_rows_are_found_by_their_marks_in_any_order():
    memory, made = Memory(), []

    def make(numbers):
        made.append(numbers.tolist())
        return np.column_stack([numbers, numbers]).astype(np.float32) + len(made) * 100

    marks = np.array([7, 3, 5], np.uint64)
    assert memory.rows("a", marks, make)[:, 0].tolist() == [100, 101, 102]
    memory.next_round()
    again = memory.rows("a", np.array([5, 9, 7], np.uint64), make)
    assert again[:, 0].tolist() == [102, 201, 100]
    assert made == [[0, 1, 2], [1]]
    memory.next_round()
    assert memory.rows("a", marks[:0], make).shape == (0, 2)


def test_rows_kept_beside_are_not_made_again():
    memory, made = Memory(), []

    def make(numbers):
        made.append(numbers.tolist())
        return np.full((len(numbers), 1), len(made), np.float32)

    def rows(part, *marks, beside=""):
        return memory.rows(part, np.array(marks, np.uint64), make, beside=beside)[:, 0].tolist()

    assert rows("all", 1, 2, 3) == [1, 1, 1]
    assert rows("less", 3, 9, 1, beside="all") == [1, 2, 1]
    assert rows("less", 9, 8, beside="all") == [2, 3]  # of one round all are kept
    memory.next_round()
    assert rows("less", 2, 8, 9, beside="all") == [1, 3, 2]
    assert rows("all", 1, 2, 3) == [1, 1, 1]
    assert made == [[0, 1, 2], [1], [1], [], []]
    memory.next_round()
    memory.next_round()
    assert rows("less", 9, beside="all") == [6]
