"""A survey of 100,000 shots read, checked and laid on a lattice, beside matplotlib's triangles.

Peer: matplotlib's triangulation and its linear interpolation on the same points and nodes.
"""

import time

import numpy as np
import pytest
from matplotlib.tri import LinearTriInterpolator, Triangulation

from scenes.lattice import Lattice
from scenes.reading import load
from scenes.survey import read_survey
from scenes.tin import surveyed_ground

COUNT = 100_000
SIDE_M = 90.0  # two acres


def _level(x, y):
    return 50 + 0.03 * x + np.sin(x / 15) + 0.5 * np.cos(y / 9)


def _rows(xy, code):
    z = _level(*xy.T)
    return [f"{x:.4f},{y:.4f},{h:.4f},{code}" for (x, y), h in zip(xy, z, strict=True)]


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    """A lot of two acres, shots at random, and forty breaklines of fifty shots across it."""
    folder = tmp_path_factory.mktemp("survey")
    rng = np.random.default_rng(2)
    lines = 40
    rows = _rows(rng.uniform(0, SIDE_M, (COUNT - 50 * lines, 2)), "gnd")
    for number in range(lines):
        x = np.linspace(1, SIDE_M - 1, 50)
        y = np.full(50, 2.0 + 2.1 * number) + 0.5 * np.sin(x / 7)
        rows += _rows(np.column_stack([x, y]), f"BL{number}")
    (folder / "s.csv").write_text("x,y,z,code\n" + "\n".join(rows))
    (folder / "yard.toml").write_text(
        f'title = "t"\nlengths = "m"\n[site]\nboundary = [[0, 0], [{SIDE_M}, 0], '
        f'[{SIDE_M}, {SIDE_M}], [0, {SIDE_M}]]\n[ground]\nsurvey = "s.csv"\ncell = 0.25\n'
    )
    return load(folder / "yard.toml")


def _loaded(yard, lattice):
    survey = read_survey(yard)
    return survey, surveyed_ground(survey, lattice)


def test_100_000_shots_are_read_and_laid_out(benchmark, report, yard):
    lattice = Lattice(-3.0, -3.0, 0.25, 385, 385)
    survey, (heights_m, beyond) = benchmark.pedantic(
        _loaded, args=(yard, lattice), rounds=2, iterations=1
    )
    start = time.perf_counter()
    net = Triangulation(*survey.points_m[:, :2].T)
    nodes = lattice.nodes_m()
    peer = LinearTriInterpolator(net, survey.points_m[:, 2])(nodes[..., 0], nodes[..., 1])
    peer_s = time.perf_counter() - start
    best_s = benchmark.stats.stats.min
    worst_m = np.abs(heights_m - peer.filled(np.nan))[~beyond & ~peer.mask].max()
    report(
        "survey, 100,000 shots read and laid out", best_s, peer_s, "limit 5 s; peer reads no file"
    )
    assert worst_m < 0.05
