"""Built things: closed, facing outwards, and of the size the document gives."""

import numpy as np
import pytest
import trimesh
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from scenes.document import Structure
from scenes.fences import sides_m, stations_m
from scenes.houses import face_m
from scenes.lattice import Array
from scenes.roofs import OVERHANG_M, covering, is_exact, roof_parts
from scenes.solids import Part, Solid, prism
from scenes.structures import STRUCTURES

ELL = Polygon([(0, 0), (10, 0), (10, 4), (6, 4), (6, 9), (0, 9)])


def _mesh(*parts: Part) -> trimesh.Trimesh:
    meshes = [trimesh.Trimesh(p.points_m, p.triangles, process=False) for p in parts]
    whole = trimesh.util.concatenate(meshes)
    whole.merge_vertices(digits_vertex=7)
    return whole


def _flat(xy_m: Array) -> Array:
    return np.full(len(xy_m), 2.0)


def _sloping(xy_m: Array) -> Array:
    return 2.0 + 0.1 * xy_m[:, 0]


def _structure(**keys: object) -> Structure:
    return Structure.model_validate({"name": "s"} | keys, context={"unit": "m"})


def _house(**keys: object) -> Structure:
    outline = [[0, 0], [10, 0], [10, 6], [0, 6]]
    sizes = {"outline": outline, "floor": 2.4, "eave": 2.5, "ridge": 4.5}
    return _structure(**{"kind": "house"} | sizes | keys)


def _part(solid: Solid, role: str) -> Part:
    return next(part for part in solid.parts if part.role == role)


def test_prism_over_an_ell_has_its_volume() -> None:
    mesh = _mesh(prism("wall", ELL, low_m=1.0, high_m=4.0))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(3 * ELL.area)


@pytest.mark.parametrize("turn_deg", [0, 33])
def test_hip_roof_is_the_closed_form(turn_deg: float) -> None:
    """Eaves L x W = 11 x 7, rise 2: prism of the ridge L - W plus a pyramid, W^2 h / 3.

    V = (L - W) W h / 2 + W^2 h / 3, and the box of fascia below it.
    """
    outline = affinity.rotate(box(0, 0, 10, 6), turn_deg)
    mesh = _mesh(*roof_parts(outline, "hip", eave_m=2.5, ridge_m=4.5))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(4 * 7 + 49 * 2 / 3 + 77 * 0.18)
    assert mesh.bounds[:, 2] == pytest.approx([2.5 - 0.18, 4.5])


def test_square_hip_is_a_pyramid() -> None:
    roof = roof_parts(box(0, 0, 5, 5), "hip", eave_m=0.0, ridge_m=3.0)
    assert _mesh(*roof).is_watertight
    assert _mesh(*roof).volume == pytest.approx(36 + 36 * 0.18)


def test_hexagon_hip_is_a_pyramid() -> None:
    angle = np.arange(6) * np.pi / 3
    outline = Polygon(4 * np.column_stack([np.cos(angle), np.sin(angle)]))
    eaves = outline.buffer(OVERHANG_M, join_style="mitre")
    mesh = _mesh(*roof_parts(outline, "hip", eave_m=0.0, ridge_m=3.0))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(eaves.area * (1.0 + 0.18))


def test_ell_is_roofed_by_two_crossing_wings_at_one_pitch() -> None:
    """Eaves 7 x 10 rise 2 over 3.5 m; eaves 11 x 5 at the same pitch rise 10 / 7."""
    wings = covering(ELL, convex=True)
    assert sorted(wing.area for wing in wings) == pytest.approx([40, 54])
    roof = roof_parts(ELL, "hip", eave_m=2.0, ridge_m=4.0)
    slopes = _mesh(next(part for part in roof if part.role == "roof"))
    steep = np.degrees(np.arccos(slopes.face_normals[:, 2]))
    np.testing.assert_allclose(steep, steep[0], atol=1e-6)
    assert slopes.bounds[1, 2] == pytest.approx(4.0)
    low = 10 / 7
    wide_m3 = 3 * 7 * 2 / 2 + 49 * 2 / 3 + 70 * 0.18
    narrow_m3 = 6 * 5 * low / 2 + 25 * low / 3 + 55 * 0.18
    assert _mesh(*roof).volume == pytest.approx(wide_m3 + narrow_m3)


