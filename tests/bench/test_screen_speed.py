"""Screening of one view: against all-hits mesh rays (Embree by trimesh), and at full size.

Peer: crowns as lathed meshes of 320 triangles each, built anew for each year, and all hits of
every sight line; timed on five evenly spread years of the 31 and scaled. Solid crowns must
agree within one percentage point: the meshes' sixteen sides have the circle's area.
"""

import time
from dataclasses import replace

import numpy as np

from growth.rays import OPAQUE_PER_M, blocked_share, fan

YEARS = 31
COLUMNS, ROWS = 256, 128
EYE = np.array([15.0, -8, 1.6])
PANEL = np.array([[8, 35, 0], [22, 35, 0], [22, 35, 9], [8, 35, 9.0]])
LINES = fan(EYE, PANEL, rows=ROWS, columns=COLUMNS)
PEER_YEARS = (3, 9, 15, 21, 27)


def hidden_by_mesh(crowns, year, meshed):
    """Share of sight lines that meet a mesh before the panel, from all their hits."""
    across = np.broadcast_to(LINES.across_m[:, None], (2, ROWS, COLUMNS))
    lines = np.stack([*across, LINES.rise_m], -1).reshape(-1, 3)
    found, ray, _ = meshed(crowns, year).ray.intersects_location(
        np.broadcast_to(EYE, lines.shape), lines, multiple_hits=True
    )
    along = ((found - EYE) * lines[ray]).sum(axis=1) / (lines[ray] ** 2).sum(axis=1)
    return len(np.unique(ray[along < 1])) / len(lines)


def test_the_peer_is_embree_and_has_320_triangles_a_crown(planted, meshed):
    mesh = meshed(planted(3), 10)
    assert "pyembree" in type(mesh.ray).__module__
    assert len(mesh.faces) == 3 * 320


def test_500_plants_31_years_against_mesh_rays(benchmark, report, planted, meshed):
    crowns = planted(500)
    benchmark.pedantic(blocked_share, args=(LINES, crowns), rounds=3, iterations=1, warmup_rounds=1)
    start = time.perf_counter()
    peer = np.array([hidden_by_mesh(crowns, year, meshed) for year in PEER_YEARS])
    peer_s = (time.perf_counter() - start) * YEARS / len(PEER_YEARS)
    solid = replace(crowns, density_per_m=np.full((1, 500), OPAQUE_PER_M))
    worst = np.abs(blocked_share(LINES, solid)[0, list(PEER_YEARS)] - peer).max()
    warm_s = benchmark.stats.stats.median
    remark = f"peer timed on years {PEER_YEARS}; solid crowns {worst:.2%} apart"
    report(f"screen, 500 plants, 31 years, {COLUMNS} x {ROWS}", warm_s, peer_s, remark)
    assert worst < 0.01
