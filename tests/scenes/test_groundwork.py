"""Everything the ground reports: agreed keys, walls held against heights, and the demo yards."""

import json
from pathlib import Path

import pytest
from shapely.geometry import LineString

import scenes
from scenes.groundwork import as_json, groundwork, wall_cautions
from scenes.walls import GroundWall

LIBRARY = Path(scenes.__file__).parent / "library"
AGREED = {"cell_m", "cut_m3", "fill_m3", "net_m3", "loose_m3", "compacted_m3", "falls", "ponds",
          "root_zones", "quantities", "cautions"}  # fmt: skip


def ground_of(name, **more):
    yard = scenes.load(LIBRARY / name)
    terrain = scenes.grade(yard)
    return groundwork(yard, terrain, scenes.lay_out(yard, terrain), **more)


@pytest.mark.parametrize("name", ["terrace.toml", "clinic.toml", "school.toml"])
def test_each_library_yard_has_the_agreed_keys(name):
    written = as_json(ground_of(name))
    assert set(json.loads(json.dumps(written, allow_nan=False))) >= AGREED
    assert set(written["falls"][0]) >= {"rule", "place", "worst_percent", "limit_percent", "met",
                                        "source"}  # fmt: skip
    for pond in written["ponds"]:
        assert set(pond) >= {"at", "area_m2", "depth_m", "volume_m3"}
    for zone in written["root_zones"]:
        assert set(zone) >= {"tree", "at", "radius_m", "rule", "lost_fraction", "deepest_cut_m",
                             "highest_fill_m", "level"}  # fmt: skip
    assert all(set(quantity) >= {"item", "amount", "unit"} for quantity in written["quantities"])
    assert any("811" in caution for caution in written["cautions"])
    assert any("your code governs" in caution for caution in written["cautions"])
    assert written["peaks"] == []


def test_the_terrace_drain_keeps_water_off_the_house():
    ground = ground_of("terrace.toml", rain_mm_per_h=50)
    assert all(pond.against is None for pond in ground.drainage.ponds)
    assert ground.peaks[0].place == "drain terrace drain"


@pytest.mark.parametrize(
    ("exposed_ft", "with_footing_ft", "said"),
    [(3.0, 4.5, "permit"), (3.0, 4.0, "designed"), (3.0, None, "permit"), (1.9, 3.9, ""),
     (2.6, None, "permit"), (2.4, None, "designed"), (1.5, 3.0, "")],
)  # fmt: skip
def test_walls_against_four_feet_from_the_footing_and_two_feet_of_ground(
    exposed_ft, with_footing_ft, said
):
    """A "3 ft" wall with an 18-in footing is over 4 ft; where none is written, 18 in are taken."""
    footed_m = None if with_footing_ft is None else with_footing_ft * 0.3048
    line = LineString([(0, 0), (5, 0)])
    wall = GroundWall("grading[1]", "w", line, exposed_ft * 0.3048, footed_m)
    lines = list(wall_cautions((wall,)))
    assert len(lines) == bool(said)
    assert said in "".join(lines)
