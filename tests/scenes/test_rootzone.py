"""Root zones on small yards: shares of a circle known from its segments."""

import math

import pytest

import scenes
from scenes.document import Yard
from scenes.rootzone import root_zones

RADIUS_M = 15 * 0.4  # 1.25 ft an inch is 15 trunks; the trunk is 400 mm
TREE = {"plant": "Acer rubrum", "at": [10, 10], "trunk_diameter": "400 mm", "height": 9,
        "spread": 7}  # fmt: skip
CORNERS = [[0, 0], [20, 0], [20, 20], [0, 20]]


def zone_of(*, cell=0.25, soil="loam", **tables):
    raw = {
        "title": "t",
        "lengths": "m",
        "site": {"boundary": CORNERS, "soil": soil},
        "ground": {"points": [[*corner, 10] for corner in CORNERS], "cell": cell},
        "kept": [TREE],
    }
    yard = Yard.model_validate(raw | tables, context={"unit": "m"})
    (zone,) = root_zones(yard, scenes.grade(yard))
    return zone


def segment_share(distance_m):
    """The share of the zone beyond a straight line at a distance from the trunk."""
    half = math.acos(distance_m / RADIUS_M)
    return (half - math.sin(half) * math.cos(half)) / math.pi


def paved(west, *, kind="patio", **more):
    outline = [[west, 0], [20, 0], [20, 20], [west, 20]]
    return {"surface": [{"name": "s", "kind": kind, "outline": outline, **more}]}


def pad(level, *, west=13, batter=0):
    outline = [[west, 0], [20, 0], [20, 20], [west, 20]]
    return {"grading": [{"name": "p", "do": "pad", "outline": outline, "level": level,
                         "batter": batter}]}  # fmt: skip


def test_untouched_ground_loses_nothing():
    zone = zone_of()
    assert (zone.radius_m, zone.rule) == (pytest.approx(RADIUS_M), "1.25 ft per inch")
    assert (zone.lost_fraction, zone.deepest_cut_m, zone.highest_fill_m) == (0, 0, 0)
    assert zone.level == "little"
    assert zone.nearest_m is None
    assert len(zone.advice) == 1
    assert "Fence" in zone.advice[0]


def test_new_paving_takes_its_segment():
    zone = zone_of(**paved(13))
    assert zone.lost_fraction == pytest.approx(segment_share(3), rel=1e-3)
    assert zone.shares["paving"] == zone.lost_fraction
    assert zone.level == "ask an arborist"


@pytest.mark.parametrize("more", [{"existing": True}, {"kind": "deck"}, {"kind": "lawn"}])
def test_existing_paving_decks_and_lawns_take_nothing(more):
    assert zone_of(**paved(13, **more)).lost_fraction == 0


@pytest.mark.parametrize(("level", "cause"), [(9.0, "cut"), (11.0, "fill")])
def test_a_pad_takes_its_segment_by_cut_or_fill(level, cause):
    """A vertical side is drawn over one cell: the harmed ground reaches at most that far out."""
    zone = zone_of(cell=0.1, **pad(level))
    assert segment_share(3) < zone.lost_fraction < segment_share(2.9)
    assert zone.shares[cause] == zone.lost_fraction
    assert (zone.deepest_cut_m, zone.highest_fill_m) == (
        pytest.approx((1, 0) if cause == "cut" else (0, 1))
    )


def test_sides_count_where_they_are_deep_enough():
    """A pad one metre down with sides of 2 to 1: two inches deep at 2 x (1 - 0.0508) m beyond."""
    zone = zone_of(**pad(9.0, west=14, batter=2))
    edge_m = 4 - 2 * (1 - 0.0508)
    assert zone.lost_fraction == pytest.approx(segment_share(edge_m), rel=2e-3)
    assert zone.nearest_m == pytest.approx(edge_m, abs=1e-3)


@pytest.mark.parametrize(
    ("level", "soil", "lost"),
    [(10.04, "loam", False), (10.04, "heavy clay", True), (10.08, "loam", True),
     (9.96, "loam", False), (9.94, "loam", True)],
)  # fmt: skip
def test_depths_that_harm_by_soil(level, soil, lost):
    """Cut over 2 in; fill over 3 in, and over 1 in on clay."""
    assert (zone_of(soil=soil, **pad(level)).lost_fraction > 0) == lost


def test_depths_may_be_written():
    deeper = {"roots": {"cut": "300 mm", "fill": "300 mm"}}
    assert zone_of(**pad(9.8), **deeper).lost_fraction == 0
    assert zone_of(**pad(9.6), **deeper).lost_fraction > 0


def test_the_union_is_counted_once():
    both = zone_of(cell=0.1, **paved(13), **pad(9.0))
    assert segment_share(3) < both.lost_fraction < segment_share(2.9)


def test_a_trench_takes_its_band():
    """A trench of half a metre straight past the trunk at 2 m."""
    trench = {"name": "t", "line": [[12, 0], [12, 20]], "width": "500 mm", "depth": "600 mm"}
    zone = zone_of(trench=[trench])
    assert zone.lost_fraction == pytest.approx(segment_share(1.75) - segment_share(2.25), rel=1e-3)
    assert zone.nearest_m == pytest.approx(1.75)
    assert "may fall" in zone.advice[0]  # nearer than six trunk diameters, 2.4 m
    assert any("811" in line for line in zone.advice)
    shallow = zone_of(trench=[{**trench, "depth": "40 mm"}])
    assert shallow.lost_fraction == 0


def test_footings_of_new_walls_count_and_standing_houses_do_not():
    wall = {"name": "w", "kind": "wall", "line": [[13, 0], [13, 20]], "height": 1,
            "thickness": 0.4}  # fmt: skip
    band = segment_share(2.5) - segment_share(3.5)
    assert zone_of(structure=[wall]).lost_fraction == pytest.approx(band, rel=1e-3)
    assert zone_of(structure=[{**wall, "existing": True}]).lost_fraction == 0
    house = {"name": "h", "kind": "house", "outline": [[13, 0], [20, 0], [20, 20], [13, 20]],
             "floor": 10.2, "eave": 2.5, "ridge": 4}  # fmt: skip
    assert zone_of(structure=[house]).lost_fraction == 0
    new = zone_of(structure=[{**house, "existing": False}])
    assert new.lost_fraction == pytest.approx(segment_share(3), rel=1e-3)


def test_each_rule_by_its_radius():
    trunks = {"1 ft per inch": 12, "1.25 ft per inch": 15, "1.5 ft per inch": 18, "12 x trunk": 12}
    for rule, ratio in trunks.items():
        assert zone_of(roots={"rule": rule}).radius_m == pytest.approx(0.4 * ratio)
