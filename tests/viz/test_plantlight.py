"""Light at plants, reckoned when first asked for as the checks find it."""

import pickle
import time
from contextlib import closing
from pathlib import Path

import scenes
from viz.checker import planned
from viz.sunpage import AskedLayer

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
TABLES = ("kept[1]", "planting[1]", "planting[2]", "planting[3]")


def test_lines_are_those_of_the_spots_that_leave_their_light() -> None:
    yard = scenes.load(SMALL)
    kept = pickle.dumps(yard)
    until = time.monotonic() + 60
    with closing(AskedLayer(lambda: kept, "viz.plantlight")) as light:
        assert light.layer() is None  # begun, and nobody waits
        while (told := light.layer()) is None:
            assert time.monotonic() < until
            time.sleep(0.05)
    lighting = planned(yard).findings.lighting
    assert lighting is not None
    wanted: dict[str, list[int]] = {}
    for spot in lighting.spots:
        if spot.first_year_outside is not None:
            table = str(TABLES.index(spot.place))
            wanted.setdefault(table, []).append(spot.first_year_outside)
    assert wanted
    assert {table: [hit[1] for line in lines for hit in line["hits"]]
            for table, lines in told["lines"].items()} == {
                table: sorted(years) for table, years in wanted.items()}  # fmt: skip
