"""Land and trees beyond the yard: no gap at the edge, nothing in the way of an eye."""

from pathlib import Path

import numpy as np
import pytest

from scenes.reading import load
from scenes.terrain import Terrain, grade
from viz.meshes import face_normals
from viz.palette import afternoon
from viz.patterns import TILE_M
from viz.surroundings import RINGS_M, land, land_tile, scenery
from viz.views import eyes

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
LIGHT = afternoon(40.0)
CROWN_M = 4.25 * 1.25
"""Half the spread of the largest tree near the lot: 8.5 m times 1.25."""


@pytest.fixture(scope="module")
def terrain() -> Terrain:
    return grade(load(YARD))


def test_land_begins_at_every_node_of_the_lattice_edge(terrain: Terrain) -> None:
    surface = land(terrain, LIGHT)
    around = 2 * (terrain.lattice.nx + terrain.lattice.ny) - 4
    rim = surface.points[:around]
    assert len(surface.points) == around * len(RINGS_M)
    assert rim[:, 2] == pytest.approx(terrain.height_m(rim[:, :2]), abs=1e-3)
    assert len(np.unique(rim[:, :2], axis=0)) == around


def test_land_faces_the_sky(terrain: Terrain) -> None:
    surface = land(terrain, LIGHT)
    normals = face_normals(surface.points[surface.regular_faces].astype(float))
    assert normals[:, 2].min() > 0.3


def test_far_land_fades_into_haze(terrain: Terrain) -> None:
    colours = land(terrain, LIGHT).point_data["colours"].astype(int)
    assert colours[-1].min() > colours[0].max()


def test_the_tile_continues_the_ground_picture(terrain: Terrain) -> None:
    """Both start at the lattice's south-west corner, one tile every TILE_M metres."""
    surface = land(terrain, LIGHT)
    corner = [terrain.lattice.x0_m, terrain.lattice.y0_m]
    assert surface.active_texture_coordinates * TILE_M + corner == pytest.approx(
        surface.points[:, :2], abs=1e-2
    )
    assert land_tile()[:2] == b"\xff\xd8"


def test_trees_keep_clear_of_everything_the_document_places(terrain: Terrain) -> None:
    grid, feet = terrain.lattice, scenery(terrain, LIGHT).foot_m
    east = grid.x0_m + (grid.nx - 1) * grid.cell_m
    north = grid.y0_m + (grid.ny - 1) * grid.cell_m
    out_x = np.maximum(grid.x0_m - feet[:, 0], feet[:, 0] - east)
    out_y = np.maximum(grid.y0_m - feet[:, 1], feet[:, 1] - north)
    assert np.hypot(np.maximum(out_x, 0), np.maximum(out_y, 0)).min() > CROWN_M


def test_no_tree_stands_between_the_viewer_and_the_whole_yard(terrain: Terrain) -> None:
    """Sight lines to the lot's corners pass over every tree, or the tree is behind the viewer."""
    from scenes.layout import lay_out

    eye = next(
        eye
        for eye in eyes(terrain, lay_out(load(YARD), terrain), LIGHT, tops_m=np.empty((0, 3)))
        if eye.name == "Whole yard"
    )
    trees = scenery(terrain, LIGHT)
    top = trees.foot_m[:, 2] + 8.0 * trees.size
    start = np.array(eye.eye_m)
    for corner in ([0, 0], [12, 0], [12, 10], [0, 10]):
        end = np.array([*corner, float(terrain.height_m(np.array([corner]))[0])])
        way = end - start
        share = np.clip((trees.foot_m - start)[:, :2] @ way[:2] / (way[:2] @ way[:2]), 0, 1)
        nearest = start + share[:, None] * way
        aside = np.hypot(*(nearest - trees.foot_m)[:, :2].T)
        assert np.all((aside > 4.25 * trees.size) | (nearest[:, 2] > top))


def test_the_trees_are_not_all_alike(terrain: Terrain) -> None:
    trees = scenery(terrain, LIGHT)
    assert len(np.unique(trees.size)) == len(trees.size)
    assert len(np.unique(trees.colours, axis=0)) > 0.8 * len(trees.size)
