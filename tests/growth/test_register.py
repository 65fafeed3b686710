"""The register of checks, and what `check` owes a reader: one contract over all entries."""

import json
from pathlib import Path
from typing import get_args

import numpy as np
import pytest

import scenes
from growth.checks.record import as_json
from growth.checks.register import CHECKS
from growth.stand import DRAWS, LEAST_DRAWS, draw_count
from scenes.document import KeptAt, Requirement, SightTriangle, SprayHead

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
NAMES = get_args(Requirement.model_fields["check"].annotation)
SUBJECT = {"screening": "from the lane", "opening": "from the lane", "canopy": "lot",
           "fall": "walk", "count": "evergreen share", "sight": "drive"}  # fmt: skip


@pytest.fixture(scope="module")
def yard():
    return scenes.load(SMALL)


@pytest.fixture(scope="module")
def findings(checked, yard):
    """The small yard with one requirement of every check the document knows."""
    wanted = [
        Requirement(name=f"{name} {season}", check=name, of=SUBJECT.get(name, "lot"), year=8,
                    at_least=0.5, season=season)
        for name in NAMES
        for season in ("leaf", "july")
    ]  # fmt: skip
    sight = SightTriangle(name="drive", at=(6.0, 0.0), legs=(3.0, 3.0), band=(0.6, 2.4))
    head = SprayHead.model_construct(name="bed spray", at=(3.0, 3.0), riser=0.3, throw=3.0,
                                     arc=(0.0, 360.0))  # fmt: skip
    return checked(
        yard.model_copy(update={"requirement": tuple(wanted), "sight": (sight,), "head": (head,)})
    )


@pytest.mark.parametrize("name", CHECKS)
def test_every_check_is_a_word_of_the_document_and_says_its_unit(name):
    assert name in NAMES
    assert CHECKS[name].name == name
    assert CHECKS[name].unit


@pytest.mark.parametrize("name", NAMES)
def test_every_requirement_is_judged_or_named_as_unknown(findings, name):
    leaf, july = (v for v in findings.requirements if v.check == name)
    named = any(f'"{leaf.name}"' in line for line in findings.not_computed)
    if name in CHECKS:
        assert 0 <= leaf.low <= leaf.expected <= leaf.high <= 1
        assert (july.low, july.high) == (leaf.low, leaf.high)  # July is in leaf in Ohio
        assert leaf.standing in ("met", "likely", "missed")
        assert not named
    else:
        assert (leaf.low, leaf.expected, leaf.high) == (None, None, None)
        assert leaf.standing == "unknown"
        assert named


def test_an_opening_is_what_screening_leaves(findings):
    by_check = {v.check: v for v in findings.requirements}
    screening, opening = by_check["screening"], by_check["opening"]
    assert opening.low == pytest.approx(1 - screening.high)
    assert opening.high == pytest.approx(1 - screening.low)
    assert opening.expected == pytest.approx(1 - screening.expected)


def test_coverage_of_the_lot_is_all_beds_together(findings):
    by_check = {v.check: v for v in findings.requirements}
    assert len(findings.coverage) == 1  # so the lot's beds are this one bed
    assert by_check["coverage"].expected == pytest.approx(findings.coverage[0].fraction.expected[8])


def test_json_has_the_agreed_keys_and_invents_nothing(findings):
    written = as_json(findings)
    assert json.loads(json.dumps(written, allow_nan=False)) == written
    assert set(written) == {
        "title", "years", "coverage", "canopy", "screening", "clearance", "sight", "crowding",
        "spray", "light", "fire_spacing", "light_over_lot", "requirements", "counts", "clipping",
        "cautions", "doubts", "not_computed", "notes",
    }  # fmt: skip
    assert written["years"] == list(range(31))
    assert set(written["coverage"][0]) == {
        "bed", "area_m2", "fraction", "closed_year", "closing_m2",
    }  # fmt: skip
    assert set(written["screening"][0]) == {
        "view", "purpose", "season", "fraction_blocked", "worst_window", "gaps", "lost",
    }  # fmt: skip
    assert set(written["canopy"]["fraction"]) == {"low", "expected", "high"}
    assert {"name", "check", "of", "year", "season", "limit", "low", "expected", "high",
            "standing"} <= set(written["requirements"][0])  # fmt: skip


