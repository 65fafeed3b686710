"""Views made ready: how their lines lie, and what a wall leaves of them, worked out by hand."""

import numpy as np
import pytest

from growth.checks import outlook
from growth.checks.outlook import FINER, fans, prospects
from scenes.looks import Sighting

WALL = {
    "name": "w", "kind": "box", "outline": [[0, 9], [20, 9], [20, 9.01], [0, 9.01]], "height": 1.5,
}  # fmt: skip


def test_sight_lines_are_about_as_dense_across_as_up():
    panel = np.array([[0.0, 9, 0], [8, 9, 0], [8, 9, 2], [0, 9, 2]])
    coarse, fine = fans(Sighting(np.array([4.0, 0, 1]), panel), eyes=1)
    rows, columns = coarse.rise_m.shape
    assert (columns / 8) / (rows / 2) == pytest.approx(1, rel=0.1)
    assert fine.rise_m.shape == (FINER * rows, FINER * columns)
    tiles = fine.rise_m.reshape(rows, FINER, columns, FINER)
    assert tiles.mean(axis=(1, 3)) == pytest.approx(coarse.rise_m)


def test_a_wall_takes_the_lowest_quarter_of_the_panel(level_lot, parts):
    """1.5 m high half way from an eye 2 m up: its top appears at 1 m of the panel's 4 m."""
    terrain, layout, _ = parts(level_lot(structure=[WALL]))
    (view,) = prospects(terrain, layout)
    (seen,) = view.outlooks
    assert seen.static.shape == seen.lines.rise_m.shape
    height = (np.arange(len(seen.static)) + 0.5) / len(seen.static) * 4
    half_row = 2 / len(seen.static)
    assert (seen.static[height > 1 + half_row] == 1).all()
    assert (seen.static[height < 1 - half_row] == 0).all()
    assert seen.static.mean() == pytest.approx(0.75, abs=half_row / 4 / FINER)


def test_each_eye_looks_past_ground_and_built_things_once(level_lot, checked, monkeypatch):
    """A walk has an eye at each end and between them; gaps and lost views look again for free."""
    walk = {"purpose": "keep open", "eye": [[7, 4], [13, 4]], "eye_height": 2}
    looked = []

    def counted(fan, *args, **kwargs):
        looked.append(tuple(fan.eye_m))
        return passing(fan, *args, **kwargs)

    passing = outlook.passing
    monkeypatch.setattr(outlook, "passing", counted)
    assert checked(level_lot(view=walk, structure=[WALL])).screening[0].lost is not None
    assert len(looked) == len(set(looked)) > 1
