"""Worked examples of earthwork by other hands, built as ground and measured by the tool.

T4: Wikibooks, Fundamentals of Transportation, Earthwork: end areas along a road, pyramids at
the ends of cut and fill; fill 4,087.5 m3, cut 1,058.3 m3.
T5: G. L. Vose, Handbook of Railroad Construction, art. 108: a cut with a base of 20 ft and
sides 1.5:1; by end areas 56,250 cu ft (the book prints 56,200, from areas cut short to whole
square feet), by the prismoidal formula 52,500.
T6: the prismoidal formula L (A1 + 4 Am + A2) / 6, and a pyramid's third, as in any handbook.
T7, T8: spikevm.com on swell and shrink (after FHWA 2007, Church 1981).
T35: ADA Standards 2010, 405.2 and 405.6: 30 in of rise at 1:12 are 30 ft of run.
Tolerances: the last printed digit; for ground on a lattice what its cell leaves.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
from shapely.geometry import box

import scenes
from scenes.document import Yard
from scenes.flights import ramp_flight
from scenes.lattice import Lattice
from scenes.soils import Soil, bank_for_m3, loose_m3
from scenes.volumes import cut_and_fill

FOOT, INCH = 0.3048, 0.0254


def volumes_m3(lattice, rise_m):
    """Cut and fill of a rise over the whole lattice, in cubic metres."""
    outline = box(
        lattice.x0_m,
        lattice.y0_m,
        lattice.x0_m + lattice.cell_m * (lattice.nx - 1),
        lattice.y0_m + lattice.cell_m * (lattice.ny - 1),
    )
    moved = cut_and_fill(lattice, before_m=np.zeros_like(rise_m), after_m=rise_m, outline=outline)
    return moved.cut_m3.sum(), moved.fill_m3.sum()


def ridge_m(x, y, stations, areas):
    """Heights of a ridge whose upright section has the areas given at the stations.

    Sections are triangles 2 m high and as wide as the area asks: linear in the width, so
    that between stations the mean of end areas is exact; where an area runs out to nothing,
    height and width go down together, and the piece is a pyramid.
    """
    area = np.interp(x, stations, areas, left=0, right=0)
    height = np.full(x.shape, 2.0)
    for (x1, a1), (x2, a2) in pairwise(zip(stations, areas, strict=True)):
        here = (x >= x1) & (x <= x2)
        if min(a1, a2) == 0:
            share = (x - x1) / (x2 - x1) if a1 == 0 else (x2 - x) / (x2 - x1)
            height = np.where(here, 2.0 * share, height)
            area = np.where(here, max(a1, a2) * share**2, area)
    width = np.divide(2 * area, height, out=np.zeros_like(area), where=height > 0)
    across = np.divide(np.abs(y), width / 2, out=np.ones_like(area), where=width > 0)
    return height * np.maximum(1 - across, 0.0)


def test_t4_end_areas_with_pyramids():
    lattice = Lattice(0.0, -70.0, 0.5, 301, 281)
    x, y = np.moveaxis(lattice.nodes_m(), -1, 0)
    fill = ridge_m(x, y - 35, [0, 50, 75, 100, 115], [60, 50, 25, 5, 0])
    cut = ridge_m(x, y + 35, [75, 100, 115, 150], [0, 10, 15, 30])
    cut_m3, fill_m3 = volumes_m3(lattice, fill - cut)
    assert fill_m3 == pytest.approx(4087.5, rel=1e-3)
    assert cut_m3 == pytest.approx(1058.3, rel=1e-3)
    assert fill_m3 - cut_m3 == pytest.approx(3029.2, rel=1e-3)


@pytest.mark.parametrize("cell", [2.0, 1.0])
def test_t5_a_railroad_cut_graded_as_a_ribbon(cell):
    """Ground by centre cuts 0, 5, 10, 15, 0 ft; the ribbon is 20 ft wide with sides 1.5:1."""
    along, depth = [0, 50, 100, 150, 200], [0, 5, 10, 15, 0]
    points = [[x, y, z] for x, z in zip(along, depth, strict=True) for y in (-60, 60)]
    yard = Yard.model_validate(
        {
            "title": "cut",
            "lengths": "ft",
            "site": {"boundary": [[0, -55], [200, -55], [200, 55], [0, 55]]},
            "ground": {"points": points, "cell": cell},
            "grading": [
                {"name": "bed", "do": "ribbon", "centreline": [[0, 0], [200, 0]], "width": 20,
                 "levels": [0, 0], "batter": 1.5}
            ],
        },
        context={"unit": "ft"},
    )  # fmt: skip
    earth = scenes.grade(yard).earth
    assert earth.cut_m3 / FOOT**3 == pytest.approx(52_500, rel=0.004 * cell)
    assert abs(earth.cut_m3 / FOOT**3 - 52_500) < earth.error_m3 / FOOT**3
    areas = [(20 + 1.5 * z) * z for z in depth]
    by_end_areas = sum(50 * (a + b) / 2 for a, b in pairwise(areas))
    assert areas == [0, 137.5, 350, 637.5, 0]
    assert by_end_areas == 56_250


def prismoid_m3(length, *, first, middle, last):
    return length * (first + 4 * middle + last) / 6


def test_t6_a_pyramid_is_a_third_not_a_half():
    """Base 8 x 8 m, 3 m high."""
    lattice = Lattice(-5.0, -5.0, 0.25, 41, 41)
    x, y = np.moveaxis(lattice.nodes_m(), -1, 0)
    _, fill_m3 = volumes_m3(lattice, 3 * np.maximum(1 - np.maximum(abs(x), abs(y)) / 4, 0))
    assert fill_m3 == pytest.approx(prismoid_m3(3, first=64, middle=16, last=0), rel=2e-3)
    assert fill_m3 == pytest.approx(64 * 3 / 3, rel=2e-3)


SOLIDS = {
    "frustum of a cone": (
        lambda x, y: np.clip((3 - np.hypot(x, y)) / 2, 0, 0.75),
        prismoid_m3(0.75, first=9 * math.pi, middle=2.25**2 * math.pi, last=1.5**2 * math.pi),
    ),
    "cone": (
        lambda x, y: np.maximum(2 - 0.6 * np.hypot(x, y), 0),
        prismoid_m3(2, first=math.pi / 0.09, middle=math.pi / 0.36, last=0),
    ),
    "frustum of a pyramid": (
        lambda x, y: np.clip(3 - np.maximum(abs(x), abs(y)), 0, 1.2),
        prismoid_m3(1.2, first=36, middle=4.8**2, last=3.6**2),
    ),
}


def solid_error(name, cell_m, shift):
    """Relative error of a solid's volume on a lattice, its nodes shifted by part of a cell."""
    rise_at, wanted = SOLIDS[name]
    count = int(10 / cell_m) + 3
    start = -5.0 - shift * cell_m
    lattice = Lattice(start, start, cell_m, count, count)
    _, fill_m3 = volumes_m3(lattice, rise_at(*np.moveaxis(lattice.nodes_m(), -1, 0)))
    return fill_m3 / wanted - 1


