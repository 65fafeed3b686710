"""Whole yards of 500, 5,000 and 50,000 plants at one density: all checks, and after one edit.

The yard is invented: in each hundred plants 3 trees, 22 shrubs and 75 sedges at random places,
0.9 square metres each, on a slope with a house, a bed over half of it and three views. With 500
and 5,000 the hours of sun are in; 50,000 take over two minutes with them and are timed without.
"""

import json
import time

import numpy as np
import pytest

import growth
import scenes
from growth.checks.record import as_json
from growth.memory import Memory
from scenes.document import Yard

PLANT_M2 = 0.9
KINDS = (("Acer rubrum", "2 in cal", 3), ("Ilex crenata", "#5", 22), ("Carex morrowii", "#1", 75))


def planted_yard(count, *, moved=None, to=None):
    """A yard of so many plants, one of which may be moved."""
    side = float(np.sqrt(count * PLANT_M2))
    half = side / 2
    corners = [[0, 0], [side, 0], [side, side], [0, side]]
    places = np.random.default_rng(1).uniform(1, side - 1, (count, 2)).round(3)
    if moved is not None:
        places[moved] = to
    parts = np.split(places, np.cumsum([count * share // 100 for *_, share in KINDS])[:-1])
    document = {
        "title": "Scale", "lengths": "m",
        "site": {"boundary": corners, "latitude_deg": 42.0, "longitude_deg": -83.0},
        "ground": {"points": [[x, y, 0.02 * x] for x, y in corners],
                   "cell": max(0.5, side / 300)},
        "bed": [{"name": "bed", "edge": [[2, 2], [half, 2], [half, side - 2], [2, side - 2]]}],
        "structure": [{"name": "house", "kind": "house", "floor": 1 + half * 0.02, "eave": 3,
                       "ridge": 5, "outline": [[half + 1, half], [half + 9, half],
                                               [half + 9, half + 8], [half + 1, half + 8]]}],
        "view": [{"name": f"view {i}", "eye": [half, 1 + i], "eye_height": 1.6,
                  "target": {"from": [half - 4 + i, 18], "to": [half + 4 + i, 18], "low": 0,
                             "high": 3}} for i in range(3)],
        "planting": [{"plant": name, "size": size, "at": at.tolist()}
                     for (name, size, _), at in zip(KINDS, parts, strict=True)],
        "requirement": [{"name": "hidden", "check": "screening", "of": "view 0", "year": 5,
                         "at_least": 0.8},
                        {"name": "closed", "check": "coverage", "of": "bed", "year": 5,
                         "at_least": 0.9}],
    }  # fmt: skip
    return Yard.model_validate(document, context={"unit": "m", "survey_unit": "m"})


def laid_out(yard):
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return yard, terrain, layout, growth.grow(yard, layout)


@pytest.mark.parametrize(("count", "light"), [(500, True), (5_000, True), (50_000, False)])
def test_all_checks(benchmark, report, count, light):
    parts = laid_out(planted_yard(count))
    findings = benchmark.pedantic(
        growth.check, args=parts, kwargs={"light": light}, rounds=1, iterations=1,
        warmup_rounds=1 if count < 5_000 else 0,  # the kernels are compiled by then
    )  # fmt: skip
    assert {verdict.standing for verdict in findings.requirements} <= {"met", "likely", "missed"}
    remark = "limit 2.5 s" if count == 500 else "" if light else "without the hours of sun"
    report(f"all checks, {count:,} plants, 3 views", benchmark.stats.stats.min, remark=remark)


@pytest.fixture(scope="module")
def checked_once():
    """A yard of 500 plants and a memory that knows it."""
    memory, yard = Memory(), laid_out(planted_yard(500))
    growth.check(*yard, memory=memory)
    return memory, yard


@pytest.mark.parametrize(
    ("kind", "moved", "x_m"),
    [
        ("tree", 0, 5.0),
        ("shrub", 20, 5.0),
        ("shrub before the eyes", 20, 11.0),
        ("sedge", 200, 5.0),
    ],
)
def test_one_plant_moved_among_500(report, checked_once, kind, moved, x_m):
    """The time with a memory beside that from scratch, and the same answer."""
    memory, before = checked_once
    _, terrain, *_ = before
    growth.check(*before, memory=memory)  # as it was before another plant was moved
    took = []
    for step in range(3):
        yard = planted_yard(500, moved=moved, to=(x_m + step / 4, 6.0))
        layout = scenes.lay_out(yard, terrain)
        after = (yard, terrain, layout, growth.grow(yard, layout))
        begin = time.perf_counter()
        findings = growth.check(*after, memory=memory)
        took.append(time.perf_counter() - begin)
    begin = time.perf_counter()
    scratch = growth.check(*after)
    scratch_s = time.perf_counter() - begin
    assert json.dumps(as_json(findings)) == json.dumps(as_json(scratch))
    what = f"all checks, one {kind} of 500 plants moved"
    report(what, min(took), scratch_s, "peer: from scratch; limit 0.25 s")
