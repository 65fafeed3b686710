"""Curves through measured sizes: rising ones, and a known curve moved through a few.

Both stay Chapman-Richards curves, so what is seen is approached, never at the price of a
plant that shrinks. A rising curve is free, with the age at which it is zero. A known curve is
moved in asymptote and rate, as far as curves of a kind may well be off.

Source of the second: least squares with a normal prior, the mode of the posterior (any
textbook). Left out: that sizes of one year may be those of other plants than the last year's.
"""

from collections.abc import Sequence

import numpy as np
from scipy.optimize import least_squares

from growth.curves import Curve, grown_m, size_at_age_m
from growth.ranges import Array
from growth.scatter import Scatter, scattered

SEEN_MISS = 0.05
"""Deviation of the logarithm of a size seen about the curve of its kind there. Assumed."""

FREEDOM = (0.3, 0.6)
"""Deviations by which asymptote and rate of the known curve may well be off, in logarithms.
Assumed, a little wider than what was measured between kinds: what is seen counts more."""

MOST_ASYMPTOTE = 1.6
"""Asymptote of a rising curve over the largest size it is fitted to, at most. Assumed."""

_MEAN_NODES = 12
_MOST_SHIFT = 2.5
"""Asymptote and rate move by a factor of at most exp(this)."""


def rising_curve(age_years: Array, size_m: Array) -> tuple[Curve, Array]:
    """The curve nearest in logarithms to sizes made never to fall, and its misses as shares."""
    rising = np.maximum.accumulate(size_m)
    top = float(np.log(rising[-1]))

    def missed(found: Array) -> Array:
        curve = Curve(*np.exp(found[:3]))
        since = age_years + np.exp(found[3])
        size = size_at_age_m(
            since, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year, shape=curve.shape
        )
        return np.asarray(np.log(size / rising))

    best = least_squares(
        missed,
        [top + 0.1, np.log(0.05), 0.2, 0.0],
        bounds=([top - 0.02, -6, -0.7, -4], [top + np.log(MOST_ASYMPTOTE), 0, 1.5, 3]),
    )
    curve = Curve(*(float(value) for value in np.exp(best.x[:3])))
    return curve, np.asarray(np.expm1(missed(best.x)))


def curve_through_seen(
    ahead: Curve, seen: Sequence[tuple[float, float]], *, scatter: Scatter, planted_m: float
) -> Curve:
    """The curve moved so that the mean of scattered plants runs through sizes in metres by year.

    A size seen in year 0 is the one the plants seen began with; else it is `planted_m`.
    """
    years = np.array([row[0] for row in seen], dtype=float)
    size_m = np.array([row[1] for row in seen], dtype=float)
    start_m = size_m[0] if years[0] == 0 else min(planted_m, float(size_m[0]))

    def missed(moves: Array) -> Array:
        mean_m = mean_grown_m(_moved(ahead, moves), scatter, start_m=start_m, years=years)
        return np.concatenate([np.log(mean_m / size_m) / SEEN_MISS, moves / np.array(FREEDOM)])

    best = least_squares(missed, [0.0, 0.0], bounds=(-_MOST_SHIFT, _MOST_SHIFT))
    return _moved(ahead, best.x)


def mean_grown_m(curve: Curve, scatter: Scatter, *, start_m: float, years: Array) -> Array:
    """Mean size in metres of scattered plants after `years` from `start_m`."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(_MEAN_NODES)
    plants = scattered(
        curve.asymptote_m, curve.rate_per_year, curve.shape, scatter=scatter, score=nodes[:, None]
    )
    return np.asarray(weights / weights.sum() @ grown_m(start_m, years, **plants))


def _moved(curve: Curve, moves: Array) -> Curve:
    """The curve with asymptote and rate times exp of the moves."""
    asymptote_m, rate = np.array([curve.asymptote_m, curve.rate_per_year]) * np.exp(moves)
    return Curve(float(asymptote_m), float(rate), curve.shape)
