"""Steps and ramps as built: how many risers, how deep the treads, runs and landings.

Steps run from the face of the lowest riser to the face of the highest, so n risers have
n - 1 treads between them; the ground under them is the even slope between both ends. A ramp
rises 30 inches at the most in one run; a landing of 60 inches lies between two runs, and
the last one beyond its end is not part of it.

Source: rise of a run, ADA Standards 2010, 405.6; length of a landing, 405.7.3 (from memory).
"""

import math
from dataclasses import dataclass

from scenes.lengths import METRES

RUN_RISE_M = 30 * METRES["in"]
LANDING_M = 60 * METRES["in"]


@dataclass(frozen=True)
class Flight:
    """Steps (risers above zero) or a ramp (runs above zero) between two levels."""

    rise_m: float
    length_m: float
    risers: int
    riser_m: float
    tread_m: float | None
    runs: int
    slope_percent: float


def steps_flight(*, rise_m: float, length_m: float, risers: int) -> Flight:
    """Steps of so many equal risers over a length."""
    tread_m = length_m / (risers - 1) if risers > 1 else None
    slope = 100 * rise_m / length_m
    return Flight(rise_m, length_m, risers, rise_m / risers, tread_m, 0, slope)


def ramp_flight(*, rise_m: float, length_m: float) -> Flight:
    """A ramp of equal runs with landings between; the slope is that of its runs."""
    runs = ramp_runs(rise_m)
    slope = 100 * rise_m / (length_m - (runs - 1) * LANDING_M)
    return Flight(rise_m, length_m, 0, 0.0, None, runs, slope)


def ramp_runs(rise_m: float) -> int:
    """How many runs a rise needs, one at the least."""
    return max(1, math.ceil(rise_m / RUN_RISE_M - 1e-9))
