"""Stands and lots made by hand, for checks whose right answer is known beforehand."""

import numpy as np
import pytest

import growth
import scenes
from growth.plants import catalogue
from growth.ranges import Range
from growth.stand import YEARS, Stand
from scenes.document import Yard

PANEL = {"from": [8, 14], "to": [12, 14], "low": 0, "high": 4}
EYE = {"eye": [10, 4], "eye_height": 2}


def _stand_of(names, xy) -> Stand:
    """Plants of the catalogue at points (n, 2) on level ground; sizes come from draws."""
    plants = tuple(catalogue()[name] for name in dict.fromkeys(names))
    kind = np.array([[p.name for p in plants].index(name) for name in names], int)
    none = np.zeros((len(YEARS), len(names)))
    sizes, whole = Range(none, none, none), Range(none + 1, none + 1, none + 1)
    return Stand(
        years=YEARS, plants=plants, plant=kind, course=kind, courses=None,
        xyz_m=np.column_stack([np.array(xy, float), np.zeros(len(names))]), present=none == 0,
        kept=np.zeros(len(names), bool), height_m=sizes, spread_m=sizes, crown_base_m=sizes,
        vigour=whole, source=kind,
    )  # fmt: skip


@pytest.fixture
def stand_of():
    return _stand_of


def _level_lot(*, view=EYE, **tables) -> Yard:
    """A lot of 20 x 20 m with one view, of a panel 4 x 4 m, 10 m north of an eye 2 m up."""
    document = {
        "title": "Level lot",
        "lengths": "m",
        "site": {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]]},
        "ground": {"points": [[0, 0, 0], [20, 0, 0], [20, 20, 0], [0, 20, 0]]},
        "view": [{"name": "north", "target": PANEL} | view],
    }
    return Yard.model_validate(document | tables, context={"unit": "m", "survey_unit": "m"})


@pytest.fixture(scope="session")
def level_lot():
    return _level_lot


def _parts(yard):
    """The terrain, the layout and the stand of a yard."""
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    return terrain, layout, growth.grow(yard, layout)


@pytest.fixture(scope="session")
def parts():
    return _parts


@pytest.fixture(scope="session")
def checked():
    """Findings of a yard."""
    return lambda yard: growth.check(yard, *_parts(yard))
