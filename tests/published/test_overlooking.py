"""A screen against overlooking: no more than a quarter of it may be open.

T29, Victoria (Australia), building regulations on overlooking: seen from a window with the eye
1.7 m above the floor, within 9 m, a screen may be 25 % open at the most.
"""

import pytest

import growth
import scenes
from scenes.document import Yard

EYE_M, AWAY_M, MOST_OPEN = 1.7, 9.0, 0.25


def judged(open_share):
    """A window's eye, a fence before a neighbour's terrace 9 m off, and what the check says."""
    document = {
        "title": "Overlooked", "lengths": "m",
        "site": {"boundary": [[0, 0], [20, 0], [20, 30], [0, 30]]},
        "ground": {"points": [[0, 0, 0], [20, 0, 0], [0, 30, 0], [20, 30, 0]]},
        "structure": [
            {"name": "house", "kind": "house", "outline": [[6, 1], [14, 1], [14, 5], [6, 5]],
             "floor": 0.3, "eave": 3, "ridge": 5},
            {"name": "screen", "kind": "fence", "line": [[0, 9], [20, 9]], "height": 6,
             "open": open_share},
        ],
        "view": [{"name": "terrace", "eye": [10, 5.1], "eye_height": EYE_M, "above": "house",
                  "target": {"from": [8, 5.1 + AWAY_M], "to": [12, 5.1 + AWAY_M], "low": 0,
                             "high": 1.8}}],
        "requirement": [{"name": "not overlooked", "check": "opening", "of": "terrace", "year": 0,
                         "at_most": MOST_OPEN}],
    }  # fmt: skip
    yard = Yard.model_validate(document, context={"unit": "m", "survey_unit": "m"})
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return growth.check(yard, terrain, layout, stand, light=False).requirements[0]


@pytest.mark.parametrize(
    ("open_share", "standing"), [(0.0, "met"), (0.24, "met"), (0.26, "missed"), (0.5, "missed")]
)
def test_a_screen_is_judged_by_its_open_share(open_share, standing):
    found = judged(open_share)
    assert found.expected == pytest.approx(open_share, abs=1e-3)
    assert found.standing == standing