@pytest.mark.parametrize("name", SOLIDS)
def test_prismoids_come_closer_with_the_square_of_the_cell(name):
    """Root mean square error over places of the lattice; order two within a quarter."""
    shifts = (np.arange(8) + 0.37) / 8
    cells = (0.5, 0.25, 0.125)
    errors = [np.sqrt(np.mean([solid_error(name, c, s) ** 2 for s in shifts])) for c in cells]
    assert errors[1] < 5e-3
    order = np.log2(errors[0] / errors[2]) / 2
    assert order > 1.75


def test_a_wedge_is_exact():
    """4 m long, 6 m wide, 1.5 m high at its thick end, cut by the outline of the lot."""
    lattice = Lattice(-5.0, -5.0, 0.3, 35, 35)
    rise = 1.5 * (1 - lattice.nodes_m()[..., 0] / 4)
    moved = cut_and_fill(
        lattice, before_m=np.zeros_like(rise), after_m=rise, outline=box(0, -3, 4, 3)
    )
    wanted = prismoid_m3(4, first=9, middle=4.5, last=0)
    assert moved.fill_m3.sum() == pytest.approx(wanted, rel=1e-9)


def test_t7_swell():
    """200 bank yards at 40 % are 280 loose: 23 to 24 loads of 12."""
    soil = Soil("T7", swell=0.40, shrink=0.0)
    assert loose_m3(200, soil) == pytest.approx(280)
    assert 23 < loose_m3(200, soil) / 12 < 24


def test_t8_shrink():
    """90 compacted yards at 10 % need 100 from the bank."""
    assert bank_for_m3(90, Soil("T8", swell=0.0, shrink=0.10)) == pytest.approx(100)


def test_t35_a_ramp_of_thirty_inches():
    flight = ramp_flight(rise_m=30 * INCH, length_m=30 * FOOT)
    assert flight.runs == 1
    assert flight.slope_percent == pytest.approx(100 / 12)
    assert ramp_flight(rise_m=31 * INCH, length_m=40 * FOOT).runs == 2
