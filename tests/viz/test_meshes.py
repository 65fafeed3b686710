"""Ground and built things as meshes: places and counts worked out by hand."""

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from scenes.earthwork import Earthwork
from scenes.lattice import Lattice
from scenes.solids import Part, Solid
from scenes.terrain import Terrain
from viz.meshes import as_arrays, built, face_normals, ground, kept_lines
from viz.palette import afternoon


def slope(nx: int = 5, ny: int = 4) -> Terrain:
    """A plane that rises one in ten to the east, 1 m cells."""
    lattice = Lattice(0.0, 0.0, 1.0, nx, ny)
    z = 0.1 * lattice.nodes_m()[..., 0]
    lot = Polygon([(0, 0), (nx - 1, 0), (nx - 1, ny - 1), (0, ny - 1)])
    return Terrain(lattice, z, z, np.zeros_like(z, bool), lot, Earthwork(1.0, 0.0, 0.0, 0.0), ())


def test_ground_lies_on_the_graded_nodes() -> None:
    surface = ground(slope())
    assert len(surface.points) == 20
    assert len(surface.regular_faces) == 24  # 4 x 3 cells, two each
    assert surface.points[:, 2] == pytest.approx(0.1 * surface.points[:, 0], abs=1e-6)


def test_ground_faces_the_sky() -> None:
    surface = ground(slope())
    normals = face_normals(surface.points[surface.regular_faces].astype(float))
    assert normals == pytest.approx(np.tile(np.array([-0.1, 0, 1]) / 1.01**0.5, (24, 1)), abs=1e-6)


def test_texture_places_run_from_west_and_south() -> None:
    surface = ground(slope())
    assert surface.active_texture_coordinates[0] == pytest.approx([0, 0])
    assert surface.active_texture_coordinates[-1] == pytest.approx([1, 1])
    assert surface.active_texture_coordinates[4] == pytest.approx([1, 0])


def test_a_fine_lattice_is_thinned_but_keeps_its_edges() -> None:
    rows, columns = kept_lines(Lattice(0.0, 0.0, 0.1, 1001, 801))
    assert len(rows) * len(columns) <= 41_000
    assert (rows[0], rows[-1], columns[0], columns[-1]) == (0, 800, 0, 1000)


def test_a_small_lattice_is_kept_whole() -> None:
    rows, columns = kept_lines(Lattice(0.0, 0.0, 0.1, 101, 81))
    assert (len(rows), len(columns)) == (81, 101)


def box(role: str) -> Solid:
    """One upright face, 2 m by 1 m, that looks south-west towards the sun."""
    points = np.array([[1.0, 0, 1], [3, -2, 1], [3, -2, 2], [1, 0, 2]])
    return Solid("box", "box", 0.0, (Part(role, points, np.array([[0, 1, 2], [0, 2, 3]])),))


def test_built_things_stay_where_they_are() -> None:
    surface = built([box("wall")], slope(), afternoon(45.0))
    assert surface.points.min(axis=0) == pytest.approx([1, -2, 1])
    assert surface.points.max(axis=0) == pytest.approx([3, 0, 2])
    assert surface.point_data["colours"].shape == surface.points.shape


def test_trim_is_lighter_than_roof() -> None:
    light = afternoon(45.0)
    trim, roof = (
        built([box(role)], slope(), light).point_data["colours"].mean() for role in ("trim", "roof")
    )
    assert trim > roof + 40


def test_full_shade_is_darker_and_as_if_there_were_no_sun() -> None:
    light = afternoon(45.0)
    sunny = built([box("wall")], slope(), light).point_data
    assert np.all(sunny["shaded"] < sunny["colours"])
    night = built([box("wall")], slope(), replace(light, sun=(0.0, 0.0, 0.0))).point_data
    assert np.array_equal(sunny["shaded"], night["colours"])


def test_nothing_built_is_an_empty_mesh() -> None:
    arrays = as_arrays(built([], slope(), afternoon(45.0)))
    assert all(len(array) == 0 for array in arrays.values())
