"""Levels of a survey that stand out among their neighbours: pointed out, never removed.

Each point is held against a plane through its nearest neighbours, itself left out. The plane
has the least sum of absolute distances, so that one bad level among the neighbours does not
tilt it. A point stands out when it is off that plane by more than a foot and by more than
eight times the scatter of its neighbours about the plane, and of all points about theirs.
A kerb or a wall is no such point, for there half the neighbours scatter as much.
Thresholds: common practice of robust statistics (median absolute deviation) and our own.
"""

from collections.abc import Sequence

import numpy as np
from scipy.spatial import cKDTree

from scenes.lattice import Array
from scenes.lengths import METRES

NEIGHBOURS = 10
LEAST_POINTS = 8
STANDS_OUT_M = 0.3048
TIMES_SCATTER = 8.0
DEVIATIONS = 1.4826
"""Standard deviations of a normal scatter in one median absolute deviation."""

ROUNDS = 8
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
    level_m, _ = _plane(around, rounds=1)
    usual_m = float(np.median(np.abs(level_m)))
    doubtful = np.flatnonzero(np.abs(level_m) > STANDS_OUT_M)
    level_m, scatter_m = _plane(around[doubtful], rounds=ROUNDS)
    limit_m = TIMES_SCATTER * DEVIATIONS * np.maximum(scatter_m, usual_m)
    out = np.abs(level_m) > np.maximum(limit_m, STANDS_OUT_M)
    off_m[doubtful[out]] = -level_m[out]
    return off_m


def _plane(around: Array, *, rounds: int) -> tuple[Array, Array]:
    """Level at the origin (n,) of planes through neighbours (n, k, 3), and their scatter.

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
        off_m = np.abs(around[:, :, 2] - (known @ plane)[:, :, 0])
        weight = 1 / np.maximum(off_m, SMALLEST_M)
    return plane[:, 0, 0], np.median(off_m, axis=1)


def _note(place: str, off_m: float, unit: str) -> str:
    where = place.removeprefix("ground.survey: ")
    side = "above" if off_m > 0 else "below"
    by = f"{abs(off_m) / METRES[unit]:.3g} {unit}"
    return f"{where}: its level is {by} {side} the ground around it; it is kept, check it"
