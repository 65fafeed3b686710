"""The few even draws of the program against many plain seeded ones, on every library yard.

Low and high of every bed's cover, the lot's canopy and every view's screening, in years 5 and
15, lie within a tenth of the range's width of what plain joint draws give. The percentile of
500 plain draws is itself off by about 0.03 of the width (standard error of an order statistic
of a normal quantity), so the reference is the mean over eight batches of 500. A range narrower
than ten points counts as ten points wide: within one point is as close as a reader can use.
"""

from pathlib import Path

import numpy as np
import pytest

import growth
import scenes
from growth.checks.canopy import canopy
from growth.checks.checking import SEED
from growth.checks.coverage import coverage
from growth.checks.outlook import prospects
from growth.checks.screening import screening
from growth.crownarea import circle_area_m2, crown_area_m2
from growth.scores import even_scores
from growth.stand import DRAWS, draw

ROOT = Path(__file__).parents[2]
YARDS = [
    *sorted((ROOT / "scenes" / "library").glob("*.toml")),
    ROOT / "tests" / "scenes" / "yards" / "small.toml",
]
YEARS = [5, 15]
BATCHES = range(8)
TOLERANCE, NARROWEST = 0.1, 0.1


def ends(draws, terrain, layout, stand):
    """Low and high of all aggregates in the two years, (2, aggregates, 2)."""
    few = draws.only(years=YEARS)
    beds, together = coverage(layout.beds, stand, few)
    ranges = [cover.fraction for cover in (*beds, together)]
    ranges += [canopy(terrain.boundary, stand, few).fraction]
    views = screening(prospects(terrain, layout), terrain.height_m, stand, few)
    ranges += [view.fraction_blocked for view in views]
    return np.array([[r.low for r in ranges], [r.high for r in ranges]])


@pytest.mark.parametrize("path", YARDS, ids=lambda path: path.stem)
def test_even_draws_give_the_range_of_plain_ones(path):
    yard = scenes.load(path)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    assert layout.beds
    assert layout.looks
    stand = growth.grow(yard, layout)
    even = ends(draw(stand, count=DRAWS, seed=SEED, scores=even_scores), terrain, layout, stand)
    plain = np.mean(
        [ends(draw(stand, count=500, seed=s), terrain, layout, stand) for s in BATCHES], axis=0
    )
    width = np.maximum(plain[1] - plain[0], NARROWEST)
    assert np.abs(even - plain) / width == pytest.approx(0, abs=TOLERANCE)


@pytest.mark.parametrize("path", YARDS, ids=lambda path: path.stem)
def test_layered_draws_give_the_range_of_all_crowns_together(path):
    yard = scenes.load(path)
    stand = growth.grow(yard, scenes.lay_out(yard, scenes.grade(yard)))

    def summed(seed):
        spread_m = draw(stand, count=500, seed=seed).spread_m[:, YEARS]
        return np.percentile(circle_area_m2(spread_m).sum(axis=-1), [10, 90], axis=0)

    low, high = np.mean([summed(seed) for seed in BATCHES], axis=0)
    found = crown_area_m2(stand)
    assert (high > low).all()
    assert (np.abs(found.low[YEARS] - low) <= TOLERANCE * (high - low)).all()
    assert (np.abs(found.high[YEARS] - high) <= TOLERANCE * (high - low)).all()
