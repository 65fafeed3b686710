"""Cover of the ground: against unions of polygons (GEOS by shapely), and of a hundred thousand.

Peer: discs as 64-gons, buffered and united anew for each of the 31 years, clipped to the lot.
"""

import time

import numpy as np
import shapely

from growth.cover import cell_size_m, cells, covered_share, one_layer

LOT = shapely.box(0, 0, 30, 35)


def by_cells(lot, xy_m, radius_m):
    cell_m = cell_size_m(lot.area, 2 * float(radius_m[:, -1].min()))
    return covered_share(cells(lot, cell_m), one_layer(xy_m, radius_m))[0]


def by_polygons(lot, xy_m, radius_m):
    """Share covered in each year, by the union of 64-gons."""
    points = shapely.points(xy_m)
    unions = (
        shapely.union_all(shapely.buffer(points, radius, quad_segs=16)) for radius in radius_m.T
    )
    return np.array([union.intersection(lot).area / lot.area for union in unions])


def test_500_plants_against_unions_of_polygons(benchmark, report, planted):
    crowns = planted(500)
    radius_m, xy_m = crowns.spread_m.T / 2, crowns.foot_m[:, :2]
    share = benchmark.pedantic(
        by_cells, args=(LOT, xy_m, radius_m), rounds=9, iterations=1, warmup_rounds=2
    )
    start = time.perf_counter()
    peer = by_polygons(LOT, xy_m, radius_m)
    peer_s = time.perf_counter() - start
    worst = np.abs(share - peer).max()
    warm_s = benchmark.stats.stats.median
    report("cover, 500 plants, 31 years", warm_s, peer_s, f"apart at most {worst:.2%} of the lot")
    assert worst < 0.005


def test_100_000_plants_over_31_years(benchmark, report, grown):
    rng = np.random.default_rng(1)
    lot = shapely.box(0, 0, 100, 100)
    xy_m = rng.uniform(0, 100, (100_000, 2))
    radius_m = grown(rng.uniform(0.3, 0.6, 100_000)).T / 2
    share = benchmark.pedantic(
        by_cells, args=(lot, xy_m, radius_m), rounds=3, iterations=1, warmup_rounds=1
    )
    # plants at random: the open share is exp(-sum of circles over the lot's area)
    wanted = 1 - np.exp(-np.pi * (radius_m**2).sum(axis=0) / lot.area)
    warm_s = benchmark.stats.stats.median
    report("cover, 100,000 plants, 31 years", warm_s, remark="limit 2 s")
    assert np.abs(share - wanted).max() < 0.01
