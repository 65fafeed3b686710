"""Invented stands for the benchmarks, and one small table after them: times and ratios."""

import numpy as np
import pytest
import trimesh

from growth.crowns import FORMS, relative_radius
from growth.rays import Crowns

ROWS = pytest.StashKey[list]()

YEARS = 31
WIDE_M, DEEP_M = 30.0, 35.0
SIDES, RINGS = 16, 10
TRIANGLES = 2 * SIDES * RINGS


def _grown(mature_m):
    """Sizes (Y, n) in metres on a course that only rises, to 98 % of the mature size."""
    share = 1 - np.exp(-0.12 * (np.arange(YEARS) + 2))
    return (share[:, None] * mature_m).astype(np.float32)


def _planted(count, *, seed=0):
    """A yard's plants: in each hundred three trees, 22 shrubs and 75 low plants, all forms."""
    rng = np.random.default_rng(seed)
    trees, woody = count * 3 // 100, count // 4
    height = rng.uniform(0.3, 1.0, count)
    height[:woody] = rng.uniform(1, 3, woody)
    height[:trees] = rng.uniform(6, 15, trees)
    spread = height * rng.uniform(0.5, 1.2, count)
    base = np.where(np.arange(count) < trees, 0.2, 0.0) * height
    place = rng.uniform(0, 1, (count, 2)) * [WIDE_M, DEEP_M]
    return Crowns(
        np.column_stack([place, np.zeros(count)]), _grown(height), _grown(spread), _grown(base),
        tuple(FORMS.values()), rng.integers(0, len(FORMS), count),
        rng.uniform(0.2, 2, (1, count)),
    )  # fmt: skip


def _lathe_faces():
    """Triangles of RINGS bands and two caps' halves: 320 between 11 rings of 16 points."""
    ring = np.arange(SIDES)
    turn = (ring + 1) % SIDES
    band = np.concatenate(
        [np.stack([ring, turn, turn + SIDES], 1), np.stack([ring, turn + SIDES, ring + SIDES], 1)]
    )
    return np.concatenate([band + k * SIDES for k in range(RINGS)])


def _meshed(crowns, year):
    """All crowns of one year as one mesh."""
    share = 0.5 - 0.5 * np.cos(np.linspace(0, np.pi, RINGS + 1))
    angle = 2 * np.pi * np.arange(SIDES) / SIDES
    round_m = np.sqrt(np.pi / (0.5 * SIDES * np.sin(2 * np.pi / SIDES)))
    circle = np.stack([np.cos(angle), np.sin(angle)], 1) * round_m
    reach = np.array([relative_radius(form, share) for form in crowns.forms])[crowns.form]
    base, tall = crowns.base_m[year], crowns.height_m[year] - crowns.base_m[year]
    points = np.empty((len(reach), RINGS + 1, SIDES, 3))
    points[..., :2] = reach[:, :, None, None] * crowns.spread_m[year][:, None, None, None] / 2
    points[..., :2] = points[..., :2] * circle + crowns.foot_m[:, None, None, :2]
    points[..., 2] = (crowns.foot_m[:, 2] + base)[:, None, None] + (tall[:, None] * share)[
        ..., None
    ]
    faces = _lathe_faces() + (np.arange(len(reach)) * (RINGS + 1) * SIDES)[:, None, None]
    return trimesh.Trimesh(points.reshape(-1, 3), faces.reshape(-1, 3), process=False)


@pytest.fixture
def meshed():
    return _meshed


@pytest.fixture
def planted():
    return _planted


@pytest.fixture
def grown():
    return _grown


@pytest.fixture
def report(request):
    """Adds a row to the table: what, seconds, the peer's seconds (None) and a remark."""

    def add(what, seconds, peer_seconds=None, remark=""):
        request.config.stash.setdefault(ROWS, []).append((what, seconds, peer_seconds, remark))

    return add


def pytest_terminal_summary(terminalreporter, config):
    rows = config.stash.get(ROWS, [])
    if not rows:
        return
    terminalreporter.section("kernels against their peers")
    terminalreporter.write_line(f"{'':44} {'warm':>9} {'peer':>9} {'ratio':>7}")
    for what, seconds, peer, remark in rows:
        against = f"{peer:7.2f} s {peer / seconds:6.0f}x" if peer else " " * 17
        terminalreporter.write_line(f"{what:44} {seconds:7.3f} s {against}  {remark}")
