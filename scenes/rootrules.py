"""Rules of root zones: radius by trunk, depths that harm, levels of warning, and advice.

Source: radii of 1, 1.25 and 1.5 ft for each inch of trunk, 6 ft at the least: North Carolina
Urban Forest Council; NC State Extension (1.25 at the least); City of Edina MN (1.5). 12 x trunk,
15 m at the most; several stems as the root of their summed squares: BS 5837:2012, Annex D and
4.6, as quoted. Cut of 2 in, fill of 1 in on clay and 3 in on other soils: University of
Maryland Extension, Texas A&M. Levels: 10 % common practice; 25 % and 50 % Johnson 1999,
University of Minnesota Extension; 30 % Georgia Forestry Commission. Stability: 3-6 trunk
diameters, ISA practice as quoted in City Trees 2014.
"""

from collections.abc import Iterator

import numpy as np
from shapely.geometry import Polygon

from scenes.document import Kept
from scenes.lengths import METRES
from scenes.points import Point

INCH_M, FOOT_M = METRES["in"], METRES["ft"]
TRUNKS_TO_RADIUS = {
    "1 ft per inch": 12.0,
    "1.25 ft per inch": 15.0,
    "1.5 ft per inch": 18.0,
    "12 x trunk": 12.0,
}
RULE_SOURCES = {
    "1 ft per inch": "North Carolina Urban Forest Council",
    "1.25 ft per inch": "NC State Extension, as the least",
    "1.5 ft per inch": "City of Edina, Minnesota",
    "12 x trunk": "BS 5837:2012, as quoted",
}
"""Who draws root zones by each rule."""

LEAST_RADIUS_M, MOST_RADIUS_M = 6 * FOOT_M, 15.0

CUT_M, FILL_M, FILL_ON_CLAY_M = 2 * INCH_M, 3 * INCH_M, 1 * INCH_M
STABILITY_TRUNKS = 6.0
LEVELS = (
    (0.10, "little"),
    (0.25, "ask an arborist"),
    (0.30, "high risk"),
    (0.50, "removal to be considered"),
    (1.01, "more than most trees survive"),
)
"""Shares lost below which each level holds."""

ALWAYS_ADVISED = (
    "Have a certified arborist look before any digging in the root zone.",
    "Call before you dig (811 in the United States), also for a single trench.",
)
WHEN_CUT = (
    "Cut roots cleanly and square with a sharp saw, never torn by a bucket; keep cut faces moist.",
    "Mulch 2-4 in deep over the cut roots, off the trunk, and water through the next seasons.",
)


def trunk_m(kept: Kept) -> float | None:
    """The diameter in metres of a trunk, or of one trunk with the section of several stems."""
    if kept.trunk_diameters is not None:
        return float(np.hypot.reduce(kept.trunk_diameters))
    return kept.trunk_diameter


def radius_m(trunk: float, rule: str) -> float:
    """The radius in metres of the root zone of a trunk of a diameter in metres."""
    radius = TRUNKS_TO_RADIUS[rule] * trunk
    return min(radius, MOST_RADIUS_M) if rule == "12 x trunk" else max(radius, LEAST_RADIUS_M)


def circle(at: Point, radius: float) -> Polygon:
    """A circle as a polygon of 256 sides whose area is that of the circle."""
    turn = 2 * np.pi * np.arange(256) / 256
    outer = radius * np.sqrt(2 * np.pi / 256 / np.sin(2 * np.pi / 256))
    return Polygon(np.array(at) + outer * np.column_stack([np.cos(turn), np.sin(turn)]))


def level_of(lost_fraction: float) -> str:
    """The warning that goes with a share of the root zone lost."""
    return next(level for below, level in LEVELS if lost_fraction < below)


def advice(fraction: float, nearest_m: float | None, trunk: float) -> Iterator[str]:
    """What is commonly advised, the most pressing first."""
    if fraction == 0:
        yield "Fence the root zone off before any machine comes, and store nothing in it."
        return
    if nearest_m is not None and nearest_m < STABILITY_TRUNKS * trunk:
        yield (
            f"Roots are cut {nearest_m:.1f} m from the trunk's middle, nearer than "
            f"{STABILITY_TRUNKS:g} trunk diameters: the tree may fall; an arborist decides."
        )
    yield from ALWAYS_ADVISED
    if nearest_m is not None:
        yield from WHEN_CUT
