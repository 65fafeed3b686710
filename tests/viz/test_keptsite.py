"""Ground and layout kept through edits: the same as made anew, and made anew where they must be."""

import shutil
from pathlib import Path

import numpy as np
import pytest

import scenes
from scenes.editing import edited, laid_out
from viz.keptsite import KeptSite

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
HEAD = '\n[[head]]\nname = "spray"\nat = [5, 8]\nriser = "30 cm"\nthrow = 3\n'

EDITS = [
    ({"do": "move", "of": "planting[2]", "plants": [1], "by_m": [1, 0]}, True),
    ({"do": "plant", "plant": "Ilex glabra", "size": "#5", "at_m": [[5, 8]]}, True),
    ({"do": "remove", "of": "planting[1]"}, True),
    ({"do": "move_points", "of": "bed[1]", "points": [2], "by_m": [0.5, 0.5]}, True),
    ({"do": "move", "of": "head[1]", "by_m": [-1, 0]}, True),
    ({"do": "move", "of": "kept[1]", "by_m": [0.5, 0]}, False),
    ({"do": "look", "of": "view[1]", "eye_m": [8.7, -9]}, False),
    ({"do": "move_points", "of": "surface[1]", "points": [0], "by_m": [-0.3, 0]}, False),
]
"""Edits, and whether they leave the ground as it is. The second view is on farther ground."""


@pytest.fixture
def yard(tmp_path):
    shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
    path = tmp_path / "yard.toml"
    path.write_text(SMALL.read_text(encoding="utf-8") + HEAD, encoding="utf-8")
    return scenes.load(path)


def test_edits_one_after_another_are_laid_out_as_if_anew(yard):
    site, text = KeptSite(), yard.path.read_text(encoding="utf-8")
    terrain = site.terrain(yard, ())
    for edit, keeps in EDITS:
        text = edited(text, yard, edit).text
        yard = laid_out(yard, text)
        before, terrain = terrain, site.terrain(yard, ())
        assert (terrain is before) == keeps, edit
        anew = scenes.grade(yard)
        assert np.array_equal(terrain.after_m, anew.after_m), edit
        assert (terrain.lattice, terrain.earth, terrain.notes) == (
            anew.lattice, anew.earth, anew.notes,
        ), edit  # fmt: skip
        layout, plain = site.layout(yard, terrain, ()), scenes.lay_out(yard, anew)
        assert np.array_equal(layout.xyz_m, plain.xyz_m), edit
        assert layout.sources == plain.sources, edit
        assert [bed.name for bed in layout.beds] == [bed.name for bed in plain.beds]
        assert [look.eye_m.tolist() for look in layout.looks] == [
            look.eye_m.tolist() for look in plain.looks
        ], edit


def test_another_survey_is_graded_anew(yard):
    site = KeptSite()
    assert site.terrain(yard, (1,)) is site.terrain(yard, (1,))
    assert site.terrain(yard, (1,)) is not site.terrain(yard, (2,))
