"""House models: known bodies written by trimesh and by hand, read again, and what is refused."""

import json
import shutil
import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh

import growth
import scenes
from scenes.models import Shape, coarser
from scenes.solids import Part

YARDS = Path(__file__).parent / "yards"

WEDGE = """# a lean-to of 4 x 3 m, y up: 2 m high at the front (z = 0), 3 m at the back (z = -3)
mtllib ../../secret.mtl
v 0 0 0
v 4 0 0
v 4 0 -3
v 0 0 -3
v 0 2 0
v 4 2 0
v 4 3 -3
v 0 3 -3
f 4 3 2 1
f 1 2 6 5
f 2 3 7 6
f 3 4 8 7
f 4 1 5 8
f 5 6 7 8
"""


@pytest.fixture
def with_model(tmp_path):
    """The small yard with a model at (3, 8), and the layout of it."""
    for name in ("small.toml", "small-survey.csv"):
        shutil.copy(YARDS / name, tmp_path)
    path = tmp_path / "small.toml"
    plain = path.read_text(encoding="utf-8")

    def laid_out(name: str, data: bytes, **keys: float):
        (tmp_path / name).write_bytes(data)
        written = "".join(f"{key} = {value}\n" for key, value in keys.items())
        table = f'\n[[structure]]\nname = "m"\nkind = "model"\nfile = "{name}"\nat = [3, 8]\n'
        path.write_text(plain + table + written, encoding="utf-8")
        yard = scenes.load(path)
        return yard, scenes.lay_out(yard, scenes.grade(yard))

    return laid_out


def _glb(mesh: trimesh.Trimesh) -> bytes:
    return trimesh.Scene([mesh]).export(file_type="glb")


def _part(layout) -> Part:
    (part,) = next(solid for solid in layout.solids if solid.kind == "model").parts
    return part


def _tree_glb(tree: dict) -> bytes:
    text = json.dumps(tree).encode()
    text += b" " * (-len(text) % 4)
    chunk = struct.pack("<I4s", len(text), b"JSON") + text
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunk)) + chunk


def _volume_m3(part: Part) -> float:
    a, b, c = np.moveaxis(part.points_m[part.triangles], 1, 0)
    return float((a * np.cross(b, c)).sum() / 6)


def test_a_wedge_by_hand(with_model) -> None:
    """The middle of its foot, (2, -1.5) in the file, is set on (3, 8); volume 4 x 3 x 2.5."""
    _, layout = with_model("wedge.obj", WEDGE.encode(), floor=10.4)
    part = _part(layout)
    np.testing.assert_allclose(part.points_m.min(axis=0), [1, 6.5, 10.4], atol=1e-9)
    np.testing.assert_allclose(part.points_m.max(axis=0), [5, 9.5, 13.4], atol=1e-9)
    high = part.points_m[part.points_m[:, 2] > 13]
    assert high[:, 1].tolist() == pytest.approx([9.5] * len(high))  # the back lies north
    assert _volume_m3(part) == pytest.approx(30)
    assert len(part.triangles) == 12


def test_turned_clockwise_and_scaled_to_its_height(with_model) -> None:
    """The back, once north, looks east; 3 m became 6, so all is twice as large."""
    _, layout = with_model("wedge.obj", WEDGE.encode(), floor=10, turn_deg=90, height=6)
    part = _part(layout)
    np.testing.assert_allclose(part.points_m.min(axis=0), [0, 4, 10], atol=1e-9)
    np.testing.assert_allclose(part.points_m.max(axis=0), [6, 12, 16], atol=1e-9)
    high = part.points_m[part.points_m[:, 2] > 15]
    assert high[:, 0].tolist() == pytest.approx([6] * len(high))
    assert _volume_m3(part) == pytest.approx(240)


def test_glb_with_instances_stands_on_the_ground(with_model) -> None:
    """Two uses of one box of 1 x 2 x 1 m, 3 m apart; the ground at y = 8 is 10.4 m."""
    box = trimesh.creation.box([1, 2, 1])
    scene = trimesh.Scene()
    for number, x in enumerate((0, 3)):
        matrix = trimesh.transformations.translation_matrix([x, 1, 0])
        scene.add_geometry(box, geom_name="box", node_name=f"n{number}", transform=matrix)
    _, layout = with_model("boxes.glb", scene.export(file_type="glb"))
    part = _part(layout)
    np.testing.assert_allclose(part.points_m.min(axis=0), [1, 7.5, 10.4], atol=1e-6)
    np.testing.assert_allclose(part.points_m.max(axis=0), [5, 8.5, 12.4], atol=1e-6)
    assert _volume_m3(part) == pytest.approx(4)


