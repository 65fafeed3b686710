"""Roots that a plan harms reach the forecast of the tree: the larger share counts, and is said."""

import pytest

import growth
import scenes
from growth.starts import read_entries
from scenes.document import Yard

CORNERS = [[0, 0], [20, 0], [20, 20], [0, 20]]
TREE = {"plant": "Acer rubrum", "at": [10, 10], "trunk_diameter": "400 mm", "height": 9,
        "spread": 7}  # fmt: skip


def planned(*, west, roots_lost=0.0, requirement=()):
    """A tree whose root zone, 6 m in radius, is paved from x = west eastwards."""
    outline = [[west, 0], [20, 0], [20, 20], [west, 20]]
    raw = {
        "title": "t",
        "lengths": "m",
        "site": {"boundary": CORNERS},
        "ground": {"points": [[*corner, 10] for corner in CORNERS], "cell": 0.5},
        "kept": [{**TREE, "roots_lost": roots_lost}],
        "surface": [{"name": "drive", "kind": "drive", "outline": outline}],
        "requirement": requirement,
    }
    yard = Yard.model_validate(raw, context={"unit": "m"})
    terrain = scenes.grade(yard)
    return yard, terrain, scenes.lay_out(yard, terrain)


@pytest.mark.parametrize(
    ("west", "written", "taken"),
    [(10, 0.0, 0.5), (10, 0.3, 0.5), (10, 0.7, 0.7), (15.9, 0.0, 0.0), (15.9, 0.2, 0.2)],
)
def test_the_larger_share_counts(west, written, taken):
    """Half the circle is paved at x = 10; at 15.9 a sliver, less than one large root."""
    yard, _, layout = planned(west=west, roots_lost=written)
    (entry,) = read_entries(yard, layout.sources)
    assert entry.start.roots_lost == pytest.approx(taken, abs=1e-3)
    notes = growth.grow(yard, layout).notes
    assert any("the plan harms" in note for note in notes) == (taken == 0.5)


def test_a_paved_root_zone_slows_and_thins_the_tree():
    yard, _, layout = planned(west=10)
    whole_yard, _, whole = planned(west=19)
    harmed, sound = growth.grow(yard, layout), growth.grow(whole_yard, whole)
    assert harmed.vigour.expected[3, 0] < 1
    assert (harmed.height_m.expected[5:] < sound.height_m.expected[5:]).all()


def test_roots_and_falls_are_judged():
    """Half of the zone lost; the drive lies level, so it drains at 0 %."""
    wanted = [
        {"name": "a", "check": "roots", "of": "Acer rubrum", "year": 0, "at_most": 0.25},
        {"name": "b", "check": "roots", "of": "lot", "year": 0, "at_most": 0.6},
        {"name": "c", "check": "fall", "of": "drive", "year": 0, "at_least": 0.01},
        {"name": "d", "check": "fall", "of": "drive", "year": 9, "at_most": 0.15},
    ]
    yard, terrain, layout = planned(west=10, requirement=wanted)
    findings = growth.check(yard, terrain, layout, growth.grow(yard, layout))
    roots, lot, drains, steep = findings.requirements
    assert roots.low == roots.high == pytest.approx(0.5, abs=1e-3)
    assert [v.standing for v in (roots, lot, drains, steep)] == ["missed", "met", "missed", "met"]
    assert drains.expected == pytest.approx(0)
    assert any("arborist" in line for line in findings.cautions)


def test_what_is_not_measured_is_unknown_and_named():
    """A limit on root zones of a lot that keeps no tree."""
    wanted = [{"name": "x", "check": "roots", "of": "lot", "year": 0, "at_most": 0.25}]
    yard, _, _ = planned(west=10, requirement=wanted)
    bare = yard.model_copy(update={"kept": ()})
    terrain = scenes.grade(bare)
    layout = scenes.lay_out(bare, terrain)
    findings = growth.check(bare, terrain, layout, growth.grow(bare, layout))
    assert findings.requirements[0].standing == "unknown"
    assert any('"x"' in line and "unknown" in line for line in findings.not_computed)
