"""The yard of a year as binary glTF: read again by trimesh, and by Khronos' own validator."""

import json
import os
import shutil
import subprocess
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import trimesh

from viz.__main__ import main
from viz.model import Asked, glb, model, y_up
from viz.stage import compose

ROOT = Path(__file__).parents[2]
YARD = ROOT / "tests" / "scenes" / "yards" / "small.toml"
VALIDATOR = ROOT / ".ci" / "node_modules" / "gltf-validator"
YEAR = 10


@pytest.fixture(scope="module")
def made(small):
    """Yard, layout and stand, and the bytes of its model in June of year 10."""
    yard, layout, stand = small.yard, small.layout, small.stand
    stage = compose(yard, small.terrain, layout, stand, foot_shade=False)
    return yard, layout, stand, glb(model(yard, layout, stand, stage, Asked(YEAR, 6)))


@pytest.fixture(scope="module")
def read(made) -> trimesh.Scene:
    return trimesh.load_scene(trimesh.util.wrap_as_stream(made[3]), file_type="glb")


@pytest.fixture(scope="module")
def header(made) -> dict:
    length = int.from_bytes(made[3][12:16], "little")
    return json.loads(made[3][20 : 20 + length])


def _nodes(header, key):
    return [node for node in header["nodes"] if key in node.get("extras", {})]


def test_east_north_up_become_x_minus_z_y() -> None:
    assert y_up(np.array([2.0, 3.0, 5.0])).tolist() == [2, 5, -3]
    turn = np.stack([y_up(axis) for axis in np.eye(3)], axis=1)
    assert np.linalg.det(turn) == pytest.approx(1)  # turned, not mirrored


def test_built_things_stand_to_scale(read) -> None:
    """The house by hand: 7 to 11 m east, 6 to 9 north, eaves 2.4 m above a floor of 10.6 m."""
    (wall,) = (name for name in read.graph.nodes_geometry if name.startswith("house: wall"))
    low, high = trimesh.Scene(read.geometry[wall]).bounds
    np.testing.assert_allclose([low[0], high[0]], [7, 11], atol=1e-5)
    np.testing.assert_allclose([low[2], high[2]], [-9, -6], atol=1e-5)
    assert high[1] == pytest.approx(10.6 + 2.4, abs=1e-5)


def test_the_ground_is_the_lots(read) -> None:
    """It rises from 10 m at the south to 10.5 m at the north, but for what was graded."""
    ground = read.geometry["ground"]
    x, y, z = ground.vertices.T
    at = np.argmin(np.hypot(x - 1, z + 9))
    assert y[at] == pytest.approx(10 - 0.05 * z[at], abs=1e-4)
    assert ground.visual.material.baseColorTexture.size[0] > 100


def test_every_plant_is_a_node_on_its_foot(made, read) -> None:
    _, layout, stand, _ = made
    plants = {
        name: matrix
        for name in read.graph.nodes_geometry
        for matrix, geometry in [read.graph[name]]
        if ", drawing" in geometry
    }
    assert len(plants) == stand.present[YEAR].sum() == 13
    feet = np.array(sorted(matrix[:3, 3].tolist() for matrix in plants.values()))
    np.testing.assert_allclose(feet, sorted(y_up(layout.xyz_m).tolist()), atol=1e-5)
    thuja = plants["Thuja occidentalis 'Smaragd', planting[1] plant 0"]
    np.testing.assert_allclose(thuja[:3, 3], [7.4, 10.06, -1.2], atol=1e-5)


def test_plants_reach_their_expected_height_and_spread(made, read) -> None:
    """A drawn plant is as high as it is said to be, within a twelfth, and about as wide."""
    _, _, stand, _ = made
    for name in read.graph.nodes_geometry:
        matrix, geometry = read.graph[name]
        if ", drawing" not in geometry:
            continue
        foot_m = matrix[:3, 3]
        plant = int(np.argmin(np.linalg.norm(y_up(stand.xyz_m) - foot_m, axis=1)))
        corners = trimesh.transform_points(read.geometry[geometry].vertices, matrix)
        top_m = corners[:, 1].max() - foot_m[1]
        assert top_m == pytest.approx(stand.height_m.expected[YEAR, plant], rel=1 / 12)
        width_m = np.ptp(corners[:, [0, 2]], axis=0).mean()
        assert width_m == pytest.approx(stand.spread_m.expected[YEAR, plant], rel=0.3)


def test_plants_of_a_kind_share_one_mesh(header) -> None:
    uses = Counter(node["mesh"] for node in _nodes(header, "plant"))
    assert sorted(uses.values()) == [1, 2, 4, 6]
    assert len(header["materials"]) == len({m["name"] for m in header["materials"]})
    assert len(header["images"]) == 2


def test_a_plant_tells_its_table_and_its_range(made, header) -> None:
    stand = made[2]
    (maple,) = (n["extras"] for n in _nodes(header, "plant") if n["extras"]["kept"])
    assert (maple["plant"], maple["table"]) == ("Acer rubrum", "kept[1]")
    assert maple["height_low_m"] < maple["height_expected_m"] < maple["height_high_m"]
    assert maple["height_low_m"] == pytest.approx(stand.height_m.low[YEAR, 0], abs=6e-4)
    told = header["scenes"][0]["extras"]
    assert (told["title"], told["year"], told["month"]) == ("Small yard", YEAR, 6)
    assert "10th and 90th percentile" in told["sizes"]


def test_khronos_finds_nothing_wrong(made, tmp_path) -> None:
    """No error and no warning; that a picture is no power of two across is told, but no fault."""
    must = os.environ.get("CI") == "true"
    node = shutil.which("node")
    if not must and (node is None or not VALIDATOR.exists()):
        pytest.skip("no node (apt install nodejs npm) or no validator (npm ci --prefix .ci)")
    assert node is not None, "CI needs node: apt install nodejs npm"
    assert VALIDATOR.exists(), "CI needs the validator: npm ci --prefix .ci"
    path = tmp_path / "yard.glb"
    path.write_bytes(made[3])
    told = subprocess.run(
        [node, Path(__file__).with_name("khronos.js"), path],
        capture_output=True, text=True, timeout=60, check=True,
        env={**os.environ, "NODE_PATH": str(VALIDATOR.parent)},
    )  # fmt: skip
    report = json.loads(told.stdout)
    faults = [one for one in report["issues"]["messages"] if one["severity"] < 2]
    assert faults == []
    assert report["info"]["drawCallCount"] > 0


def test_the_command_writes_it(tmp_path, capsys) -> None:
    out = tmp_path / "small.glb"
    assert main(["model", str(YARD), "--year", "0", "--month", "January", "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert "year 0, 13 plants at expected size; metres, y up" in said
    assert out.read_bytes()[:4] == b"glTF"


@pytest.mark.parametrize("words", [["--year", "31"], ["--year", "5", "--month", "Jx"], []])
def test_what_is_asked_wrongly_is_refused(tmp_path, words) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["model", str(YARD), *words, "--out", str(tmp_path / "a.glb")])
    assert stopped.value.code == 2
    with pytest.raises(SystemExit):
        main(["model", str(YARD), "--year", "5", "--out", str(tmp_path / "a.obj")])