def test_a_mirrored_use_still_faces_outwards(with_model) -> None:
    matrix = np.diag([-1.0, 1.0, 1.0, 1.0])
    scene = trimesh.Scene()
    scene.add_geometry(trimesh.creation.box([1, 2, 3]), transform=matrix)
    _, layout = with_model("mirror.glb", scene.export(file_type="glb"))
    assert _volume_m3(_part(layout)) == pytest.approx(6)


def test_a_fine_model_is_made_coarser_and_says_how_far_off_it_is(with_model) -> None:
    ball = trimesh.creation.icosphere(subdivisions=5, radius=2.0)  # 20,480 triangles
    _, layout = with_model("ball.glb", _glb(ball))
    part = _part(layout)
    assert 1_500 < len(part.triangles) <= 4_000
    (said,) = (line for line in layout.not_computed if "drawn up to" in line)
    off_m = float(said.split("up to ")[1].split(" m")[0])
    radius = np.linalg.norm(part.points_m - [3, 8, part.points_m[:, 2].min() + 2], axis=1)
    assert np.abs(radius - 2).max() < 2 * off_m < 0.4
    assert _volume_m3(part) == pytest.approx(4 / 3 * np.pi * 8, rel=0.06)


def test_corners_drawn_together_by_hand() -> None:
    """Two corners 2 mm apart become one in the middle; the sliver between them goes."""
    points = np.array([[0.5, 0.5, 0], [0.502, 0.5, 0], [2.5, 0.5, 0], [0.5, 2.5, 0]])
    triangles = np.array([[0, 2, 3], [0, 1, 3]])
    made = coarser(Shape(points, triangles), most=1)
    assert made.triangles.shape == (1, 3)
    assert made.off_m == pytest.approx(0.001)
    assert sorted(made.points_m[:, 0].round(4).tolist()) == [0.5, 0.501, 2.5]


def test_a_model_hides_what_is_behind_it(with_model) -> None:
    """A wall of a model between eye and panel hides all of it."""
    wall = trimesh.creation.box([6, 6, 0.4])
    yard, layout = with_model("wall.glb", _glb(wall), floor=9)
    view = yard.view[1].model_copy(update={"eye": (3.0, 9.8)})
    target = view.target.model_copy(update={"from_": (2.0, 5.0), "to": (4.0, 5.0)})
    seen = yard.model_copy(update={"view": (view.model_copy(update={"target": target}),),
                                   "requirement": ()})  # fmt: skip
    terrain = scenes.grade(seen)
    for solids, expected in ((True, 1.0), (False, 0.0)):
        layout = scenes.lay_out(
            seen if solids else seen.model_copy(update={"structure": ()}), terrain
        )
        stand = growth.grow(seen, layout)
        findings = growth.check(seen, terrain, layout, stand, light=False)
        hidden = findings.screening[0].fraction_blocked.expected[0]
        assert hidden == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.glb", b"glTFnot", "is no whole GLB file"),
        ("a.glb", b"", "is no whole GLB file"),
        ("a.obj", b"", "holds no triangles|cannot be read"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nl 1 2\n", "holds no triangles|cannot be read"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nf 1 2 9\n", "cannot be read|holds no triangles"),
        ("a.obj", b"v nan 0 0\nv 1 0 0\nv 1 1 0\nf 1 2 3\n", "not finite"),
        ("a.obj", b"v 0 0 0\n" + b"v 1 1 1\n" * 2_000_001, "corners and more; simplify it"),
        ("a.obj", WEDGE.replace("v 4", "v 4000").encode(), "4,000 m across where its numbers are"),
        (
            "a.glb", _tree_glb({"asset": {"version": "2.0"}, "buffers": [{"uri": "/etc/passwd"}]}),
            "names other files",
        ),
        (
            "a.glb", _tree_glb({"extensionsRequired": ["KHR_draco_mesh_compression"]}),
            "needs KHR_draco_mesh_compression; write it without compression",
        ),
        (
            "a.glb", _tree_glb({"accessors": [{"count": 3_000_000_000}]}),
            "3,000,000,000 corners and more",
        ),
        (
            "a.glb", _tree_glb({"nodes": [{"children": [1]}, {"children": [0]}]}),
            "is no whole GLB file",
        ),
        (
            "a.glb",
            _tree_glb({
                "nodes": [{"mesh": 0}] * 2_000, "accessors": [{"count": 3_000}],
                "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
            }),
            "6,000,000 corners and more",
        ),
    ],
)  # fmt: skip
def test_files_that_are_refused(with_model, name, data, said) -> None:
    with pytest.raises(scenes.SceneError, match=rf'structure\[3\]\.file: "{name}" .*({said})'):
        with_model(name, data)


def test_a_changed_file_is_read_again(with_model) -> None:
    _, before = with_model("box.glb", _glb(trimesh.creation.box([1, 1, 1])))
    _, after = with_model("box.glb", _glb(trimesh.creation.icosphere(radius=3.0)))
    assert len(_part(after).triangles) != len(_part(before).triangles)
