"""Courses of size: what plants of one start measure, year by year, over the scatter of plants.

Every plant has one normal score z that moves its curve (see `scatter`), so that a course
rises with z in every year and all agree on the day of planting.
Low and high are the courses at z = -1.28 and 1.28 (10th and 90th percentile), expected is
the mean over z by Gauss-Hermite quadrature. Limits of clipping hold height and spread.
A plant's clock runs slower until it is established, and slower still with roots lost, which
also thins its crown (vigour, 1 = undamaged) and may end it.
Left out: crowding, and any change of a plant's score with time.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from growth.basis import SEEN, Basis, basis_of
from growth.crowns import FORMS, base_share
from growth.curves import Curve, grown_m
from growth.establishment import ESTABLISHED, grown_years
from growth.nursery import nursery_size, usual_size
from growth.ranges import HIGH_SHARE, LOW_SHARE, Array, Range
from growth.scatter import Scatter, scatter_factor
from growth.starts import Start
from growth.stress import crown_density, slowed_years
from growth.trunks import through_measured

IntArray = NDArray[np.int64]

SCORES: Array = np.linspace(-3.2, 3.2, 33)
"""Normal scores the courses are tabulated at; 0.14 % of plants lie beyond and are held there."""

KEPT_ROOM = 1.05
"""A kept plant's asymptote is at least this times its measured size. Assumed."""

_MEAN_NODES = 24


@dataclass(frozen=True)
class Courses:
    """Distinct courses: metres, and vigour, by (score, year, course); the dead still stand."""

    score: Array
    years: IntArray
    height_m: Array
    spread_m: Array
    crown_base_m: Array
    vigour: Array


@dataclass(frozen=True)
class Sizes:
    """Ranges of height, spread, crown base in metres and vigour by (year, course); dead is 0."""

    height_m: Range
    spread_m: Range
    crown_base_m: Range
    vigour: Range


def tabulate(starts: Sequence[Start], years: IntArray) -> Courses:
    """Courses of the starts at the fixed scores, in metres."""
    return Courses(SCORES, years, *_sizes_m(starts, score=SCORES, years=years))


def forecast(starts: Sequence[Start], years: IntArray) -> Sizes:
    """Low, expected and high sizes of single plants of the starts, in metres."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(_MEAN_NODES)
    ends = _alive(*_sizes_m(starts, score=ndtri([LOW_SHARE, HIGH_SHARE]), years=years))
    spread_out = _alive(*_sizes_m(starts, score=nodes, years=years))
    means = [np.tensordot(weights / weights.sum(), size, axes=1) for size in spread_out]
    return Sizes(*(_range(end, mean) for end, mean in zip(ends, means, strict=True)))


def _range(ends: Array, mean: Array) -> Range:
    """Range of the two end courses about the mean; rounding and kinks never cross them."""
    return Range(
        low=np.minimum(ends.min(axis=0), mean),
        expected=mean,
        high=np.maximum(ends.max(axis=0), mean),
    )


def _alive(*sizes: Array) -> tuple[Array, ...]:
    """The same sizes, zero from the year on in which vigour, the last of them, is."""
    return tuple(np.where(sizes[-1] > 0, size, 0.0) for size in sizes)


def _sizes_m(
    starts: Sequence[Start], *, score: Array, years: IntArray
) -> tuple[Array, Array, Array, Array]:
    """Height, spread and crown base in metres, and vigour, each (score, year, course)."""
    bases = [start_basis(start) for start in starts]
    clock_years, vigour = _clock(starts, bases, score=score, years=years)
    heights = [(basis.height, basis.height_scatter) for basis in bases]
    spreads = [(basis.spread, basis.spread_scatter) for basis in bases]
    height_m, spread_m = (
        np.minimum(
            _grown_m(
                starts,
                score=score,
                clock_years=clock_years,
                curves=curves,
                start_m=_column(start_m),
            ),
            _column(limit_m),
        )
        for curves, start_m, limit_m in (
            (heights, [s.height_m for s in starts], [s.height_limit_m for s in starts]),
            (spreads, [s.spread_m for s in starts], [s.spread_limit_m for s in starts]),
        )
    )
    return height_m, spread_m, _crown_base_m(starts, bases, height_m), vigour


def _clock(
    starts: Sequence[Start], bases: Sequence[Basis], *, score: Array, years: IntArray
) -> tuple[Array, Array]:
    """Years of growth, and vigour, each (score, year, course)."""
    shape = (len(score), len(years), len(starts))
    grown, vigour = np.zeros(shape), np.ones(shape)
    for column, (start, basis) in enumerate(zip(starts, bases, strict=True)):  # few courses
        since = np.maximum(years - start.delay_years, 0)
        if start.roots_lost > 0:
            grown[..., column] = slowed_years(start.roots_lost, since, score=score)
            vigour[..., column] = crown_density(start.roots_lost, since, score=score)
        else:
            lag = ESTABLISHED if basis.name == SEEN else start.lag  # what was seen holds its lag
            grown[..., column] = grown_years(since, lag)
    return grown, vigour


def start_basis(start: Start) -> Basis:
    """What the course of a start rests on; a kept plant is none of those seen from planting.

    A tree whose trunk told its age has its curves scaled through the measured size.
    """
    if not start.kept:
        planted_m = (start.height_m, start.spread_m)
        return basis_of(start.plant, start.climate, planted_m=planted_m)
    usual = nursery_size(usual_size(start.plant), start.plant)
    basis = basis_of(start.plant, start.climate, planted_m=(usual.height_m, usual.spread_m))
    if start.age_years is None:
        return basis
    measured_m = (start.height_m, start.spread_m)
    return through_measured(basis, age_years=start.age_years, measured_m=measured_m)


def _grown_m(
    starts: Sequence[Start],
    *,
    score: Array,
    clock_years: Array,
    curves: Sequence[tuple[Curve, Scatter]],
    start_m: Array,
) -> Array:
    """Size in metres on the curves, scattered by score, from the size at the start."""
    z = score[:, None, None]
    room = _column([KEPT_ROOM if start.kept else 0.0 for start in starts])
    asymptote_m = _column([curve.asymptote_m for curve, _ in curves])
    asymptote_m = asymptote_m * scatter_factor(_column([s.asymptote for _, s in curves]), z)
    rate = _column([curve.rate_per_year for curve, _ in curves])
    shape = _column([curve.shape for curve, _ in curves])
    return grown_m(
        start_m,
        clock_years,
        asymptote_m=np.maximum(asymptote_m, room * start_m),
        rate=rate * scatter_factor(_column([s.rate for _, s in curves]), z),
        shape=shape / scatter_factor(_column([s.shape for _, s in curves]), z),
    )


def _crown_base_m(starts: Sequence[Start], bases: Sequence[Basis], height_m: Array) -> Array:
    """Height of the crown base in metres; a share of the height that changes as trees grow up."""
    base_m = np.zeros_like(height_m)
    for column, (start, basis) in enumerate(zip(starts, bases, strict=True)):  # few courses
        tall = height_m[..., column]
        grown = tall / basis.height.asymptote_m
        base_m[..., column] = tall * base_share(
            FORMS[start.plant.form], kind=start.plant.kind, grown=grown
        )
    return base_m


def _column(values: Sequence[float]) -> Array:
    """One value a course, as the last axis."""
    return np.asarray(values, dtype=float)
