"""Banks by their true area: planes and a kink whose slope is known."""

import numpy as np
import pytest
import shapely

from growth.checks.banks import banks
from growth.cover import cells

LOT = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]]}
BED = {"name": "bed", "edge": [[4, 4], [16, 4], [16, 16], [4, 16]]}


def on_slope(level_lot, run, **tables):
    """The lot on a plane that rises one in `run` to the east."""
    points = [[x, y, x / run] for x in (0, 20) for y in (0, 20)]
    return level_lot(ground={"points": points}, bed=[BED], **tables)


@pytest.mark.parametrize(("run", "more"), [(3, 0.054), (2, 0.118)])
def test_the_published_shares_are_added(level_lot, parts, run, more):
    terrain, _, _ = parts(on_slope(level_lot, run))
    over = banks(terrain).weigh(cells(shapely.box(4, 4, 16, 16), 0.5))
    assert over.area_m2 == pytest.approx(144 * (1 + more), rel=5e-4)


def test_a_beds_area_is_the_true_one_and_an_even_slope_leaves_the_share(level_lot, checked):
    yew = {"plant": "Taxus x media 'Hicksii'", "size": "#5", "at": [[8, 8], [12, 12]]}
    steep, level = (
        checked(on_slope(level_lot, run, planting=[yew])).coverage[0] for run in (2, 1e6)
    )
    assert steep.area_m2 == pytest.approx(144 * np.sqrt(1.25), rel=1e-3)
    assert level.area_m2 == pytest.approx(144, rel=1e-6)
    assert steep.fraction.expected == pytest.approx(level.fraction.expected, abs=1e-6)


def test_plants_on_the_flat_half_of_a_bed_cover_less_than_half_of_it(level_lot, checked):
    """West of x = 10 level, east of it 1:1: the flat half is 1 / (1 + sqrt 2) of the bed."""
    points = [[x, y, max(0, x - 10)] for x in (0, 10, 20) for y in (0, 10, 20)]
    carpet = {"plant": "Taxus x media 'Hicksii'", "now": {"height": 9, "spread": 20},
              "at": [[0.5, 10]]}  # fmt: skip
    document = level_lot(ground={"points": points, "cell": 0.25}, bed=[BED], planting=[carpet])
    (cover,) = checked(document).coverage
    assert cover.area_m2 == pytest.approx(72 * (1 + np.sqrt(2)), rel=0.01)
    plan = shapely.Point(0.5, 10).buffer(10, 64).intersection(shapely.box(4, 4, 16, 16))
    flat, steep = (plan.intersection(shapely.box(a, 0, a + 10, 20)).area for a in (0, 10))
    share = (flat + steep * np.sqrt(2)) / cover.area_m2
    assert cover.fraction.expected[0] == pytest.approx(share, abs=0.01)
