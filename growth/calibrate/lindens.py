"""Two lindens of one record, a small one and a large one, beside what is foretold of both.

The record is a single pair of trees on one site: it shows that the larger stands still while
it roots in and is overtaken, and is too little to be held against a forecast. So it is printed
beside it, with the calibration's report, and judged by the reader.

Source: a gardener's record of two lindens at gardenatoz.com (from their magazine issue on
trees); the site's hardiness zone and the later years are not told.
"""

import numpy as np

from growth.courses import forecast
from growth.establishment import INCH_M, establishment
from growth.nursery import SPREAD_SHARE, PlantedSize
from growth.plants import catalogue
from growth.ranges import Array
from growth.starts import Start
from scenes.lengths import METRES

FOOT_M = METRES["ft"]

RECORDED_FT = {
    1.0: (7.0, 7.0, 8.0, 9.5, 11.0, 12.5, 14.0, 15.5),
    4.0: (12.0, 12.0, 12.1, 12.2, 12.5, 13.0, 14.0, 15.0),
}
"""Heights at planting and at the ends of years 1 to 7, by caliper in inches."""

ZONE = 5
"""Of a midwestern site. Assumed."""


def lindens() -> str:
    """The record and the forecast in feet, as a table."""
    small, large = (_foretold_ft(caliper_in) for caliper_in in RECORDED_FT)
    lines = [
        f"two lindens of one record, heights in feet (hardiness zone {ZONE} assumed):",
        "    year   1 in: recorded  low  expected  high   4 in: recorded  low  expected  high",
    ]
    for year, recorded in enumerate(zip(*RECORDED_FT.values(), strict=True)):
        cells = [
            f"{ft:14.1f} {low:6.1f} {mean:7.1f} {high:6.1f}"
            for ft, (low, mean, high) in zip(
                recorded, (small[:, year], large[:, year]), strict=True
            )
        ]
        lines.append(f"    {year:4}   " + "   ".join(cells))
    return "\n".join(lines)


def _foretold_ft(caliper_in: float) -> Array:
    """Low, expected and high height in feet, each by year."""
    linden = catalogue()["Tilia cordata"]
    height_m = FOOT_M * RECORDED_FT[caliper_in][0]
    planted = PlantedSize(height_m, SPREAD_SHARE[linden.kind] * height_m, caliper_in * INCH_M)
    start = Start(
        linden,
        planted.height_m,
        planted.spread_m,
        lag=establishment(linden, planted, zone=ZONE),
    )
    height = forecast([start], np.arange(len(RECORDED_FT[caliper_in]))).height_m
    return np.array([height.low, height.expected, height.high])[:, :, 0] / FOOT_M
