"""The small yard, grown and checked once for all tests that only look at it, and a square lot
that tests of the pictures of the ground shape as they need."""

from collections.abc import Callable
from pathlib import Path

import pytest

import scenes
from growth.checks.working import Planned
from scenes.document import Yard
from scenes.terrain import Terrain
from viz.checker import planned
from viz.stage import Stage, compose

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"

HEAD = """
title = "Square lot"
lengths = "m"
[site]
latitude_deg = 45
longitude_deg = 0
hardiness_zone = 8
boundary = [[0, 0], [20, 0], [20, 20], [0, 20]]
planted = 2027-03-15
[ground]
cell = 0.5
"""


@pytest.fixture(scope="session")
def small() -> Planned:
    return planned(scenes.load(SMALL))


@pytest.fixture(scope="session")
def small_stage(small: Planned) -> Stage:
    return compose(small.yard, small.terrain, small.layout, small.stand)


@pytest.fixture
def graded_lot(tmp_path) -> Callable[[str], tuple[Yard, Terrain]]:
    """A lot of 20 by 20 m, graded, from the rest of its document after `[ground]`."""

    def graded(rest: str) -> tuple[Yard, Terrain]:
        path = tmp_path / "lot.toml"
        path.write_text(HEAD + rest, encoding="utf-8")
        yard = scenes.load(path)
        return yard, scenes.grade(yard)

    return graded


@pytest.fixture
def tied_yard(tmp_path: Path) -> Callable[[str, str], Yard]:
    """A level lot of 40 by 30 m with a base plan: a picture's name, and its ties as written."""

    def tied(picture: str, points: str) -> Yard:
        path = tmp_path / "yard.toml"
        path.write_text(f"""
title = "Base plan"
lengths = "m"
[site]
boundary = [[0, 0], [40, 0], [40, 30], [0, 30]]
[ground]
points = [[0, 0, 10], [40, 0, 10], [40, 30, 10], [0, 30, 10]]
[base_plan]
picture = "{picture}"
points = {points}
""")
        return scenes.load(path)

    return tied
