"""Levels of a survey that stand out among their neighbours: pointed out, never removed.

Each point is held against a plane through its ten nearest neighbours, itself left out. The
plane has the least sum of absolute distances, so that one bad level among the neighbours does
not tilt it. A point stands out when it is off that plane by more than a foot, by more than
eight times the scatter of its neighbours about the plane and of all points about theirs, and
at most one neighbour is off with it: along a kerb or a wall there are more.
Thresholds: common practice of robust statistics (median absolute deviation) and our own.
"""

from collections.abc import Sequence

import numpy as np
from scipy.spatial import cKDTree

from scenes.lattice import Array
from scenes.lengths import METRES
from scenes.shots import place_in_file

NEIGHBOURS = 10
LEAST_POINTS = 8
STANDS_OUT_M = METRES["ft"]
TIMES_SCATTER = 8.0
DEVIATIONS = 1.4826
"""Standard deviations of a normal scatter in one median absolute deviation."""

ROUNDS = 8
SAMPLED = 2000
TINY = 1e-9
SMALLEST_M = 1e-4
SHOWN = 5


def notes_of_bad_levels(points_m: Array, place: Sequence[str], unit: str) -> tuple[str, ...]:
    """A line on each level that stands out, five at the most, heights in the unit given."""
    off_m = off_neighbours_m(points_m)
    worst = np.argsort(-np.abs(off_m))[: np.count_nonzero(off_m)]
    notes = [_note(place[i], off_m[i], unit) for i in worst[:SHOWN]]
    if len(worst) > SHOWN:
        notes.append(f"{len(worst) - SHOWN} more levels of the survey stand out like these")
    return tuple(notes)


def off_neighbours_m(points_m: Array) -> Array:
    """How far each point that stands out (n,) is above its neighbours in metres; others 0."""
    off_m = np.zeros(len(points_m))
    if len(points_m) < LEAST_POINTS:
        return off_m
    count = min(NEIGHBOURS, len(points_m) - 1)
    _, near = cKDTree(points_m[:, :2]).query(points_m[:, :2], k=count + 1)
    around = points_m[near[:, 1:]] - points_m[:, None]
    doubtful = np.flatnonzero(np.abs(_planes(around, rounds=1)[0]) > STANDS_OUT_M)
    sample = around[:: 1 + len(around) // SAMPLED]
    usual_m = np.median(np.abs(_planes(sample, rounds=ROUNDS)[0]))
    level_m, above_m = _planes(around[doubtful], rounds=ROUNDS)
    scatter_m = np.maximum(np.median(np.abs(above_m), axis=1), usual_m)
    limit_m = np.maximum(TIMES_SCATTER * DEVIATIONS * scatter_m, STANDS_OUT_M)
    own_m = -level_m
    alike = (above_m * np.sign(own_m)[:, None] > np.abs(own_m)[:, None] - STANDS_OUT_M).sum(axis=1)
    out = (np.abs(own_m) > limit_m) & (alike <= 1)
    off_m[doubtful[out]] = own_m[out]
    return off_m


def _planes(around: Array, *, rounds: int) -> tuple[Array, Array]:
    """Level at the origin (n,) of planes through neighbours (n, k, 3), and those above it (n, k).

    One round is least squares; more go to least absolute distances by weighing anew.
    """
    reach = np.abs(around[:, :, :2]).max(axis=(1, 2))[:, None, None]
    known = np.concatenate([np.ones_like(around[:, :, :1]), around[:, :, :2] / reach], axis=2)
    weight = np.ones(around.shape[:2])
    for _ in range(rounds):
        weighed = known * weight[:, :, None]
        square = np.einsum("nki,nkj->nij", weighed, known) + TINY * np.eye(3)
        plane = np.linalg.solve(
            square, np.einsum("nki,nk->ni", weighed, around[:, :, 2])[:, :, None]
        )
        above_m = around[:, :, 2] - (known @ plane)[:, :, 0]
        weight = 1 / np.maximum(np.abs(above_m), SMALLEST_M)
    return plane[:, 0, 0], above_m


def _note(place: str, off_m: float, unit: str) -> str:
    where = place_in_file(place)
    side = "above" if off_m > 0 else "below"
    by = f"{abs(off_m) / METRES[unit]:.3g} {unit}"
    return f"{where}: its level is {by} {side} the ground around it; it is kept, check it"
