"""Places that are ringed: outlines read off the small yard's document."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

import scenes
from growth.checks.findings import Verdict
from viz.ringed import STEP_M, place_of, places

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
ASKED = Verdict("n", "screening", "lane", 5, "leaf", 0.5, True, 0.1, 0.2, 0.3, "missed")


@pytest.fixture(scope="module")
def ringed():
    yard = scenes.load(SMALL)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    head = SimpleNamespace(head="corner", at=(3.0, 4.0), throw_m=2.0)
    return places(yard, layout, SimpleNamespace(spray=(head,)))


def test_a_bed_by_its_edge_and_the_lot_by_its_boundary(ringed):
    for key, low, high in (("bed lane bed", (1, 0.5), (4, 2.5)), ("lot", (0, 0), (12, 10))):
        points = np.array(ringed[key])
        assert points.min(axis=0).tolist() == list(low)
        assert points.max(axis=0).tolist() == list(high)
        assert np.hypot(*np.diff(points, axis=0).T).max() <= STEP_M


def test_a_spray_head_by_its_throw(ringed):
    away = np.hypot(*(np.array(ringed["head corner"]) - [3, 4]).T)
    assert away == pytest.approx(2.0, abs=0.02)


def test_a_view_by_its_panel(ringed):
    """From (0.5, 4) to (0.5, 7); 0.5 to 3 m above ground that rises 5 cm a metre."""
    panel = np.array(ringed["view patio to the west"])
    assert panel.shape == (4, 3)
    assert panel[:, 0] == pytest.approx(0.5)
    assert np.sort(panel[:, 1]) == pytest.approx([4, 4, 7, 7])
    assert np.ptp(panel[:, 2]) == pytest.approx(2.5, abs=0.16)


@pytest.mark.parametrize(
    ("check", "of", "place"),
    [
        ("screening", "lane", "view lane"),
        ("opening", "lane", "view lane"),
        ("coverage", "lane bed", "bed lane bed"),
        ("canopy", "lot", "lot"),
        ("canopy", "paving", ""),
        ("spray", "corner", "head corner"),
        ("count", "trees", ""),
    ],
)
def test_the_place_of_a_requirement(check, of, place):
    assert place_of(replace(ASKED, check=check, of=of)) == place
