"""A screen against overlooking: what a window overlooks, and that no more than a quarter is open.

T29, Victoria (Australia), building regulations on overlooking: seen from a window with the eye
1.7 m above the floor, what lies within 9 m and 45 degrees each side is overlooked, and a screen
may be 25 % open at the most.
"""

import numpy as np
import pytest

import growth
import scenes
from scenes.document import Yard

EYE_M, AWAY_M, MOST_OPEN = 1.7, 8.8, 0.25


def overlooked(open_share, *, ends=((8, 5.1 + AWAY_M), (12, 5.1 + AWAY_M)), **more):
    """A window's eye, a fence before a neighbour's terrace, and all that is checked."""
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
                  "overlooks": {"within": 9.0}, **more,
                  "target": {"from": list(ends[0]), "to": list(ends[1]), "low": 0,
                             "high": 1.8}}],
        "requirement": [{"name": "not overlooked", "check": "opening", "of": "terrace", "year": 0,
                         "at_most": MOST_OPEN}],
    }  # fmt: skip
    yard = Yard.model_validate(document, context={"unit": "m", "survey_unit": "m"})
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    return layout, growth.check(yard, terrain, layout, stand, light=False)


@pytest.mark.parametrize(
    ("open_share", "standing"), [(0.0, "met"), (0.24, "met"), (0.26, "missed"), (0.5, "missed")]
)
def test_a_screen_is_judged_by_its_open_share(open_share, standing):
    found = overlooked(open_share)[1].requirements[0]
    assert found.expected == pytest.approx(open_share, abs=1e-3)
    assert found.standing == standing


def short_panel(away_m, aside_deg):
    """A panel of 2 cm about a place so far from the window, so far aside of straight out."""
    angle = np.radians(aside_deg)
    x, y = 10 + away_m * np.sin(angle), 5.1 + away_m * np.cos(angle)
    return (x - 0.01, y), (x + 0.01, y)


@pytest.mark.parametrize(
    ("away_m", "aside_deg", "inside"),
    [(8.9, 0, True), (9.1, 0, False), (8.9, 44, True), (9.1, 44, False), (6, -44, True),
     (6, 46, False), (6, -46, False), (1, 80, False)],
)  # fmt: skip
def test_a_place_is_overlooked_within_9_m_and_45_degrees(away_m, aside_deg, inside):
    layout, findings = overlooked(0.1, ends=short_panel(away_m, aside_deg))
    assert len(layout.looks) == inside
    assert findings.requirements[0].standing == ("met" if inside else "unknown")
    told = [line for line in findings.not_computed if "outside what the window overlooks" in line]
    assert bool(told) is not inside


def test_of_a_long_target_the_part_within_the_angle_counts():
    """4 m straight out, 45 degrees each side reach 4 m to each side."""
    layout, _ = overlooked(0.1, ends=((3, 9.1), (18, 9.1)))
    panel_m = layout.looks[0].panel_m
    assert sorted(panel_m[:, 0]) == pytest.approx([6, 6, 14, 14], abs=1e-6)
    assert sorted(panel_m[:, 2]) == pytest.approx([0, 0, 1.8, 1.8])


def test_of_a_long_target_the_part_within_the_reach_counts():
    """8 m straight out, 9 m reach to the root of 17 m to each side; the round end is of chords."""
    layout, _ = overlooked(0.1, ends=((3, 13.1), (18, 13.1)))
    ends = sorted(layout.looks[0].panel_m[:, 0])
    assert ends == pytest.approx([10 - 17**0.5] * 2 + [10 + 17**0.5] * 2, abs=2e-3)
