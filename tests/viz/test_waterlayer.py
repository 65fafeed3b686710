"""Paths and ponds of grounds where water must run and stand in known places."""

import numpy as np
import pytest
import shapely

import scenes
from scenes.drainage import drain
from viz.rootlayer import rings, root_layer
from viz.waterlayer import paths, water_layer

VALLEY = """
points = [[-9, -9, 4], [10, -9, 0], [29, -9, 4], [-9, 29, 6], [10, 29, 2], [29, 29, 6]]
[[kept]]
name = "oak"
plant = "Quercus robur"
at = [10, 10]
trunk_diameter = "400 mm"
height = 9
spread = 8
"""
"""Two planes that meet in a valley along x = 10 and fall to the south."""

HOLLOW = """
points = [[-9, -9, 5], [29, -9, 5], [29, 29, 5], [-9, 29, 5], [10, 10, 4]]
"""
"""Four planes that meet in one lowest point: water stands there a metre deep."""


def test_a_valley_gathers_one_path_down_its_middle(graded_lot) -> None:
    yard, terrain = graded_lot(VALLEY)
    near = terrain.boundary.buffer(1)
    found = list(paths(terrain.lattice, drain(terrain, yard), near, least_m2=100.0))
    longest = max(found, key=lambda path: len(path.line_m) and np.ptp(path.line_m[:, 1]))
    assert longest.line_m[:, 0] == pytest.approx(10, abs=1.0)
    assert longest.line_m[0, 1] > longest.line_m[-1, 1]  # down to the south
    assert longest.line_m[-1, 1] == pytest.approx(-1, abs=0.6)
    assert all(path.catchment_m2 >= 100 for path in found)


def test_a_hollow_is_full_to_its_rim(graded_lot) -> None:
    """The lowest point of the lattice's edge is its rim; the pond is that much deep."""
    yard, terrain = graded_lot(HOLLOW)
    layer = water_layer(yard, terrain)
    edge = np.concatenate([terrain.after_m[[0, -1]].ravel(), terrain.after_m[:, [0, -1]].ravel()])
    assert layer["depth"].max() == pytest.approx(edge.min() - terrain.after_m.min(), abs=1e-6)
    (pond,) = [label for label in layer["labels"] if label["text"].startswith("stands")]
    assert pond["at"] == pytest.approx([10, 10], abs=0.5)


def test_a_valley_holds_no_pond(graded_lot) -> None:
    yard, terrain = graded_lot(VALLEY)
    assert water_layer(yard, terrain)["depth"].max() < 0.01


def test_root_zone_and_inner_circle_have_their_radii(graded_lot) -> None:
    """400 mm x 1.25 ft an inch (15 to one) is 6 m; six trunks are 2.4 m; nothing is lost."""
    yard, terrain = graded_lot(VALLEY)
    layer = root_layer(yard, scenes.lay_out(yard, terrain).root_zones)
    (zone,) = layer["zones"]
    for name, radius in (("zone", 6.0), ("inner", 2.4)):
        (ring,) = zone[name]
        reach = np.hypot(*(ring.reshape(-1, 2) - [10, 10]).T)
        assert reach.max() == pytest.approx(radius, rel=1e-2)
    assert zone["lost"] == []
    assert layer["labels"] == [{"at": [10, 10], "text": "oak: 0 % of its root zone lost (little)"}]


def test_rings_hold_holes_and_leave_out_lines() -> None:
    holed = shapely.box(0, 0, 4, 4).difference(shapely.box(1, 1, 2, 2))
    mixed = shapely.GeometryCollection([holed, shapely.LineString([[0, 0], [9, 9]])])
    assert [len(ring) for ring in rings(mixed)] == [10, 10]
    assert rings(shapely.Polygon()) == []
