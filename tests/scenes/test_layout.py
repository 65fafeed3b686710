from pathlib import Path

import numpy as np
import pytest

import scenes
from scenes.document import Yard
from scenes.errors import SceneError
from scenes.layout import Layout, numbered, places_of

SMALL = Path(__file__).parent / "yards" / "small.toml"
BED = {"name": "b", "edge": [[1, 1], [7, 1], [7, 5], [1, 5]], "mulch": "75 mm"}


def _lay_out(**tables: object) -> Layout:
    site = {"boundary": [[0, 0], [12, 0], [12, 10], [0, 10]]}
    ground = {"points": [[0, 0, 5], [12, 0, 5], [12, 10, 6], [0, 10, 6]]}
    raw = {"title": "t", "lengths": "m", "site": site, "ground": ground, "bed": [BED], **tables}
    yard = Yard.model_validate(raw, context={"unit": "m"})
    return scenes.lay_out(yard, scenes.grade(yard))


def test_small_yard_by_hand() -> None:
    """1 maple kept; 3.2 m / 0.8 = 4 thujas; 2 hydrangeas; 3 x 2 sedges a metre apart."""
    yard = scenes.load(SMALL)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    assert [source.place for source in layout.sources] == [
        "kept[1]",
        "planting[1]",
        "planting[2]",
        "planting[3]",
    ]
    assert np.bincount(layout.source).tolist() == [1, 4, 2, 6]
    np.testing.assert_allclose(layout.xyz_m[1], [7.4, 1.2, 10.06], atol=1e-6)
    assert [solid.name for solid in layout.solids] == ["house", "west fence"]
    assert [look.name for look in layout.looks] == ["from the lane", "patio to the west"]
    assert [surface.outline.area for surface in layout.surfaces] == pytest.approx([10.0, 7.2])
    assert layout.beds[0].outline.area == pytest.approx(6.0)
    assert layout.not_computed == ()


def test_a_walk_round_a_square_has_no_seam() -> None:
    """Outer 9 x 9 m less inner 7 x 7 m."""
    ring = [[1, 1], [9, 1], [9, 9], [1, 9], [1, 1]]
    walk = {"name": "w", "kind": "walk", "centreline": ring, "width": 1}
    assert _lay_out(surface=[walk]).surfaces[0].outline.area == pytest.approx(81 - 49)


def test_every_plant_stands_on_the_ground() -> None:
    layout = _lay_out(
        planting=[
            {"plant": "A", "size": "#1", "at": [[1, 1], [2, 9]]},
            {"plant": "B", "size": "#1", "along": [[0, 5], [12, 5]], "spacing": 4},
        ]
    )
    np.testing.assert_allclose(layout.xyz_m[:, 2], 5 + layout.xyz_m[:, 1] / 10, atol=1e-6)
    assert layout.xyz_m[2:, 0] == pytest.approx([2, 6, 10])


@pytest.mark.parametrize(
    "trunk", [{"trunk_diameter": "60 cm"}, {"trunk_diameters": ["36 cm", "48 cm"]}]
)
def test_keep_off_keeps_plants_off_the_edge_and_off_kept_trunks(trunk: dict[str, object]) -> None:
    """Stems of 36 and 48 cm have the section of one of 60: 3, 4 and 5 times 12."""
    kept = {"plant": "T", "at": [4, 3], "height": 9, "spread": 6, **trunk}
    fill = {"plant": "C", "size": "#1", "fill": "b", "spacing": 0.25, "keep_off": 0.5}
    layout = _lay_out(kept=[kept], planting=[fill])
    places = layout.xyz_m[layout.source == 1, :2]
    assert (places.min(axis=0) >= [1.5 - 1e-9, 1.5 - 1e-9]).all()
    assert (places.max(axis=0) <= [6.5 + 1e-9, 4.5 + 1e-9]).all()
    assert np.linalg.norm(places - [4, 3], axis=1).min() > 0.8 - 0.01
    free_m2 = 5 * 3 - np.pi * 0.8**2
    assert len(places) == pytest.approx(free_m2 / (0.25**2 * np.sqrt(3) / 2), rel=0.05)


def test_a_mix_has_one_source_a_kind_with_exact_counts() -> None:
    fill = {"size": "#1", "fill": "b", "spacing": 1, "pattern": "square"}
    layout = _lay_out(planting=[fill | {"mix": {"A": 0.5, "B": 0.25, "C": 0.25}}])
    assert [source.plant for source in layout.sources] == ["A", "B", "C"]
    assert {source.place for source in layout.sources} == {"planting[1]"}
    assert np.bincount(layout.source).tolist() == [12, 6, 6]


