"""The tables of a calibration: error, bias, coverage and width, as plain text."""

import numpy as np

from growth.calibrate.judge import (
    FIRST_RANGED_BAND,
    Miss,
    Outcome,
    ends_m,
    expected_sizes_m,
    misses,
)
from growth.calibrate.trees import AGE_BANDS, FIRST_JUDGED_BAND, Trees
from growth.scatter import Scatter


def report(
    trees: Trees, outcome: Outcome, scatter: Scatter, deviations: tuple[float, float]
) -> str:
    """Everything about the height or the spread, species left out one at a time."""
    between, within = deviations
    expected_m = expected_sizes_m(outcome, trees.age_years, scatter)
    lines = [
        f"{outcome.of}: {int((outcome.measured_m > 0).sum())} trees of "
        f"{len(np.unique(trees.kind))} species, {trees.left_out} rows left out "
        "(age or species' mature size not known)",
        "  species left out one at a time, region known; median miss of medians, and bias:",
        _line("middle course", misses(trees, outcome.measured_m, outcome.foretold_m)),
        _line("expected", misses(trees, outcome.measured_m, expected_m)),
        _line("expected, of means", misses(trees, outcome.measured_m, expected_m, by=np.mean)),
        _line("USDA mature size", misses(trees, outcome.measured_m, outcome.other_foretold_m)),
        *_by_type(trees, outcome),
        *_by_band(trees, outcome, scatter),
        f"  ln size: deviation between species {between:.3f}, within species {within:.3f}, "
        f"share between {between**2 / (between**2 + within**2):.2f}",
    ]
    return "\n".join(lines)


def _line(name: str, found: list[Miss]) -> str:
    share = np.array([miss.share for miss in found])
    return (
        f"    {name:18} {len(share):4} medians   error {np.median(np.abs(share)):6.1%}   "
        f"bias {np.median(share):+6.1%}   nine in ten under {np.quantile(np.abs(share), 0.9):.0%}"
    )


def _by_type(trees: Trees, outcome: Outcome) -> list[str]:
    found = misses(trees, outcome.measured_m, outcome.foretold_m)
    types = sorted({species.traits.type for species in trees.species})
    return [
        _line(name, [m for m in found if trees.species[m.species].traits.type == name])
        for name in types
    ]


def _by_band(trees: Trees, outcome: Outcome, scatter: Scatter) -> list[str]:
    low_m, high_m = ends_m(outcome, trees.age_years, scatter)
    inside = (outcome.measured_m >= low_m) & (outcome.measured_m <= high_m)
    width = (high_m - low_m) / outcome.foretold_m
    bands = trees.band()
    usable = outcome.measured_m > 0
    found = misses(trees, outcome.measured_m, outcome.foretold_m)
    lines = ["    years since planting   trees   inside low-high   width/middle   error    bias"]
    for band in range(FIRST_JUDGED_BAND, len(AGE_BANDS)):
        mine = usable & (bands == band)
        share = np.array([miss.share for miss in found if miss.band == band])
        known = "" if band >= FIRST_RANGED_BAND else "   (not counted: size at planting rules)"
        lines.append(
            f"    {AGE_BANDS[band][0]:>6} to {AGE_BANDS[band][1]:<6} {mine.sum():12} "
            f"{inside[mine].mean():13.1%} {np.median(width[mine]):14.2f} "
            f"{np.median(np.abs(share)):11.1%} {np.median(share):+8.1%}{known}"
        )
    mine = usable & (bands >= FIRST_RANGED_BAND)
    lines.append(
        f"    all from {AGE_BANDS[FIRST_RANGED_BAND][0]} years {mine.sum():12} "
        f"{inside[mine].mean():13.1%} {np.median(width[mine]):14.2f}"
    )
    return lines
