"""Figures of fire spacing, as fire_rules.csv lists them with their source; local codes govern."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from scenes.lengths import METRES

TABLE = Path(__file__).with_name("fire_rules.csv")

SHRUBS, TREES = "gap between shrubs", "gap between trees"
UPWARDS, FROM_HOUSE = "gap from a shrub up to a crown", "gap from a house"
TIMES = "times the height"


@dataclass(frozen=True)
class FireRule:
    """A figure that holds from a slope on (rise over run): metres, or times a plant's height."""

    slope_from: float
    figure: float
    of_height: bool


@cache
def fire_rules() -> dict[str, tuple[FireRule, ...]]:
    """The rows of fire_rules.csv by what they are about, the flattest ground first."""
    found: dict[str, list[FireRule]] = {}
    with TABLE.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            of_height = row["unit"] == TIMES
            figure = float(row["figure"]) * (1.0 if of_height else METRES[row["unit"]])
            rule = FireRule(float(row["slope_from"]), figure, of_height)
            found.setdefault(row["what"], []).append(rule)
    return {what: tuple(rules) for what, rules in found.items()}


def wanted_gap_m(what: str, height_m: NDArray[np.floating], slope: float) -> NDArray[np.floating]:
    """The clear distance in metres for plants of heights (Y,) on a slope (rise over run).

    A figure holds up to the slope where the next begins.
    """
    rules = fire_rules()[what]
    steps = [rule.slope_from for rule in rules[1:]]
    rule = rules[int(np.searchsorted(steps, slope, side="left"))]
    return height_m * rule.figure if rule.of_height else np.full_like(height_m, rule.figure)


def farthest_gap_m(what: str, height_m: float) -> float:
    """The largest distance in metres that the rule can ask of plants up to a height."""
    most = fire_rules()[what][-1]
    return height_m * most.figure if most.of_height else most.figure