def test_kept_plants_may_be_one_several_or_a_row() -> None:
    size = {"plant": "K", "height": 2, "spread": 1}
    layout = _lay_out(
        kept=[
            size | {"at": [1, 1]},
            size | {"at": [[2, 2], [3, 3]]},
            size | {"along": [[0, 9], [12, 9]], "spacing": 2},
        ]
    )
    assert np.bincount(layout.source).tolist() == [1, 2, 6]
    assert all(source.kept is not None for source in layout.sources)


def test_a_yard_without_plants_is_laid_out() -> None:
    layout = _lay_out()
    assert layout.xyz_m.shape == (0, 3)
    assert len(layout.source) == 0


def test_a_bed_with_no_room_is_told() -> None:
    fill = {"plant": "C", "size": "#1", "fill": "b", "spacing": 1, "keep_off": 2.5}
    with pytest.raises(SceneError, match=r'planting\[1\]\.fill: no plant fits in "b"; make keep'):
        _lay_out(planting=[fill])


def test_a_smooth_edge_that_crosses_itself_is_told() -> None:
    edge = [[1, 1], [9, 1], [1.2, 1.3], [9, 1.6], [9, 2], [1, 2]]
    bed = {"name": "b", "edge": edge, "smooth": True}
    with pytest.raises(SceneError, match=r'bed\[1\]\.edge: the smooth edge of "b" crosses itself'):
        _lay_out(bed=[bed])


def test_tables_not_computed_yet_are_named() -> None:
    outline = [[0, 0], [8, 0], [8, 6], [4, 2.5], [0, 6]]
    crooked = {"name": "barn", "kind": "shed", "outline": outline, "floor": 6, "eave": 2}
    crooked |= {"ridge": 4}
    layout = _lay_out(
        structure=[
            {"name": "wires", "kind": "line", "line": [[0, 0], [9, 0]], "height": 6},
            {"name": "gas", "kind": "meter", "at": [3, 3], "clear": 1},
            crooked,
        ],
        street=[{"name": "lane", "curb": [[0, -2], [12, -2]]}],
        sight=[{"name": "corner", "at": [3, -2], "legs": [3, 3], "band": [1, 2]}],
    )
    assert [solid.name for solid in layout.solids] == ["barn"]
    assert layout.not_computed == (
        'structure "barn": its roof covers a simpler shape than its outline',
        'street "lane": streets serve sight triangles and are not drawn yet',
    )


def test_plants_are_numbered_within_their_table_kind_after_kind() -> None:
    """A kept tree, a row of three, and a mix that fills a bed."""
    mix = {"Carex morrowii": 0.5, "Liriope muscari": 0.5}
    kept = [{"plant": "Acer rubrum", "at": [9, 8], "height": 5, "spread": 3}]
    row = {"plant": "Ilex glabra", "size": "#5", "along": [[1, 8], [7, 8]], "spacing": 2}
    fill = {"fill": "b", "spacing": 2, "pattern": "square", "size": "#1", "mix": mix}
    layout = _lay_out(kept=kept, planting=[row, fill])
    places = [numbered(layout, plant) for plant in range(len(layout.source))]
    assert places[:4] == [
        ("kept[1]", 0),
        ("planting[1]", 0),
        ("planting[1]", 1),
        ("planting[1]", 2),
    ]
    assert places[4:] == [("planting[2]", n) for n in range(len(layout.source) - 4)]


def test_places_without_ground_are_those_of_the_layout() -> None:
    yard = scenes.load(SMALL)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    for plant, foot_m in enumerate(layout.xyz_m):
        place, number = numbered(layout, plant)
        kinds, xy_m = places_of(yard, place)
        assert kinds[number] == layout.sources[layout.source[plant]].plant
        np.testing.assert_array_equal(xy_m[number], foot_m[:2])


HOUSE = {"name": "house", "kind": "house", "outline": [[2, 5], [6, 5], [6, 10], [2, 10]],
         "eave": 2.5, "ridge": 4}  # fmt: skip
"""On ground that rises from 5.5 m at its first corner to 6 m behind it."""


@pytest.mark.parametrize(("floor", "wrong"), [(0, "lies wholly under"), (100, "is far above")])
def test_a_floor_from_another_zero_is_refused(floor: float, wrong: str) -> None:
    message = (
        rf'structure\[1\].floor: at {floor} m "house" {wrong} the ground, .* 5.5 m at its first'
    )
    with pytest.raises(SceneError, match=message):
        _lay_out(structure=[HOUSE | {"floor": floor}])


@pytest.mark.parametrize("floor", [1.6, 17.9])
def test_a_house_that_shows_its_ridge_or_stands_on_a_bank_is_let_be(floor: float) -> None:
    assert len(_lay_out(structure=[HOUSE | {"floor": floor}]).solids) == 1
