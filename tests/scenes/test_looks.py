import numpy as np
import pytest

import scenes
from scenes.document import Yard
from scenes.errors import SceneError
from scenes.layout import Layout

HOUSE = {
    "name": "house",
    "kind": "house",
    "outline": [[5, 10], [15, 10], [15, 16], [5, 16]],
    "floor": 1.5,
    "eave": 2.5,
    "ridge": 4.0,
    "opening": [
        {"name": "w", "kind": "window", "from": [9, 10], "to": [7, 10], "low": 1, "high": 2}
    ],
}
SCREEN = {"name": "panel wall", "kind": "box", "outline": [[8, 4], [12, 4], [12, 5], [8, 5]]}


def _lay_out(
    view: dict[str, object],
    *,
    slope: float = 0.0,
    unit: str = "m",
    more: list[object] | None = None,
) -> Layout:
    lot = [[0, 0], [20, 0], [20, 20], [0, 20]]
    corners = [[-9, -9], [29, -9], [29, 29], [-9, 29]]
    raw = {
        "title": "t",
        "lengths": unit,
        "site": {"boundary": lot},
        "ground": {"points": [[x, y, 1 + slope * y] for x, y in corners], "cell": 0.5},
        "structure": [HOUSE, SCREEN | {"height": 2.0}, *(more or [])],
        "view": [{"name": "v"} | view],
    }
    yard = Yard.model_validate(raw, context={"unit": unit})
    return scenes.lay_out(yard, scenes.grade(yard))


def test_eye_stands_above_the_ground_there() -> None:
    look = _lay_out({"eye": [8, -4], "target": "w", "eye_height": 1.7}, slope=0.1).looks[0]
    np.testing.assert_allclose(look.eye_m, [8, -4, 1 - 0.4 + 1.7], atol=1e-6)


def test_eye_above_counts_from_that_floor() -> None:
    view = {"eye": [4, 8], "above": "house", "eye_height": 1.2, "target": "panel wall"}
    assert _lay_out(view).looks[0].eye_m[2] == pytest.approx(2.7)


def test_window_is_the_panel_on_the_wall() -> None:
    look = _lay_out({"eye": [8, -4], "target": "w"}).looks[0]
    wanted = [[7, 10, 2.5], [9, 10, 2.5], [9, 10, 3.5], [7, 10, 3.5]]
    np.testing.assert_allclose(look.panel_m, wanted)
    assert look.own == "house"


@pytest.mark.parametrize(("eye", "left"), [([5, 0], 2), ([5, 9], 8)])
def test_written_panel_is_ordered_as_the_eye_sees_it(eye: list[float], left: float) -> None:
    target = {"from": [2, 6], "to": [8, 6], "low": 0.5, "high": 3}
    look = _lay_out({"eye": eye, "target": target}).looks[0]
    assert look.panel_m[0] == pytest.approx([left, 6, 1.5])
    assert look.panel_m[2] == pytest.approx([10 - left, 6, 4.0])
    assert look.own is None


def test_written_panel_stands_on_the_mean_ground_of_its_ends() -> None:
    target = {"from": [2, 2], "to": [2, 8], "low": 0.5, "high": 3}
    panel = _lay_out({"eye": [9, 2], "target": target}, slope=0.1).looks[0].panel_m
    np.testing.assert_allclose(panel[:, 2], [2.0, 2.0, 4.5, 4.5], atol=1e-6)


def test_structure_straight_ahead_is_the_rectangle_that_hides_it() -> None:
    """Box 4 x 1 m, 2 m high at 4 m: its near face hides it; the eye is above its far top.

    Eye 1.6 over ground 1.0 at (10, 0); near face at depth 4 m, top at 3.0.
    The far top edge appears lower on that plane: 2.6 + 0.4 x 4 / 5 < 3.0.
    """
    look = _lay_out({"eye": [10, 0], "target": "panel wall"}).looks[0]
    wanted = [[8, 4, 1], [12, 4, 1], [12, 4, 3], [8, 4, 3]]
    np.testing.assert_allclose(look.panel_m, wanted, atol=1e-6)
    assert look.own == "panel wall"


def test_from_above_the_far_edge_is_the_top_of_the_silhouette() -> None:
    """Eye 6 m over the ground: the far top, 4 m below at depth 5, meets the plane 3.2 below."""
    look = _lay_out({"eye": [10, 0], "eye_height": 6.0, "target": "panel wall"}).looks[0]
    assert look.panel_m[2, 2] == pytest.approx(7.0 - 4.0 * 4 / 5)


@pytest.mark.parametrize("eye", [[10, -3], [0, 0], [19, 1], [2, 6]])
def test_every_corner_of_a_structure_lies_within_its_panel(eye: list[float]) -> None:
    layout = _lay_out({"eye": eye, "target": "panel wall"})
    look = layout.looks[0]
    solid = next(solid for solid in layout.solids if solid.name == "panel wall")
    points = np.concatenate([part.points_m for part in solid.parts])
    across, up = look.panel_m[1] - look.panel_m[0], look.panel_m[3] - look.panel_m[0]
    facing = np.cross(across, up)
    rays = points - look.eye_m
    reach = ((look.panel_m[0] - look.eye_m) @ facing) / (rays @ facing)
    met = look.eye_m + reach[:, None] * rays - look.panel_m[0]
    assert (reach <= 1 + 1e-9).all()
    share = met @ across / (across @ across)
    assert share.min() == pytest.approx(0, abs=1e-9)
    assert share.max() == pytest.approx(1, abs=1e-9)
    assert (met @ up / (up @ up)).max() == pytest.approx(1, abs=1e-9)
    assert facing @ (look.panel_m[0] - look.eye_m) < 0  # turned towards the eye


