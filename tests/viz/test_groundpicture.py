"""The ground picture: what covers a known place, patterns that differ, shade where it falls."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from scenes.layout import Layout, lay_out
from scenes.reading import load
from scenes.terrain import Terrain, grade
from viz.groundpicture import COVERINGS, Canvas, canvas, coverings, foot_shade, picture
from viz.palette import GROUND, afternoon
from viz.patterns import GRAINS, TILE_PIXELS, grain, tile

YARD = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


@pytest.fixture(scope="module")
def yard() -> tuple[Terrain, Layout, Canvas]:
    document = load(YARD)
    terrain = grade(document)
    return terrain, lay_out(document, terrain), canvas(terrain)


# Places read off the document by hand: metres east and north, and what lies there.
PLACES = [
    ((9.0, 4.5), "patio"), ((6.0, 1.0), "walk"), ((2.5, 1.5), "mulch"), ((4.8, 8.0), "lawn"),
    ((-1.5, 5.0), "beyond"), ((1.0, 1.5), "edging"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "name"), PLACES)
def test_a_known_place_has_its_covering(
    yard: tuple[Terrain, Layout, Canvas], place: tuple[float, float], name: str
) -> None:
    terrain, layout, sheet = yard
    ids = np.asarray(coverings(terrain, layout, sheet))
    ((column, row),) = sheet.pixels(np.array([place]))
    assert COVERINGS[ids[int(row), int(column)]] == name


def test_the_picture_covers_the_lattice_within_its_limit(
    yard: tuple[Terrain, Layout, Canvas],
) -> None:
    terrain, layout, sheet = yard
    made = picture(terrain, layout, afternoon(40.0))
    assert made.size == sheet.size
    assert max(made.size) <= 2048
    assert sheet.pixel_m == pytest.approx(0.02)


def test_gloom_lies_at_the_foot_of_walls_alone(yard: tuple[Terrain, Layout, Canvas]) -> None:
    """Right at the house's wall, and gone a metre and a half off, on either side of the house."""
    terrain, layout, sheet = yard
    gloom = foot_shade(terrain, layout.solids, sheet)
    house = next(solid for solid in layout.solids if solid.kind == "house")
    walls = np.concatenate([part.points_m for part in house.parts if part.role == "wall"])
    (west, south), (east, north) = walls[:, :2].min(axis=0), walls[:, :2].max(axis=0)
    middle = (south + north) / 2
    at = [[west, middle], [east, middle], [west - 1.5, middle], [east + 1.5, middle]]
    seen = [gloom[int(row), int(column)] for column, row in sheet.pixels(np.array(at))]
    assert min(seen[:2]) > 0.3
    assert max(seen[2:]) < 0.05


def test_every_covering_has_a_grain() -> None:
    assert set(GRAINS) == set(GROUND)


def test_patterns_differ_and_not_only_colours() -> None:
    """Lawn, mulch and paving differ in how far neighbouring pixels differ, side by side."""
    rough = {
        name: np.abs(np.diff(grain(name, (300, 300), 0.02).astype(float), axis=1)).mean()
        for name in ("lawn", "mulch", "patio", "gravel", "water")
    }
    assert rough["gravel"] > 1.5 * rough["lawn"] > 3 * rough["water"]
    assert rough["mulch"] > 1.5 * rough["lawn"]


def test_paving_has_joints_a_stone_apart() -> None:
    """A walk's stones are 0.60 by 0.45 m with joints of 2.8 cm: rows of joints cover 6.2 %."""
    level = grain("walk", (600, 600), 0.02)
    joint_rows = (level == 0).mean(axis=1) > 0.9
    assert joint_rows.mean() == pytest.approx(0.028 / 0.45, abs=0.02)


def test_the_land_tile_repeats_without_a_seam() -> None:
    one = tile()
    assert one.shape == (TILE_PIXELS, TILE_PIXELS)
    step = np.abs(np.diff(one, axis=1)).mean()
    seam = np.abs(one[:, 0] - one[:, -1]).mean()
    assert seam < 2 * step


def test_pale_ground_that_faces_the_sun_stays_pale(graded_lot) -> None:
    """Everything on a slope towards the sun is at least as bright as on level ground."""
    light = replace(afternoon(45.0), exposure=1.6)
    east, north, _ = light.towards
    made = []
    for rise in (0.0, 0.25):
        corners = [[x, y, -rise * (x * east + y * north)] for x in (0, 20) for y in (0, 20)]
        document, terrain = graded_lot(
            f"points = {corners}\n[[surface]]\nname = 'g'\nkind = 'gravel'\n"
            "outline = [[2, 2], [18, 2], [18, 18], [2, 18]]\n"
        )
        layout = lay_out(document, terrain)
        made.append(np.asarray(picture(terrain, layout, light)).astype(int))
    level, tilted = made
    assert (level > 240).any()
    assert (tilted - level).min() >= -2
