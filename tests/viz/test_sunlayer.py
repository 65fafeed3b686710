"""The layer of the sun: packed hours, gaps filled, and who reckons it when."""

import pickle
import time
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

import scenes
from growth.checks.sunmap import LotLight
from viz.checker import planned
from viz.sunlayer import filled, sun_layer
from viz.sunpage import AskedLayer

SMALL = Path(__file__).parents[2] / "tests" / "scenes" / "yards" / "small.toml"
NAN = np.nan


def answer(sunlight: AskedLayer) -> dict:
    """What it says once it has reckoned."""
    until = time.monotonic() + 60
    while (layer := sunlight.layer()) is None:
        assert time.monotonic() < until
        time.sleep(0.05)
    return layer


def test_cells_without_hours_have_those_of_the_nearest() -> None:
    hours = np.array([[NAN, NAN, 3, NAN], [7, NAN, NAN, NAN]], dtype=np.float32)
    assert filled(hours).tolist() == [[7, 3, 3, 3], [7, 7, 3, 3]]


def test_hours_go_in_tenths_a_row_for_each_year() -> None:
    season_h = np.array([[[0.0, 2.04], [5.96, NAN]], [[0.0, 1.0], [2.0, NAN]]], np.float32)
    month_h = np.zeros((1, 12, 2, 2), np.float32)
    sent = sun_layer(LotLight((1.5, 2.5), 0.5, (0,), month_h, (0, 30), season_h, {}))
    assert (sent["corner"], sent["cell"], sent["columns"]) == ([1.5, 2.5], 0.5, 2)
    assert sent["years"] == [0, 30]
    first, last = sent["tenths"]
    assert first[:3].tolist() == [0, 20, 60]
    assert last[:3].tolist() == [0, 10, 20]


def test_without_a_latitude_there_is_nothing() -> None:
    assert sun_layer(None) == {}


def test_it_is_reckoned_in_another_process_as_the_checks_find_it_and_anew_for_another_yard() -> (
    None
):
    yard = scenes.load(SMALL)
    bare = yard.model_copy(update={"planting": (), "kept": (), "requirement": ()})
    stands = [pickle.dumps(yard)]
    with closing(AskedLayer(lambda: stands[-1], "viz.sunlayer")) as sunlight:
        assert sunlight.layer() is None  # begun, and nobody waits
        first = answer(sunlight)
        assert sunlight.layer() is first  # kept
        stands.append(pickle.dumps(bare))
        later = answer(sunlight)
    found = planned(yard).findings.lot_light
    assert found is not None
    inside = np.isfinite(found.season_h)
    sent = np.reshape(first["tenths"], found.season_h.shape)[inside] / 10
    assert sent == pytest.approx(found.season_h[inside], abs=0.051)
    assert np.sum(later["tenths"]) > np.sum(first["tenths"])  # nothing grows there


def test_a_mistake_is_told() -> None:
    yard = scenes.load(SMALL)
    wrong = yard.planting[0].model_copy(update={"plant": "Nonesuch arborea"})
    wrong_yard = yard.model_copy(update={"planting": (wrong,)})
    kept = pickle.dumps(wrong_yard)
    with closing(AskedLayer(lambda: kept, "viz.sunlayer")) as sunlight:
        assert "Nonesuch arborea" in answer(sunlight)["mistake"]
