"""Every drawn plant: as large as computed, within its triangles, and never the same twice over."""

from collections.abc import Iterator

import numpy as np
import pytest

from growth.crowns import FORMS
from growth.plants import Plant, catalogue
from viz.foliage import Drawing, drawing, stage_sizes_m

MOST_TRIANGLES = {
    "tree": 2600, "palm": 2600, "shrub": 1200, "vine": 1200, "bamboo": 1200, "fern": 650,
}  # fmt: skip
MOST_LOW = 560
SHARES = (0.12, 0.45, 1.0)


def one_of_each_form() -> Iterator[Plant]:
    seen = set()
    for plant in catalogue().values():
        look = (plant.form, plant.kind, plant.card, plant.leaf)
        if look not in seen:
            seen.add(look)
            yield plant


PLANTS = list(one_of_each_form())


def size_m(plant: Plant, share: float) -> tuple[float, float]:
    return sum(plant.height_m) / 2 * share, sum(plant.spread_m) / 2 * share


def drawn(plant: Plant, share: float) -> Drawing:
    height, spread = size_m(plant, share)
    return drawing(plant, height_m=height, spread_m=spread)


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("plant", PLANTS, ids=lambda p: f"{p.form} {p.kind} {p.card}")
def test_drawn_size_is_the_computed_size(plant: Plant, share: float) -> None:
    height, spread = size_m(plant, share)
    points = drawn(plant, share).leaf.points_m
    radius = np.hypot(points[..., 0], points[..., 1]).max()
    assert points[..., 2].max() == pytest.approx(height, rel=0.03, abs=0.05)
    assert 2 * radius == pytest.approx(spread, rel=0.03, abs=0.05)
    assert points[..., 2].min() > -0.05 * height


@pytest.mark.parametrize("plant", PLANTS, ids=lambda p: f"{p.form} {p.kind} {p.card}")
def test_drawings_stay_light(plant: Plant) -> None:
    most = MOST_TRIANGLES.get(plant.kind, MOST_LOW)
    young, grown = drawn(plant, 0.12), drawn(plant, 1.0)
    for one in (young, grown):
        for quads in (one.leaf, one.bare):
            assert quads is None or 2 * len(quads.points_m) <= most
    assert len(young.leaf.points_m) <= 1.25 * len(grown.leaf.points_m) + 20


@pytest.mark.parametrize("plant", PLANTS, ids=lambda p: f"{p.form} {p.kind} {p.card}")
def test_numbers_are_fit_to_be_drawn(plant: Plant) -> None:
    quads = drawn(plant, 1.0).leaf
    for array in (quads.points_m, quads.normals, quads.uv, quads.tint):
        assert np.all(np.isfinite(array))
    assert np.linalg.norm(quads.normals, axis=-1) == pytest.approx(1.0, abs=1e-3)
    assert quads.uv.min() >= 0
    assert quads.uv.max() <= 1
    assert quads.tint.min() >= 0


def test_a_plant_that_drops_its_leaves_is_drawn_bare() -> None:
    for plant in PLANTS:
        bare = drawn(plant, 1.0).bare
        if plant.leaf == "deciduous":
            assert bare is not None, plant.name
            assert np.all(bare.tint[..., 3] == 1), f"{plant.name} keeps leaves"


def test_the_same_plant_every_time() -> None:
    plant = catalogue()["Acer rubrum"]
    assert np.array_equal(drawn(plant, 0.5).leaf.points_m, drawn(plant, 0.5).leaf.points_m)


def test_every_form_of_the_register_can_be_drawn() -> None:
    from dataclasses import replace

    plant = catalogue()["Quercus robur"]
    for form in FORMS:
        assert len(drawn(replace(plant, form=form), 0.5).leaf.points_m) > 10, form


def test_stages_cover_the_sizes_evenly() -> None:
    height = np.array([1.0, 2.0, 4.0, 8.0])
    stages = stage_sizes_m(height, height)
    assert len(stages) == 3
    # bulks 1 to 8 in three equal ratios of 2, each stage in the middle of its own
    assert [h for h, _ in stages] == pytest.approx([2**0.5, 2**1.5, 2**2.5])


def test_a_plant_that_hardly_grows_needs_one_stage() -> None:
    assert len(stage_sizes_m(np.array([1.0, 1.1]), np.array([1.0, 1.1]))) == 1
