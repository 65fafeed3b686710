"""Sun on the ground for a whole year: against any-hit mesh rays (Embree by trimesh).

Peer: crowns as lathed meshes of 320 triangles, and from every cell of the ground a ray towards
the sun, asked whether it meets anything; timed on 18 directions spread over the year's 828
(steps of ten minutes on the middle day of every month) and scaled. Solid crowns must agree
within 0.1 h a day, in the mean over the cells and between the two cell by cell.
"""

import time
from dataclasses import replace

import numpy as np

from growth.rays import OPAQUE_PER_M
from growth.sun import mean_day
from growth.sunlit import Sky, sunlit_hours

SIDE, GROWTH_YEAR, SAMPLE = 256, 15, 18
CELL_M = 30.0 / SIDE


def ground():
    """A level lot of 30 x 30 m in cells."""
    centre = (np.arange(SIDE) + 0.5) * CELL_M
    return np.stack([*np.meshgrid(centre, centre), np.zeros((SIDE, SIDE))], axis=-1)


def by_mesh(mesh, cells, towards):
    """Share of directions from which each cell is lit."""
    start = cells.reshape(-1, 3)
    lit = [~mesh.ray.intersects_any(start, np.broadcast_to(way, start.shape)) for way in towards]
    return np.mean(lit, axis=0).reshape(cells.shape[:2])


def test_a_year_of_sun_on_256_by_256_cells(benchmark, report, planted, meshed):
    crowns = planted(500).rows(GROWTH_YEAR, GROWTH_YEAR + 1)
    months = [
        mean_day((month,), latitude_deg=42.0, longitude_deg=-83.0, north_deg=0.0)
        for month in range(1, 13)
    ]
    cells = ground()

    def whole_year():
        return [
            sunlit_hours(Sky(cells, CELL_M, day.towards, day.hours), crowns)[0] for day in months
        ]

    benchmark.pedantic(whole_year, rounds=2, iterations=1, warmup_rounds=1)
    towards = np.concatenate([day.towards for day in months])
    hours_a_day = sum(day.hours.sum() for day in months) / 12
    some = towards[np.linspace(0, len(towards) - 1, SAMPLE).astype(int)]
    mesh = meshed(crowns, 0)
    mesh.ray.intersects_any(cells[0, :1], some[:1])  # builds its tree, which is not timed
    begin = time.perf_counter()
    peer = by_mesh(mesh, cells, some) * hours_a_day
    peer_s = (time.perf_counter() - begin) * len(towards) / SAMPLE
    solid = replace(crowns, density_per_m=np.full((1, 500), OPAQUE_PER_M))
    ours = sunlit_hours(Sky(cells, CELL_M, some, np.full(SAMPLE, hours_a_day / SAMPLE)), solid)[0]
    apart_h, mean_h = np.abs(ours - peer).mean(), abs(ours.mean() - peer.mean())
    remark = f"peer timed on {SAMPLE} directions; {apart_h:.3f} h a day apart by cell"
    report("sun on 256 x 256 cells, 500 plants, 1 year", benchmark.stats.stats.min, peer_s, remark)
    assert apart_h < 0.1
    assert mean_h < 0.1
