"""How well the species' own published equations foretell, where they were measured and elsewhere.

Every tree is foretold by the rising curve through its species' equation of its own region, and
by those of all other regions that have one, with the scatter within a kind. That range is used
in a region of its own alone (see `basis`): here stands why. The equations were drawn through
these very trees, so that errors in their own region are those of a fit, not of a forecast.
They give mean trees; a factor on their asymptotes centres middle and mean on the medians.
"""

import numpy as np

from growth.calibrate.fit import STOCK_M, Courses
from growth.calibrate.judge import FIRST_GROWN_BAND, Outcome, bias, misses
from growth.calibrate.report import miss_line
from growth.calibrate.trees import IntArray, Trees
from growth.calibrate.tuning import Tuning, foretell
from growth.climate import REGIONS
from growth.coefficients import coefficient_rows
from growth.curves import Curve
from growth.equations import curves_by_region
from growth.scatter import Scatter, class_scatter, within_kind


def equations_centre(trees: Trees, *, of: str, scatter: Scatter, stock: float) -> float:
    """Factor on asymptotes by which middle and expected miss the medians alike, in own regions."""
    some, outcome = _grown_pairs(trees, of=of, own=True)
    foretold = foretell(some, outcome, Tuning(within_kind(scatter), stock, factor=1.0))
    return 1 - sum(
        bias(misses(some, outcome.measured_m, size_m)) / 2
        for size_m in (foretold.middle_m, foretold.expected_m)
    )


def equations_report(trees: Trees, *, of: str) -> str:
    """Error, bias and coverage of the published equations, in their own region and in others."""
    lines = [f"{of} by the species' own equations, range within a kind, from four years on:"]
    found = coefficient_rows()
    stock = found[of, "scatter", "size at planting, where unknown"]
    tuning = Tuning(within_kind(class_scatter(of)), stock, factor=found[of, "equations", "centre"])
    for own, place in ((True, "own region"), (False, "other regions")):
        some, outcome = _grown_pairs(trees, of=of, own=own)
        measured_m, foretold = outcome.measured_m, foretell(some, outcome, tuning)
        inside = foretold.inside(measured_m)[measured_m > 0].mean()
        lines += [
            f"    {place:18} {np.sum(measured_m > 0):5} trees     inside low-high {inside:6.1%}",
            miss_line("  middle course", misses(some, measured_m, foretold.middle_m)),
            miss_line("  expected", misses(some, measured_m, foretold.expected_m)),
        ]
    return "\n".join(lines)


def _grown_pairs(trees: Trees, *, of: str, own: bool) -> tuple[Trees, Outcome]:
    """Trees from four years on, again for each region whose equation is used, and its curves."""
    rows, courses = _pairs(trees, of=of, own=own)
    some = trees.only(rows)
    grown = some.band() >= FIRST_GROWN_BAND
    some, courses = some.only(grown), courses.only(grown)
    return some, Outcome(of, some.size_m(of), courses, courses, np.zeros(1))


def _pairs(trees: Trees, *, of: str, own: bool) -> tuple[IntArray, Courses]:
    """Indices of trees, again for each region whose equation is used, and the curves used."""
    numbers: list[IntArray] = []
    curves: list[Curve] = []
    for kind, species in enumerate(trees.species):
        for code, pair in curves_by_region(species.name).items():
            there = np.array([region.code == code for region in REGIONS])[trees.region]
            found = np.flatnonzero((trees.kind == kind) & (there == own))
            numbers.append(found)
            curves += [pair[0 if of == "height" else 1]] * len(found)
    return np.concatenate(numbers), Courses(
        np.array([curve.asymptote_m for curve in curves]),
        np.array([curve.rate_per_year for curve in curves]),
        np.array([curve.shape for curve in curves]),
        STOCK_M[of],
    )
