"""Grading and measuring a site of two acres at a quarter metre, and an edit to one operation."""

import time

import numpy as np
import pytest
import shapely

from scenes.document import Yard
from scenes.drainage import drain
from scenes.edges import edges_of, nearest_on
from scenes.groundwork import groundwork
from scenes.lattice import Lattice
from scenes.layout import lay_out
from scenes.terrain import grade


def _square(x, y, wide, deep):
    return [[x, y], [x + wide, y], [x + wide, y + deep], [x, y + deep]]


def _two_acres(*, last_level=4.1):
    """An invented site of 90 x 90 m with 20 operations of every kind."""
    at = np.linspace(-3, 93, 21)
    points = [[x, y, 3 + 0.02 * y + 0.2 * np.sin(x / 9)] for x in at for y in at]
    pads = [
        {"do": "pad", "outline": _square(5 + 14 * k, 10, 9, 8), "level": level, "batter": 3}
        for k, level in enumerate([3.6, 3.7, 3.8, 3.9, 4.0, last_level])
    ]
    walks = [
        {"do": "ribbon", "centreline": [[5, 25 + 5 * k], [40, 27 + 5 * k], [80, 25 + 5 * k]],
         "width": 1.5, "batter": 2 * (k % 2)}
        for k in range(5)
    ]  # fmt: skip
    mounds = [
        {"do": "mound", "outline": _square(5 + 25 * k, 55, 12, 7), "height": 1.0} for k in range(3)
    ]
    others = [
        {"do": "swale", "centreline": [[5, 80], [80, 80]], "width": 2, "depth": 0.4,
         "fall_percent": 1},
        {"do": "swale", "centreline": [[5, 85], [40, 84], [80, 86]], "width": 2, "depth": 0.4},
        {"do": "wall", "line": [[5, 66], [40, 66]], "height": 1.0, "footing": 0.4},
        {"do": "steps", "centreline": [[50, 65], [50, 68]], "width": 1.5, "risers": 5,
         "levels": [4, 5]},
        {"do": "ramp", "centreline": [[60, 65], [80, 65]], "width": 1.5, "levels": [4.2, 5.2]},
        {"do": "levels", "points": [[70, 75, 5], [72, 74, 5.2], [74, 76, 5.1]]},
    ]  # fmt: skip
    gradings = [
        {"name": f"{k}"} | one for k, one in enumerate([*pads, *walks, *mounds, *others], 1)
    ]
    raw = {"title": "two acres", "lengths": "m", "grading": gradings}
    raw |= {"site": {"boundary": _square(0, 0, 90, 90)}, "ground": {"points": points, "cell": 0.25}}
    return Yard.model_validate(raw, context={"unit": "m"})


def test_two_acres_are_graded_and_measured(benchmark, report):
    yard = _two_acres()
    terrain = benchmark.pedantic(grade, args=(yard,), rounds=5, iterations=1, warmup_rounds=1)
    assert len(terrain.shaped) == 20
    nodes = terrain.before_m.size
    assert nodes >= 130_000
    seconds = benchmark.stats.stats.min
    report(f"grade 20 operations, {nodes:,} nodes", seconds, remark="limit 0.7 s")


def test_two_acres_are_graded_measured_and_drained(benchmark, report):
    yard = _two_acres()

    def graded_and_drained():
        return drain(grade(yard), yard)

    found = benchmark.pedantic(graded_and_drained, rounds=5, iterations=1, warmup_rounds=1)
    assert found.filled_m.size >= 130_000
    seconds = benchmark.stats.stats.min
    report("grade 20 operations and drain", seconds, remark="limit 1.5 s")


def test_everything_that_ground_reports_of_two_acres(benchmark, report):
    yard = _two_acres()
    terrain = grade(yard)
    layout = lay_out(yard, terrain)
    found = benchmark.pedantic(
        groundwork, args=(yard, terrain, layout), rounds=3, iterations=1, warmup_rounds=1
    )
    assert len(found.walls) == 1
    assert {fall.rule for fall in found.falls} >= {"swale drains", "open ground drains"}
    report("falls, water, roots, quantities of them", benchmark.stats.stats.min)


def test_an_edit_to_one_operation_grades_anew(benchmark, report):
    """There is no half-graded ground to go stale: an edit is a new document, read and graded."""
    levels = iter(np.linspace(4.2, 4.8, 9))

    def edit():
        return grade(_two_acres(last_level=float(next(levels))))

    terrain = benchmark.pedantic(edit, rounds=5, iterations=1, warmup_rounds=0)
    middle_of_the_pad = np.array([[79.5, 14.0]])
    assert terrain.height_m(middle_of_the_pad) == pytest.approx(4.5)  # the fifth of the levels
    seconds = benchmark.stats.stats.min
    report("edit one of 20 operations", seconds, remark="limit 0.3 s")


@pytest.mark.parametrize("count", [8, 200])
def test_nearest_edges_beside_another_library(benchmark, report, count):
    nodes = Lattice(0, 0, 0.25, 160, 160).nodes_m().reshape(-1, 2)
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    outline = shapely.Polygon(np.column_stack([20 + 9 * np.cos(turn), 20 + 6 * np.sin(turn)]))
    edges = edges_of(outline)
    found = benchmark.pedantic(
        nearest_on, args=(edges, nodes), rounds=3, iterations=1, warmup_rounds=1
    )

    started = time.perf_counter()
    points = shapely.points(nodes)
    shapely.line_locate_point(outline.exterior, points)
    lines = shapely.shortest_line(outline.exterior, points)
    peer_s = time.perf_counter() - started
    there = shapely.line_interpolate_point(outline.exterior, found.along_m)
    assert shapely.distance(there, points) == pytest.approx(shapely.length(lines), abs=1e-9)
    report(f"nearest of {count} edges, 25,600 nodes", benchmark.stats.stats.min, peer_s, "GEOS")
