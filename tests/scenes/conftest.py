"""Yards on a plane of ground, graded by operations given by hand."""

import pytest

from scenes.document import Yard
from scenes.terrain import grade

SIZE_M = 40.0
MARGIN_M = 5.0


def _yard(*gradings, east=0.0, north=0.0, cell=0.25, **tables):
    """A lot of 40 x 40 m on the plane 10 + east x + north y, with operations on it."""
    ends = (-MARGIN_M, SIZE_M + MARGIN_M)
    ground = {
        "points": [[x, y, 10 + east * x + north * y] for x in ends for y in ends],
        "cell": cell,
        **tables.pop("ground", {}),
    }
    raw = {
        "title": "t",
        "lengths": "m",
        "site": {"boundary": [[0, 0], [SIZE_M, 0], [SIZE_M, SIZE_M], [0, SIZE_M]]}
        | tables.pop("site", {}),
        "ground": ground,
        "grading": [{"name": f"op {k}"} | grading for k, grading in enumerate(gradings, 1)],
        **tables,
    }
    return Yard.model_validate(raw, context={"unit": "m"})


@pytest.fixture
def yard_on_a_plane():
    return _yard


@pytest.fixture
def graded_plane():
    """The terrain of such a yard."""
    return lambda *gradings, **how: grade(_yard(*gradings, **how))
