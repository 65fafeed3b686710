"""The stage of the small yard: complete, the same sizes as the stand's, light to send."""

import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from growth.memory import Memory
from growth.stand import Stand, grow
from scenes.document import Yard
from scenes.layout import lay_out
from scenes.points import points_of
from scenes.reading import load
from scenes.terrain import grade
from viz.cards import Quads
from viz.packed import packed as sent_bytes
from viz.stage import MOST_TINT, PARAMS, Stage, compose, packed

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def composed() -> tuple[Stage, Stand]:
    document = load(YARD)
    terrain = grade(document)
    layout = lay_out(document, terrain)
    stand = grow(document, layout)
    return compose(document, terrain, layout, stand), stand


def test_sizes_are_the_expected_ones(composed: tuple[Stage, Stand]) -> None:
    stage, stand = composed
    there = stand.present
    assert stage.height_m[there] == pytest.approx(stand.height_m.expected[there], rel=1e-6)
    assert stage.spread_m[there] == pytest.approx(stand.spread_m.expected[there], rel=1e-6)
    assert np.all(stage.height_m[~there] == 0)


def test_every_plant_stands_at_its_foot(composed: tuple[Stage, Stand]) -> None:
    stage, stand = composed
    assert stage.foot_m == pytest.approx(stand.xyz_m, abs=1e-5)
    assert len(stage.kind) == len(stage.yaw) == len(stage.colours) == len(stand.plant)


def test_no_plant_is_stretched_out_of_shape(composed: tuple[Stage, Stand]) -> None:
    """The nearest of a kind's drawings is within a factor 1.6 of every size that occurs."""
    stage, stand = composed
    bulk = np.cbrt(stage.height_m * stage.spread_m**2)
    for plant, kind in enumerate(stage.kind):
        native = np.array([np.cbrt(d.height_m * d.spread_m**2) for d in stage.kinds[kind]])
        sizes = bulk[stand.present[:, plant], plant]
        off = np.abs(np.log(sizes[:, None] / native)).min(axis=1)
        assert off.max() < np.log(1.6)


def test_plants_that_stay_are_told_from_those_planted(composed: tuple[Stage, Stand]) -> None:
    """The small yard keeps one maple."""
    plants = PARAMS["plants"](composed[0])
    assert plants["kept"].sum() == 1
    kept = int(np.flatnonzero(plants["kept"])[0])
    assert composed[0].plants[plants["kind"][kept]].name == "Acer rubrum"


def test_what_a_page_needs_is_there(composed: tuple[Stage, Stand]) -> None:
    sent = sent_params(composed[0])
    assert set(sent) == {
        "ground",
        "hard",
        "far",
        "kinds",
        "plants",
        "sizes",
        "layers",
        "months",
        "suns",
        "views",
    }
    assert sent["ground"]["picture"][:2] == b"\xff\xd8"  # JPEG
    assert sent["kinds"]["atlas"][8:12] == b"WEBP"
    count = len(composed[0].kind)
    assert len(sent["sizes"]["height"]) == 31 * count
    assert len(sent["plants"]["foot"]) == 3 * count
    assert [view["name"] for view in sent["views"]["views"]][-2:] == ["Whole yard", "Plan"]


def test_arrays_have_types_a_browser_knows(composed: tuple[Stage, Stand]) -> None:
    known = {"float32", "uint32", "uint16", "uint8", "int16", "int8"}

    def arrays(value: object) -> list[np.ndarray]:
        if isinstance(value, np.ndarray):
            return [value]
        parts = (
            value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
        )
        return [array for part in parts for array in arrays(part)]

    found = arrays(sent_params(composed[0]))
    assert len(found) > 20
    assert {array.dtype.name for array in found} <= known


def test_packing_keeps_points_and_tints() -> None:
    rng = np.random.default_rng(4)
    quads = Quads(
        rng.uniform(-7, 7, (5, 4, 3)), np.tile([0.0, 0.0, 1.0], (5, 4, 1)),
        rng.uniform(0, 1, (5, 4, 2)), np.dstack([rng.uniform(0, 3, (5, 4, 3)), np.ones((5, 4, 1))]),
    )  # fmt: skip
    small = packed(quads)
    points = small["points"].reshape(5, 4, 3) * (small["reach"] / 32767)
    assert points == pytest.approx(quads.points_m, abs=small["reach"] / 32767)
    tint = small["tint"].reshape(5, 4, 4) / 255
    assert MOST_TINT * tint[..., :3] ** 2 == pytest.approx(quads.tint[..., :3], rel=0.05, abs=0.01)
    assert np.all(tint[..., 3] == 1)


def test_the_same_stage_every_time(composed: tuple[Stage, Stand]) -> None:
    document = load(YARD)
    terrain = grade(document)
    layout = lay_out(document, terrain)
    again = compose(document, terrain, layout, grow(document, layout))
    assert again.ground_picture == composed[0].ground_picture
    assert np.array_equal(again.colours, composed[0].colours)


def test_composing_is_quick() -> None:
    """Under two seconds on two slow shared cores (the budget of the page's first picture)."""
    document = load(YARD)
    terrain = grade(document)
    layout = lay_out(document, terrain)
    stand = grow(document, layout)
    start = time.process_time()
    compose(document, terrain, layout, stand)
    assert time.process_time() - start < 2.0


def test_a_remembered_stage_is_the_one_drawn_anew() -> None:
    """After a plant was moved: equal in every part, and its meshes are the very same ones."""
    document, memory = load(YARD), Memory()
    before = composed_of(document, memory)
    hedge, hydrangeas, *others = document.planting
    (x, y), *rest = points_of(hydrangeas.at)
    moved = hydrangeas.model_copy(update={"at": ((x + 0.5, y), *rest)})
    edited = document.model_copy(update={"planting": (hedge, moved, *others)})
    after, anew = composed_of(edited, memory), composed_of(edited, Memory())
    sent, plain, old = (sent_parts(stage) for stage in (after, anew, before))
    assert sent == plain
    assert {name for name in sent if sent[name] != old[name]} == {"plants"}
    assert after.hard is before.hard
    assert all(a is b for a, b in zip(after.kinds[0], before.kinds[0], strict=True))


def composed_of(document: Yard, memory: Memory) -> Stage:
    terrain = grade(document)
    layout = lay_out(document, terrain)
    return compose(document, terrain, layout, grow(document, layout), memory=memory)


def sent_params(stage: Stage) -> dict[str, Any]:
    return {name: part(stage) for name, part in PARAMS.items()}


def sent_parts(stage: Stage) -> dict[str, Any]:
    return {name: sent_bytes(part) for name, part in sent_params(stage).items()}
