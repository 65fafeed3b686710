"""Fit the rates of shrubs to heights at ten years, and print how far single shrubs are missed.

    python -m growth.calibrate.shrubs DATA      writes shrub_rates.csv, prints the misses

DATA is the table of plants' characteristics of USDA NRCS PLANTS (public domain), which gives a
shrub's height at ten years and its mature one, both as whole feet of a maximum: the rate of a
class is that at which the mean share of the mature height is met, from usual stock. The data
have one age and no spread: shape, spread and the range stay assumed.
"""

import argparse
import csv
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from growth.assumed import SHRUB_RATES
from growth.curves import Curve
from growth.fitting import mean_grown_m
from growth.nursery import stock_heights_m
from growth.ranges import Array
from growth.scatter import ASSUMED_SCATTER
from scenes.lengths import METRES

SOURCE = "heights at 10 years over mature heights of {} shrubs, USDA NRCS PLANTS, public domain"

BASE_YEARS = np.array([10.0])

FOOT_M = METRES["ft"]

WORDS = {"Slow": "slow", "Moderate": "moderate", "Rapid": "fast"}

USUAL_STOCK = "#5"
MOST_START = 0.5
"""Stock is at most this share of the mature height. Assumed."""


def main(argv: Sequence[str] | None = None) -> int:
    """Fit, print the misses and write the table."""
    parser = argparse.ArgumentParser(prog="python -m growth.calibrate.shrubs", description=__doc__)
    parser.add_argument("data", type=Path, metavar="DATA")
    rows = []
    for word, (base_m, mature_m) in _read(parser.parse_args(argv).data).items():
        rate = fitted_rate(base_m, mature_m)
        miss = base_heights_m(mature_m, rate) / base_m - 1
        print(
            f"{word:9} {len(base_m):3} shrubs   mean share {np.mean(base_m / mature_m):.3f}   "
            f"rate {rate:.3f} a year   height at 10 years: error {np.median(np.abs(miss)):.0%}, "
            f"bias {np.median(miss):+.0%}"
        )
        rows.append([word, f"{rate:.4f}", SOURCE.format(len(base_m))])
    with SHRUB_RATES.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerows([["rate", "rate_per_year", "source"], *rows])
    return 0


def fitted_rate(base_m: Array, mature_m: Array) -> float:
    """Rate k in 1/year at which shrubs have, in the mean, their share of the mature height."""
    share = float(np.mean(base_m / mature_m))

    def missed(rate: float) -> float:
        return float(np.mean(base_heights_m(mature_m, rate) / mature_m)) - share

    return float(brentq(missed, 0.01, 2.0))


def base_heights_m(mature_m: Array, rate: float) -> Array:
    """Expected heights in metres at ten years from usual stock, one for each mature height."""
    stock_m = stock_heights_m("shrub")[USUAL_STOCK]
    return np.array(
        [
            mean_grown_m(
                Curve(float(end_m), rate),
                ASSUMED_SCATTER,
                start_m=min(stock_m, MOST_START * float(end_m)),
                years=BASE_YEARS,
            )[0]
            for end_m in mature_m  # a hundred shrubs
        ]
    )


def _read(data: Path) -> dict[str, tuple[Array, Array]]:
    """Heights at ten years and mature ones in metres by rate word; impossible pairs left out."""
    found: dict[str, list[tuple[float, float]]] = {word: [] for word in WORDS.values()}
    with data.open(newline="", encoding="utf-8-sig") as rows:
        for row in csv.DictReader(rows):
            base = float(row["height_at_20_years_maximum_feet"] or 0)
            mature = float(row["height_mature_feet"] or 0)
            word = WORDS.get(row["growth_rate"])
            if row["growth_habit"] == "Shrub" and word and 0 < base <= mature:
                found[word].append((base * FOOT_M, mature * FOOT_M))
    pairs = {word: np.array(heights_m) for word, heights_m in found.items()}
    return {word: (heights_m[:, 0], heights_m[:, 1]) for word, heights_m in pairs.items()}


if __name__ == "__main__":
    raise SystemExit(main())
