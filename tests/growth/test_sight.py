"""Sight triangles against crowns and walls placed by hand: shares from circles and rectangles."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from growth.checks.keepclear import Keep
from growth.checks.sight import sight_distance_m, sights
from growth.ranges import Range
from growth.stand import YEARS, Draws
from scenes.sighttriangles import FOOT_M, SightShape

CURB = shapely.LineString([[-20, 0], [20, 0]])
SHAPE = SightShape(
    "drive", shapely.Polygon([[0, 0], [10, 0], [0, 10]]), CURB, (1.0, 2.5), "", "", 25.0
)


def level(xy):
    return np.zeros(len(xy))


@pytest.fixture
def looked(stand_of):
    """One cylinder 2 m wide at a place, in every year; and built things."""

    def found(xy=(3, 3), *, height=2.0, base=0.0, ground_m=level, things=(), stems=()):
        name = "Acer rubrum" if base else "Ilex glabra"
        stand = stand_of([name], [xy])
        stand.xyz_m[:, 2] = ground_m(stand.xyz_m[:, :2])
        sizes = [np.full((len(YEARS), 1), size) for size in (height, 2.0, base)]
        ranges = [Range(size, size, size) for size in sizes]
        stand = replace(
            stand, plants=(replace(stand.plants[0], form="sheet"),), source=np.zeros(1, int),
            height_m=ranges[0], spread_m=ranges[1], crown_base_m=ranges[2],
        )  # fmt: skip
        draws = Draws(*(np.float32(size)[None] for size in sizes))
        one, several = (stems[0], None) if len(stems) == 1 else (None, stems or None)
        kept = SimpleNamespace(trunk_diameter=one, trunk_diameters=several)
        layout = SimpleNamespace(
            sources=[SimpleNamespace(place="kept[1]", kept=kept)], source=np.zeros(1, int),
            xyz_m=stand.xyz_m,
        )  # fmt: skip
        return sights((SHAPE,), things, layout, stand, draws, ground_m)[0]

    return found


def test_a_crown_takes_its_circle_out_of_the_triangle(looked):
    found = looked()
    assert found.clear.expected == pytest.approx(1 - np.pi / 50, abs=0.002)
    assert [(clash.at, clash.first_year) for clash in found.plants] == [((3.0, 3.0), 0)]


def test_a_crown_that_only_nips_the_triangle_is_never_passed(looked):
    """Its circle of 1 m reaches 7 cm over the edge x = 0, less than a cell takes in."""
    found = looked((-0.93, 5))
    assert 0.995 < found.clear.high[0] < 1
    assert looked((-0.99, 5)).clear.low[0] == pytest.approx(1.0)  # within a plan's accuracy


def test_a_plant_below_the_band_and_a_crown_above_it_are_clear(looked):
    for found in (looked(height=0.95), looked(height=9.0, base=2.6)):
        assert found.clear.expected == pytest.approx(1.0)
        assert found.plants == ()
    assert looked(height=9.0, base=2.4).clear.expected[0] < 0.95


def test_heights_count_from_the_curb_and_not_from_a_berm(looked):
    """Two feet of shrub on a berm of one foot stand three feet above the curb (Norfolk, NE)."""

    def berm(xy):
        return np.where(xy[:, 1] > 1, 1.2 * FOOT_M, 0.0)

    shrub_m = 2.2 * FOOT_M  # 3.4 ft above the curb; the band starts at 1 m, 3.28 ft
    assert looked(height=shrub_m).clear.expected == pytest.approx(1.0)
    assert looked(height=shrub_m, ground_m=berm).clear.expected[0] < 0.95


def test_a_wall_in_the_triangle_is_never_clear(looked):
    """A wall 0.4 m thick and 4 m long, out of 50 m2; and one too low to count."""
    line = shapely.LineString([[1, 1], [5, 1]])
    high, low = (Keep("wall", "wall", line, 0.0, top, 0.2) for top in (1.5, 0.9))
    found = looked((30, 30), things=(high,))
    assert found.built == ("wall",)
    area = 4 * 0.4 + np.pi * 0.2**2
    assert found.clear.expected == pytest.approx(1 - area / 50, abs=1e-3)
    assert looked((30, 30), things=(low,)).clear.expected == pytest.approx(1.0)


def test_a_thick_trunk_is_named_and_a_thin_one_is_not(looked):
    assert looked(height=9.0, base=3.0, stems=(0.35,)).thick_trunks == ("kept[1]",)
    assert looked(height=9.0, base=3.0, stems=(0.25,)).thick_trunks == ()
    assert looked(height=9.0, base=3.0, stems=(0.2, 0.35)).thick_trunks == ("kept[1]",)


def test_the_street_to_see_follows_its_speed(looked):
    assert looked().distance_m == pytest.approx(280 * FOOT_M) == sight_distance_m(25)