def test_a_spray_head_has_its_agreed_row(findings):
    (row,) = as_json(findings)["spray"]
    assert row["head"] == "bed spray"
    assert row["reached"]["expected"][8] == pytest.approx(
        next(v.expected for v in findings.requirements if v.check == "spray")
    )


def test_every_view_is_looked_at_in_leaf_and_bare(yard, findings):
    views = [(view.view, view.season) for view in findings.screening]
    assert views == [(v.name, s) for v in yard.view for s in ("leaf", "bare")]


def test_all_ranges_are_shares_in_order(findings):
    ranges = [c.fraction for c in findings.coverage] + [findings.canopy.fraction]
    for found in ranges + [view.fraction_blocked for view in findings.screening]:
        assert found.low.shape == (31,)
        assert (found.low <= found.expected).all()
        assert (found.expected <= found.high).all()
        assert found.low.min() >= 0
        assert found.high.max() <= 1


def test_year_0_has_no_range(findings):
    """On the day of planting every plant has its nursery size."""
    for found in [c.fraction for c in findings.coverage] + [findings.canopy.fraction]:
        assert found.low[0] == pytest.approx(found.high[0])


def test_the_same_yard_gives_the_same_findings(checked, yard):
    assert as_json(checked(yard)) == as_json(checked(yard))


def test_cautions_name_what_lists_say_and_what_always_holds(yard, findings):
    text = "\n".join(findings.cautions)
    assert "811" in text
    assert "forecasts with a range" in text
    assert "Acer rubrum: listed as toxic" in text
    assert "safe" not in text
    assert "arborist" not in text  # the patio pad lies 4 m beyond the maple's roots


def test_grading_in_the_root_zone_of_a_kept_tree_calls_for_an_arborist(checked, yard):
    near = yard.kept[0].model_copy(update={"at": (6.0, 5.0)})
    findings = checked(yard.model_copy(update={"kept": (near,)}))
    assert any(
        "arborist" in line and "Acer rubrum at (6.0, 5.0)" in line for line in findings.cautions
    )


def test_plants_set_among_the_roots_of_a_kept_tree_are_counted(level_lot, checked):
    """20 cm of trunk are 1.25 ft an inch: a radius of 3 m, so two of three yews stand inside."""
    kept = {"plant": "Acer rubrum", "at": [10, 10], "trunk_diameter": "20 cm", "height": 8,
            "spread": 5}  # fmt: skip
    yews = {
        "plant": "Taxus x media 'Hicksii'",
        "size": "#1",
        "at": [[12, 10], [10, 7.1], [10, 6.9]],
    }
    (told,) = [c for c in checked(level_lot(kept=[kept], planting=[yews])).cautions if "set" in c]
    assert told.startswith(
        "Acer rubrum at (10.0, 10.0): 2 plants are set inside its root zone (3 m"
    )
    assert "dig by hand between the roots" in told


def test_trees_near_an_overhead_line_are_pointed_out(checked, yard):
    line = yard.structure[1].model_copy(
        update={"name": "wires", "kind": "line", "line": ((0.0, 7.0), (12.0, 7.0)), "height": 6.0}
    )
    findings = checked(yard.model_copy(update={"structure": (*yard.structure, line)}))
    assert any("wires" in line and "trees" in line for line in findings.cautions)


def test_notes_say_what_is_not_modelled_and_how_ranges_are_made(findings):
    text = "\n".join(findings.notes)
    assert "Not modelled: soil and water differences" in text
    assert f"{DRAWS} joint draws" in text


def test_large_stands_get_fewer_draws():
    counts = [draw_count(plants) for plants in (0, 130, 1000, 10_000, 100_000)]
    assert counts[:3] == [DRAWS] * 3
    assert (np.diff(counts) <= 0).all()
    assert counts[-1] == LEAST_DRAWS


def test_first_clippings_are_in_the_json_and_the_notes(checked, yard):
    hedge = yard.planting[0].model_copy(update={"kept_at": KeptAt(height=1.5)})
    clipped = checked(yard.model_copy(update={"planting": (hedge, *yard.planting[1:])}))
    (clip,) = as_json(clipped)["clipping"]
    years = clip["first_year"]
    assert (clip["place"], clip["plant"]) == ("planting[1]", hedge.plant)
    assert 1 <= years["low"] <= years["expected"] <= years["high"]
    assert sum("first clipped about year" in note for note in clipped.notes) == 1


def test_nothing_is_clipped_that_need_not_be(findings):
    assert as_json(findings)["clipping"] == []
