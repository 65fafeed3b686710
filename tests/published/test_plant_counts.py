"""Plants to fill a bed, against the trade's tables.

T10, square rows, area x 144 / spacing^2 (erthturf.com; bloomindesigns.com;
gloverperennials.com): 300 sq ft at 18 in 133; 50 at 12 in 50; 100 at 6 in 400; 100 at
24 in 25. T11, triangular rows, x 2 / sqrt(3) (bloomindesigns.com): 100 sq ft at 12 in 115.
Tolerance: a table knows no edge; real rows may gain or lose half a spacing along it, so
the count may differ by perimeter x spacing / 2 over the area of one plant.
"""

import pytest
from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from scenes.lengths import METRES
from scenes.spacing import rows_inside

FOOT, INCH = METRES["ft"], METRES["in"]

TABLE = [
    ("square", (20, 15), 18, 133),
    ("square", (10, 5), 12, 50),
    ("square", (10, 10), 6, 400),
    ("square", (10, 10), 24, 25),
    ("triangular", (10, 10), 12, 115),
]


@pytest.mark.parametrize("turn_deg", [0, 27])
@pytest.mark.parametrize(("pattern", "sides_ft", "spacing_in", "count"), TABLE)
def test_rectangle(
    pattern: str, sides_ft: tuple[float, float], spacing_in: float, count: int, turn_deg: float
) -> None:
    bed = rotate(box(0, 0, sides_ft[0] * FOOT, sides_ft[1] * FOOT), turn_deg)
    placed = len(rows_inside(bed, spacing_in * INCH, pattern=pattern).xy_m)
    assert placed == pytest.approx(count, abs=_edge_share(bed, spacing_in * INCH, count))


@pytest.mark.parametrize(("pattern", "factor"), [("square", 1.0), ("triangular", 1.1547)])
def test_crooked_bed_of_many_plants(pattern: str, factor: float) -> None:
    bed = Polygon([(0, 0), (9, 1), (12, 7), (7, 6), (3, 9), (1, 5)])
    spacing_m = 12 * INCH
    count = factor * bed.area / FOOT**2 * 144 / 12**2
    placed = len(rows_inside(bed, spacing_m, pattern=pattern).xy_m)
    assert placed == pytest.approx(count, rel=0.03)


def test_whole_spacings_give_the_table_exactly() -> None:
    bed = box(0, 0, 10 * FOOT, 5 * FOOT)
    assert len(rows_inside(bed, 12 * INCH, pattern="square").xy_m) == 50


def _edge_share(bed: Polygon, spacing_m: float, count: int) -> float:
    return float(bed.length * spacing_m / 2 / (bed.area / count))