def test_any_other_outline_is_roofed_over_its_hull() -> None:
    odd = Polygon([(0, 0), (8, 0), (8, 6), (4, 2.5), (0, 6)])
    assert covering(odd, convex=True) == (odd.convex_hull,)
    assert not is_exact(odd, "hip")
    assert is_exact(odd, "flat")
    assert is_exact(ELL, "hip")
    assert is_exact(ELL, "gable")


def test_gable_roof_and_its_walls_are_closed() -> None:
    parts = roof_parts(box(0, 0, 10, 6), "gable", eave_m=2.5, ridge_m=4.5)
    cover = _mesh(*(part for part in parts if part.role != "wall"))
    gables = _mesh(*(part for part in parts if part.role == "wall"))
    assert cover.is_watertight
    assert gables.is_watertight
    assert cover.volume == pytest.approx(11 * 7 * 0.15)
    assert cover.bounds == pytest.approx(np.array([[-0.5, -0.5, 2.35], [10.5, 6.5, 4.5]]))
    assert gables.bounds[:, :2] == pytest.approx(np.array([[0, 0], [10, 6]]))
    assert 4.35 < gables.bounds[1, 2] < 4.5


def test_flat_roof_reaches_the_ridge() -> None:
    mesh = _mesh(*roof_parts(box(0, 0, 3, 2), "flat", eave_m=2.0, ridge_m=2.4))
    assert mesh.is_watertight
    assert mesh.bounds[:, 2] == pytest.approx([2.0, 2.4])


@pytest.mark.parametrize("roof", ["hip", "gable", "flat"])
def test_house_levels_count_from_the_floor_and_it_reaches_the_ground(roof: str) -> None:
    solid = STRUCTURES["house"](_house(roof=roof), _sloping)
    mesh = _mesh(*solid.parts)
    assert mesh.bounds[1, 2] == pytest.approx(2.4 + 4.5)
    assert _mesh(_part(solid, "plinth")).bounds[0, 2] < 2.0
    walls = _mesh(_part(solid, "wall"))
    assert walls.bounds[0, 2] == pytest.approx(2.4)
    assert (walls.volume > 0) & (mesh.volume > 0)


def test_openings_stand_proud_of_the_wall() -> None:
    """South wall at y = 0: glass to y = -0.03, frame to -0.05, sill to -0.09."""
    window = {"name": "w", "kind": "window", "from": [2, 0], "to": [4, 0], "low": 0.9, "high": 2.1}
    door = {"name": "d", "kind": "door", "from": [6, 0.2], "to": [7, 0.2], "high": 2.0}
    solid = STRUCTURES["house"](_house(opening=[window, door]), _flat)
    glass, leaf = _mesh(_part(solid, "glass")), _mesh(_part(solid, "door"))
    assert glass.bounds == pytest.approx(np.array([[2, -0.03, 3.3], [4, 0.02, 4.5]]))
    assert leaf.bounds == pytest.approx(np.array([[6, -0.03, 2.4], [7, 0.02, 4.4]]))
    trim = _part(solid, "trim").points_m
    frames = trim[(trim[:, 2] < 4.6) & (trim[:, 0] < 5)]
    assert frames[:, 1].min() == pytest.approx(-0.09)
    assert glass.is_watertight
    assert glass.volume == pytest.approx(2 * 1.2 * 0.05)


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize(
    ("ends", "left"),
    [
        (([2, 0], [4, 0]), (2, 0)),
        (([10, 2], [10, 4]), (10, 2)),
        (([2, 6], [4, 6]), (4, 6)),
        (([0, 2], [0, 4]), (0, 4)),
    ],
)
def test_a_face_runs_from_lower_left_as_seen_from_outside(
    ends: tuple[list[float], list[float]], left: tuple[float, float], reverse: bool
) -> None:
    first, last = ends[::-1] if reverse else ends
    outline = [[0, 0], [0, 6], [10, 6], [10, 0]] if reverse else [[0, 0], [10, 0], [10, 6], [0, 6]]
    opening = {"name": "w", "kind": "window", "from": first, "to": last, "low": 1, "high": 2}
    house = _house(outline=outline, opening=[opening])
    face = face_m(house, house.opening[0])
    assert face[0] == pytest.approx([*left, 3.4])
    assert face[3] == pytest.approx([*left, 4.4])
    assert np.linalg.norm(face[1] - face[0]) == pytest.approx(2)


