"""What casts the shadow of built things: solid first, and what lies on walls not at all."""

import numpy as np

from scenes.solids import Part, Solid
from viz.casters import casters, casting

TRIANGLE = np.array([[0.0, 0, 0], [1, 0, 0], [0, 0, 1]])


def solid(open_share: float, *roles: str) -> Solid:
    parts = tuple(Part(role, TRIANGLE, np.array([[0, 1, 2]])) for role in roles)
    return Solid(name="", kind="fence", parts=parts, open_share=open_share)


def test_solid_things_come_first_and_open_ones_in_runs_of_their_share():
    things = casters([solid(0.5, "fence"), solid(0.0, "wall", "roof"), solid(0.5, "fence")])
    assert things.through.tolist() == [0, 0, 0.5, 0.5]
    told = casting(things)
    assert told["through"].tolist() == [0, 0.5]
    assert told["run"].tolist() == [2, 2]
    assert len(told["casters"]) == 4 * 9


def test_glass_doors_and_quite_open_things_cast_nothing():
    assert casters([solid(0.0, "glass", "door", "trim"), solid(1.0, "fence")]).through.size == 0
