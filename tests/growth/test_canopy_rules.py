"""Canopy rules of a document: found over the right area, in the right year, and judged."""

import pytest

import scenes
from scenes.errors import SceneError

WALK = {"name": "walk", "kind": "walk", "outline": [[8, 0], [12, 0], [12, 20], [8, 20]]}
STREET_SIDE = {"name": "street side", "plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 10]]}
DOGWOOD = {"plant": "Cornus florida", "size": "#5", "at": [[3, 3]]}


@pytest.fixture
def canopy_of(level_lot, checked):
    """Findings of a lot with a walk and two trees, and one canopy rule."""

    def found(rule, **tables):
        return checked(
            level_lot(surface=[WALK], planting=[STREET_SIDE, DOGWOOD], canopy_rule=[rule], **tables)
        )

    return found


def test_a_rule_of_the_document_is_found_and_judged(canopy_of):
    areas = {"street side": "75 m2", "Cornus florida": "6 m2"}
    rule = {"name": "town", "counts": "mature", "credit": areas, "share": 0.2, "year": 10}
    wanted = {"name": "Enough", "check": "canopy", "of": "town", "year": 10, "at_least": 0.25}
    found = canopy_of(rule, requirement=[wanted])
    (ruled,) = found.canopy.ruled
    assert ruled.fraction.expected[10] == pytest.approx(81 / 400)
    assert (ruled.standing, ruled.year) == ("met", 10)
    (verdict,) = found.requirements
    assert verdict.standing == "missed"
    assert verdict.expected == pytest.approx(81 / 400)


def test_a_preset_takes_the_figures_written_beside_it(canopy_of):
    found = canopy_of({"name": "ours", "rule": "California paving shade", "year": 20}).canopy
    (ruled,) = found.ruled
    assert (ruled.rule.over, ruled.rule.share, ruled.year) == ("paving", 0.5, 20)
    assert ruled.rule.source.startswith("California paving shade: ")
    assert ruled.fraction.expected == pytest.approx(found.over_paving.expected)


def test_plants_no_taller_than_the_rule_says_do_not_count(canopy_of):
    """Nothing here passes 30 m."""
    found = canopy_of({"name": "tall", "counts": "grown", "taller_than": 30}).canopy
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
def test_a_rule_that_cannot_be_is_refused(tmp_path, text, said):
    path = tmp_path / "walk.toml"
    path.write_text(
        'title = "Walk"\nlengths = "m"\n[site]\nboundary = [[0, 0], [9, 0], [9, 9]]\n'
        "[ground]\npoints = [[0, 0, 0], [9, 0, 0], [9, 9, 0]]\n"
        '[[planting]]\nplant = "Acer rubrum"\nsize = "#5"\nat = [[6, 3]]\n'
        f'[[canopy_rule]]\nname = "town"\n{text}\n'
    )
    with pytest.raises(SceneError) as refused:
        scenes.load(path)
    assert said in str(refused.value)
