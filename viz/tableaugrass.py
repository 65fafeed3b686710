"""Tufts of lawn near a low eye: a flat green picture does not look like grass from there.

Tufts stand where the ground's picture is grass, thicker near the eye, and take their colour
from it when it has its shade (viz/tableaulight.py). Metres.
"""

import numpy as np
from numpy.typing import NDArray

from scenes.layout import Layout
from scenes.terrain import Terrain
from viz import groundpicture
from viz.cards import UP, cards
from viz.tableau import Bytes, Cards, Floats, Triple

TUFTS, REACH_M, FROM_M, LOW_EYE_M = 40_000, 17.0, 1.0, 6.0
GRASSY = ("lawn", "beyond")


def tufts(terrain: Terrain, layout: Layout, atlas: Bytes, *, eye_m: Triple) -> tuple[Cards, Floats]:
    """Tufts of lawn before a low eye, and where each stands in the ground's picture, (n, 2)."""
    rng = np.random.default_rng(3)
    low = eye_m[2] - float(terrain.height_m(np.array([eye_m[:2]]))[0]) < LOW_EYE_M
    count = TUFTS if low else 0
    away = FROM_M + (REACH_M - FROM_M) * rng.uniform(size=count) ** 0.85
    turn = rng.uniform(0, 2 * np.pi, count)
    foot = np.column_stack([eye_m[0] + away * np.cos(turn), eye_m[1] + away * np.sin(turn)])
    at = _picture_places(terrain, foot)
    kept = _on_grass(terrain, layout, at)
    foot, at = foot[kept], at[kept]
    foot_m = np.column_stack([foot, terrain.height_m(foot) - 0.008])
    count = len(foot_m)
    along = rng.normal(0, 0.25, (count, 3)) * [1, 1, 0] + UP
    tone = np.exp(rng.normal(0, 0.07, (count, 1))) * np.ones(3)
    drawn = cards(
        foot_m, along, rng.normal(size=(count, 3)) * [1, 1, 0.1] + 1e-3,
        length_m=rng.uniform(0.03, 0.065, count), width_m=rng.uniform(0.08, 0.15, count),
        cell="blade", shade=tone, normals=np.broadcast_to(UP, (count, 3)),
    )  # fmt: skip
    grass = Cards(
        drawn.points_m.astype(np.float32), drawn.normals.astype(np.float32),
        drawn.uv.astype(np.float32), drawn.tint[..., :3].astype(np.float32),
        np.ones(count, dtype=np.float32), atlas,
    )  # fmt: skip
    return grass, at.astype(np.float32)


def _picture_places(terrain: Terrain, xy_m: NDArray[np.float64]) -> NDArray[np.float64]:
    canvas = groundpicture.canvas(terrain)
    corner = np.array([canvas.west_m, canvas.south_m])
    size = np.array([canvas.east_m, canvas.north_m]) - corner
    places: NDArray[np.float64] = (xy_m - corner) / size
    return places


def _on_grass(terrain: Terrain, layout: Layout, at: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether places of the picture (n, 2), 0 to 1, are lawn or grass beyond it."""
    covering = np.asarray(groundpicture.coverings(terrain, layout, groundpicture.canvas(terrain)))
    high, wide = covering.shape
    inside = np.all((at > 0) & (at < 1), axis=1)
    column = np.clip(at[:, 0] * wide, 0, wide - 1).astype(int)
    row = np.clip((1 - at[:, 1]) * high, 0, high - 1).astype(int)
    grassy = [groundpicture.COVERINGS.index(name) for name in GRASSY]
    on_grass: NDArray[np.bool_] = inside & np.isin(covering[row, column], grassy)
    return on_grass