def test_fence_follows_the_ground_at_its_height() -> None:
    fence = _structure(kind="fence", line=[[0, 0], [12, 0], [12, 5]], height=1.8, open=0.2)
    solid = STRUCTURES["fence"](fence, _sloping)
    mesh = _mesh(*solid.parts)
    assert solid.open_share == 0.2
    assert mesh.is_watertight
    posts = mesh.vertices[:, 2] - _sloping(mesh.vertices)
    assert posts.max() == pytest.approx(1.85, abs=0.01)
    boards = _mesh(STRUCTURES["fence"](fence, _sloping).parts[0])
    rays = np.column_stack([np.linspace(0.3, 11.7, 30), np.full(30, 9.0)])
    tops = np.column_stack([rays, 2.0 + 0.1 * rays[:, 0] + 1.75])
    towards = np.tile([0.0, -1.0, 0.0], (30, 1))
    assert boards.ray.intersects_any(tops, towards).all()
    above = tops + np.array([0.0, 0.0, 0.12])
    assert not boards.ray.intersects_any(above, towards).any()


def test_bays_are_as_many_as_the_ground_needs() -> None:
    line = LineString([(0, 0), (30, 0), (30, 20)])
    assert len(stations_m(line, _sloping)) == 3

    def mound(xy_m: Array) -> Array:
        return np.exp(-((xy_m[:, 0] - 15) ** 2) / 8)

    stations = stations_m(line, mound)
    along = np.linspace(0, 30, 500)
    drawn = np.interp(along, stations[:-1, 0], mound(stations[:-1]))
    wanted = mound(np.column_stack([along, 0 * along]))
    assert len(stations) > 8
    assert np.abs(drawn - wanted).max() < 0.04  # two centimetres, and the bays' own bend


def test_stone_wall_stands_in_the_ground() -> None:
    wall = _structure(kind="wall", line=[[0, 0], [4, 0]], height=0.6, thickness=0.4)
    mesh = _mesh(*STRUCTURES["wall"](wall, _flat).parts)
    assert mesh.is_watertight
    assert mesh.bounds == pytest.approx(np.array([[0, -0.2, 1.7], [4, 0.2, 2.6]]))
    assert mesh.volume == pytest.approx(4 * 0.4 * 0.9)


@pytest.mark.parametrize(("floor", "top"), [(None, 3.2), (5.0, 6.2)])
def test_box_stands_on_its_floor_or_on_the_ground(floor: float | None, top: float) -> None:
    keys = {"kind": "box", "outline": [[0, 0], [2, 0], [2, 2], [0, 2]], "height": 1.2}
    mesh = _mesh(*STRUCTURES["box"](_structure(**keys, floor=floor), _flat).parts)
    assert mesh.is_watertight
    assert mesh.bounds[:, 2] == pytest.approx([1.8, top])


def test_sides_keep_the_thickness_round_a_right_angle() -> None:
    stations = stations_m(LineString([(0, 0), (0.5, 0), (0.5, 0.5)]), _flat)
    left, right = sides_m(stations, thick_m=0.2)
    np.testing.assert_allclose(left[1], [0.4, 0.1])
    np.testing.assert_allclose(right[1], [0.6, -0.1])


@pytest.mark.parametrize("kind", sorted(STRUCTURES))
def test_every_kind_is_closed_and_faces_outwards(kind: str) -> None:
    """One contract for the whole register; frames lie into walls, so parts count singly."""
    line_like = {"line": [[0, 0], [3, 1], [6, 0]], "height": 1.5}
    box_like = {"outline": [[0, 0], [5, 0], [5, 4], [0, 4]], "height": 2.0}
    keys = {"fence": line_like, "wall": line_like, "box": box_like}.get(kind)
    structure = _structure(kind=kind, **keys) if keys else _house(kind=kind)
    solid = STRUCTURES[kind](structure, _sloping)
    assert (solid.name, solid.kind) == ("s", kind)
    mesh = _mesh(*solid.parts)
    bodies = mesh.split()
    assert len(bodies) >= 1
    assert all(body.is_watertight and body.is_winding_consistent for body in bodies)
    assert all(body.volume > 0 for body in bodies)
