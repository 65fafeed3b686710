"""Drawn crowns let through as much sky as their kind's stated see-through says.

Level rays meet the drawn cards; a ray is stopped where the atlas is opaque. They pass through
the inner part of a grown crown: half its height, half its radius, as the figure is defined.
The right answers are the catalogue's own figures; the tolerance is what clumped cards, of which
the sum in viz.body knows only a mean, leave open (seen from six sides).
"""

import numpy as np
import pytest

from growth.plants import catalogue
from viz.atlas import CUT, picture
from viz.body import Body
from viz.cards import Quads
from viz.foliage import builder

ALPHA = np.asarray(picture())[..., 3] > CUT * 255


def stopped(quads: Quads, start: np.ndarray, way: np.ndarray) -> np.ndarray:
    """Which rays (n,) from `start` (n, 3) along `way` (3,) meet an opaque point of a card."""
    foot, side, along = quads.points_m[:, 0], *np.moveaxis(quads.points_m[:, [1, 3]], 1, 0)
    u_axis, v_axis = side - foot, along - foot
    normal = np.cross(u_axis, v_axis)
    facing = normal @ way
    flat = np.abs(facing) < 1e-9
    t = np.einsum("qk,rqk->rq", normal, foot[None] - start[:, None]) / np.where(flat, 1, facing)
    hit = start[:, None] + t[..., None] * way - foot
    u = np.einsum("rqk,qk->rq", hit, u_axis) / np.maximum((u_axis**2).sum(-1), 1e-12)
    v = np.einsum("rqk,qk->rq", hit, v_axis) / np.maximum((v_axis**2).sum(-1), 1e-12)
    inside = (u >= 0) & (u <= 1) & (v >= 0) & (v <= 1) & ~flat
    low, right, up = (
        quads.uv[:, 0],
        quads.uv[:, 1] - quads.uv[:, 0],
        quads.uv[:, 3] - quads.uv[:, 0],
    )
    place = low + u[..., None] * right + v[..., None] * up
    column = np.clip((place[..., 0] * ALPHA.shape[1]).astype(int), 0, ALPHA.shape[1] - 1)
    row = np.clip(((1 - place[..., 1]) * ALPHA.shape[0]).astype(int), 0, ALPHA.shape[0] - 1)
    return (inside & ALPHA[row, column]).any(axis=1)


def sky_share(name: str, *, bare: bool) -> float:
    plant = catalogue()[name]
    height, spread = sum(plant.height_m) / 2, sum(plant.spread_m) / 2
    body = Body(plant, height, spread, 1.0, flowering=False)
    quads = builder(plant)(body, bare=bare)
    rng = np.random.default_rng(1)
    crown = height - body.base_m
    shares = []
    for turn in np.arange(6) * np.pi / 3:
        way = np.array([np.cos(turn), np.sin(turn), 0.0])
        across = np.array([-way[1], way[0], 0.0])
        offset = rng.uniform(-0.25, 0.25, 60) * spread
        level = body.base_m + crown * rng.uniform(0.25, 0.75, 60)
        start = -2 * spread * way + offset[:, None] * across + level[:, None] * [0, 0, 1.0]
        shares.append(1 - stopped(quads, start, way).mean())
    return float(np.mean(shares))


LEAFY = (
    "Acer rubrum", "Quercus garryana", "Zelkova serrata", "Magnolia grandiflora", "Picea abies",
    "Thuja 'Green Giant'", "Salix babylonica", "Viburnum dentatum", "Ilex crenata",
)  # fmt: skip


@pytest.mark.parametrize("name", LEAFY)
def test_crown_in_leaf_shows_its_share_of_sky(name: str) -> None:
    assert sky_share(name, bare=False) == pytest.approx(
        catalogue()[name].see_through_leaf, abs=0.10
    )


@pytest.mark.parametrize("name", ["Acer rubrum", "Quercus garryana", "Viburnum dentatum"])
def test_bare_crown_shows_its_share_of_sky(name: str) -> None:
    assert sky_share(name, bare=True) == pytest.approx(catalogue()[name].see_through_bare, abs=0.15)
