"""Canopy rules of a document: found over the right area, in the right year, and judged."""

import pytest

import growth
import scenes
from scenes.errors import SceneError

YARD = """
title = "Walk"
lengths = "m"
[site]
boundary = [[0, 0], [20, 0], [20, 20], [0, 20]]
[ground]
points = [[0, 0, 0], [20, 0, 0], [0, 20, 0], [20, 20, 0]]
[[surface]]
name = "walk"
kind = "walk"
outline = [[8, 0], [12, 0], [12, 20], [8, 20]]
[[planting]]
name = "street side"
plant = "Acer rubrum"
size = "2 in cal"
at = [[10, 10]]
[[planting]]
plant = "Cornus florida"
size = "#5"
at = [[3, 3]]
"""


@pytest.fixture
def findings_of(tmp_path):
    def made(text):
        path = tmp_path / "walk.toml"
        path.write_text(YARD + text)
        yard = scenes.load(path)
        terrain = scenes.grade(yard)
        layout = scenes.lay_out(yard, terrain)
        stand = growth.grow(yard, layout)
        return growth.check(yard, terrain, layout, stand, light=False)

    return made


def test_a_rule_of_the_document_is_found_and_judged(findings_of):
    text = """
[[canopy_rule]]
name = "town"
counts = "mature"
credit = { "street side" = "75 m2", "Cornus florida" = "6 m2" }
share = 0.2
year = 10
[[requirement]]
name = "Enough canopy"
check = "canopy"
of = "town"
year = 10
at_least = 0.25
"""
    found = findings_of(text)
    ruled = found.canopy.ruled[0]
    assert ruled.fraction.expected[10] == pytest.approx(81 / 400)
    assert ruled.standing == "met"
    assert found.requirements[0].standing == "missed"
    assert found.requirements[0].expected == pytest.approx(81 / 400)


def test_a_preset_takes_the_figures_written_beside_it(findings_of):
    text = """
[[canopy_rule]]
name = "ours"
rule = "California paving shade"
year = 20
"""
    found = findings_of(text).canopy
    rule = found.ruled[0].rule
    assert (rule.over, rule.share, rule.year) == ("paving", 0.5, 20)
    assert rule.source.startswith("California paving shade: ")
    assert found.ruled[0].fraction.expected == pytest.approx(found.over_paving.expected)


def test_plants_no_taller_than_the_rule_says_do_not_count(findings_of):
    """Nothing here passes 30 m."""
    text = '[[canopy_rule]]\nname = "tall"\ncounts = "grown"\ntaller_than = 30\n'
    found = findings_of(text).canopy
    assert found.fraction.expected[20] > 0
    assert not found.ruled[0].fraction.expected.any()
    assert found.ruled[0].standing == ""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('rule = "Kent parking shad"', 'canopy_rule[1].rule: "Kent parking shad" is not a rule'),
        ("share = 0.3", "canopy_rule[1]: share stands alone"),
        ('large_credit = "400 ft2"', "canopy_rule[1]: large_credit stands alone"),
        ('large_credit = 400\nsmall_credit = "9 m2"', "400 is not an area above zero"),
        ('credit = { "Acer rubra" = "9 m2" }', 'did you mean "Acer rubrum"'),
    ],
)
def test_a_rule_that_cannot_be_is_refused(findings_of, text, said):
    with pytest.raises(SceneError) as refused:
        findings_of(f'[[canopy_rule]]\nname = "town"\n{text}\n')
    assert said in str(refused.value)