@pytest.mark.parametrize(
    ("view", "message"),
    [
        ({"eye": [8, 12], "target": "w"}, r'view\[1\]\.eye: \(8\.0, 12\.0\) lies inside "house"'),
        ({"eye": [8, 18], "target": "w"}, r'lies behind the wall of "house" that holds the target'),
        (
            {"eye": [7.95, 4.5], "target": "panel wall"},
            r'\(7\.95, 4\.5\) is not clear of "panel wall" that it looks at',
        ),
        (
            {"eye": [1, 6], "target": {"from": [2, 6], "to": [8, 6], "high": 3}},
            r"\(1\.0, 6\.0\) sees the target edge-on; move it to one side",
        ),
        (
            {"eye": [4, 8], "above": "panel wall", "target": "w"},
            r'view\[1\]\.above: "panel wall" is no structure with a floor',
        ),
        ({"eye": [4, 8], "target": "nothing"}, r'view\[1\]\.target: "nothing" is no opening'),
    ],
)
def test_an_eye_that_cannot_see_is_told(view: dict[str, object], message: str) -> None:
    with pytest.raises(SceneError, match=message):
        _lay_out(view)


def test_points_are_told_in_the_document_unit() -> None:
    with pytest.raises(SceneError, match=r"\(8\.0, 12\.0\) lies inside"):
        _lay_out({"eye": [8, 12], "target": "w"}, unit="ft")


PANEL = {"from": [2, 6], "to": [8, 6], "low": 0.5, "high": 3}


def test_a_walk_is_eyes_spread_along_it_no_farther_apart_than_a_stride() -> None:
    look = _lay_out({"eye": [[1, 0], [5, 0], [5, 4]], "target": PANEL}, slope=0.1).looks[0]
    eyes = np.array([sighting.eye_m for sighting in look.looked_from])
    # 8 m of walk: four eyes, 8/3 m apart
    np.testing.assert_allclose(eyes[:, :2], [[1, 0], [11 / 3, 0], [5, 4 / 3], [5, 4]], atol=1e-9)
    np.testing.assert_allclose(eyes[:, 2], 2.6 + 0.1 * eyes[:, 1], atol=1e-6)
    assert look.eye_m == pytest.approx(eyes[2])


def test_a_long_walk_has_no_more_eyes_than_the_most() -> None:
    look = _lay_out({"eye": [[-400, 0], [400, 0]], "target": PANEL}).looks[0]
    assert len(look.looked_from) == 8
    assert look.looked_from[0].eye_m[0] == pytest.approx(-400)
    assert look.looked_from[-1].eye_m[0] == pytest.approx(400)


def test_an_eye_written_as_a_walk_of_one_is_one_eye() -> None:
    one, walk = (_lay_out({"eye": eye, "target": PANEL}).looks[0] for eye in ([4, 0], [[4, 0]]))
    np.testing.assert_array_equal(one.eye_m, walk.eye_m)
    assert len(walk.looked_from) == 1


def test_an_eye_of_a_walk_that_cannot_see_is_told() -> None:
    with pytest.raises(SceneError, match=r"view\[1\]\.eye: .* lies inside"):
        _lay_out({"eye": [[8, 4], [8, 20]], "target": PANEL})


@pytest.mark.parametrize("line", [[[0, 2], [9, 2]], [[9, 2], [0, 2]]])
def test_a_square_look_is_level_with_the_panel_and_stands_on_the_line(line: list[object]) -> None:
    look = _lay_out({"square_to": line, "target": PANEL}).looks[0]
    np.testing.assert_allclose(look.eye_m, [5, 2, 1 + 1.75], atol=1e-6)
    (sighting,) = look.looked_from
    to = sighting.panel_m.mean(axis=0) - sighting.eye_m
    np.testing.assert_allclose(to / np.linalg.norm(to), [0, 1, 0], atol=1e-9)
    np.testing.assert_allclose(look.panel_m[0], [2, 6, 1.5], atol=1e-6)
    np.testing.assert_allclose(sighting.line_m, line)


def test_a_square_look_at_a_box_sees_its_face_as_large_as_it_is() -> None:
    look = _lay_out({"square_to": [[0, 0], [20, 0]], "target": "panel wall"}).looks[0]
    wanted = [[8, 4, 1], [12, 4, 1], [12, 4, 3], [8, 4, 3]]
    np.testing.assert_allclose(look.panel_m, wanted, atol=1e-3)


def test_a_line_through_its_target_is_told() -> None:
    with pytest.raises(SceneError, match=r"view\[1\]\.square_to: the target touches or crosses"):
        _lay_out({"square_to": [[0, 6], [9, 6]], "target": PANEL})


def test_a_target_without_a_body_is_named_as_not_computed() -> None:
    wire = {"name": "wire", "kind": "line", "line": [[0, 4], [9, 4]], "height": 5}
    layout = _lay_out({"eye": [4, 0], "target": "wire"}, more=[wire])
    assert layout.looks == ()
    assert 'view "v": a line as its target is not computed yet' in layout.not_computed
