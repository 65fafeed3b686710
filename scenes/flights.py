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

STEEPEST_RAMP = 100 / 12
"""Percent: 1:12, ADA Standards 2010, 405.2."""

STEEPEST_STEP = 0.5
"""Riser to tread of outdoor stairs, the steepest usual: 50 % (critical gradients, LID wiki)."""


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


def in_words(flight: Flight, *, inches: bool) -> str:
    """A flight as a builder reads it, with a word where it is steeper than is usual."""
    unit, metres = ("in", METRES["in"]) if inches else ("mm", METRES["mm"])
    if flight.runs:
        landings = f", landings between: {flight.runs - 1}" if flight.runs > 1 else ""
        steep = flight.slope_percent > STEEPEST_RAMP + 1e-9
        over = ", steeper than the 1:12 of ADA 405.2; your code governs" if steep else ""
        return f"ramp at 1:{100 / flight.slope_percent:.3g}{landings}{over}"
    tread = "" if flight.tread_m is None else f" on treads of {flight.tread_m / metres:.3g} {unit}"
    steep = flight.tread_m is not None and flight.riser_m > STEEPEST_STEP * flight.tread_m
    over = ", steeper than the usual 1:2; your code governs" if steep else ""
    risers = "1 riser" if flight.risers == 1 else f"{flight.risers} risers"
    return f"{risers} of {flight.riser_m / metres:.3g} {unit}{tread}{over}"
