"""The tables of a calibration: error, bias, coverage and width, as plain text."""

from collections.abc import Sequence

import numpy as np
from scipy.stats import skew

from growth.calibrate.judge import FIRST_GROWN_BAND, Deviations, Miss, Outcome, misses
from growth.calibrate.trees import AGE_BANDS, FIRST_JUDGED_BAND, BoolArray, Trees
from growth.calibrate.tuning import FOLDS, Foretold
from growth.ranges import Array


def report(trees: Trees, outcome: Outcome, foretold: Foretold, found: Deviations) -> str:
    """Everything about the height or the spread, species left out one at a time."""
    measured_m = outcome.measured_m
    of_middle = misses(trees, measured_m, foretold.middle_m)
    lines = [
        f"{outcome.of}: {int((measured_m > 0).sum())} trees of "
        f"{len(np.unique(trees.kind))} species, {trees.left_out} rows left out "
        "(age or species' mature size not known)",
        "  species left out one at a time, region known, size at planting not; scatter and centre",
        f"  from {FOLDS - 1} parts in {FOLDS} of the species, judged on the other part",
        "  median miss of the medians of species and age bands, and bias:",
        miss_line("middle course", of_middle),
        miss_line("expected", misses(trees, measured_m, foretold.expected_m)),
        miss_line("expected, of means", misses(trees, measured_m, foretold.expected_m, by=np.mean)),
        miss_line("USDA mature size", misses(trees, measured_m, foretold.other_m)),
        *_by_type(trees, of_middle),
        *_by_band(trees, measured_m, foretold),
        f"  ln size: deviation between species {found.between:.3f}, "
        f"within species {found.within:.3f}, share between {found.share_between:.2f}",
        _skewness(trees, measured_m, foretold.middle_m),
    ]
    return "\n".join(lines)


def miss_line(name: str, found: Sequence[Miss]) -> str:
    """Error, bias and width of some misses, on one line."""
    share = np.array([miss.share for miss in found])
    return (
        f"    {name:18} {len(share):4} medians   error {np.median(np.abs(share)):6.1%}   "
        f"bias {np.median(share):+6.1%}   nine in ten under {np.quantile(np.abs(share), 0.9):.0%}"
    )


def _by_type(trees: Trees, found: Sequence[Miss]) -> list[str]:
    types = sorted({species.traits.type for species in trees.species})
    return [
        miss_line(name, [m for m in found if trees.species[m.species].traits.type == name])
        for name in types
    ]


def _by_band(trees: Trees, measured_m: Array, foretold: Foretold) -> list[str]:
    bands = trees.band()
    found = misses(trees, measured_m, foretold.middle_m)
    lines = [
        "    years since planting   trees   inside low-high   width/middle   error    bias"
        "   inside from small stock of known size"
    ]
    for band in range(FIRST_JUDGED_BAND, len(AGE_BANDS)):
        mine = (measured_m > 0) & (bands == band)
        share = np.array([miss.share for miss in found if miss.band == band])
        name = "{:>6} to {:<6}".format(*AGE_BANDS[band])
        lines.append(
            _ranged(name, measured_m, foretold, mine)
            + f"{np.median(np.abs(share)):11.1%} {np.median(share):+8.1%}"
            + f"{foretold.inside_known(measured_m)[mine].mean():19.1%}"
        )
    judged = (measured_m > 0) & (bands >= FIRST_JUDGED_BAND)
    name = f"all from {AGE_BANDS[FIRST_JUDGED_BAND][0]} years"
    return [*lines, _ranged(name, measured_m, foretold, judged)]


def _ranged(name: str, measured_m: Array, foretold: Foretold, mine: BoolArray) -> str:
    width = (foretold.high_m - foretold.low_m) / foretold.middle_m
    return (
        f"    {name:16} {mine.sum():12} {foretold.inside(measured_m)[mine].mean():13.1%} "
        f"{np.median(width[mine]):14.2f} "
    )


def _skewness(trees: Trees, measured_m: Array, middle_m: Array) -> str:
    """Skewness of sizes over the middle course: of logarithms, of roots, and of themselves."""
    grown = (measured_m > 0) & (trees.band() >= FIRST_GROWN_BAND)
    size = measured_m[grown] / middle_m[grown]
    return (
        f"  skewness of measured over middle: logarithm {skew(np.log(size)):+.2f}, "
        f"root {skew(np.sqrt(size)):+.2f}, size {skew(size):+.2f}"
    )
