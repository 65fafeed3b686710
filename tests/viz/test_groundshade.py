"""Light on the ground as the page draws it, beside the same light reckoned by the checks."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import shapely
from playwright.sync_api import Browser, Page

import growth
import scenes
from growth.checks.screening import expected_sizes
from growth.crownrows import crowns_in_rows
from growth.leafage import SEASONS
from growth.skyline import sun_past_ground_and_built
from growth.sun import DAY, YEAR, direction, sun_position
from growth.sunlit import Sky, sunlit_hours
from scenes.surfaces import building_outlines
from tests.viz.test_picture import SMALL, opened_picture
from viz.stage import compose

pytestmark = pytest.mark.browser

TERRACE = Path(scenes.__file__).parent / "library" / "terrace.toml"
CELL_M = 0.4
MOST_OFF = 0.05
"""Share of cells in which the two may differ: rims of shadows, a spot of the picture wide."""

MOMENTS = [(6, 9, 15), (6, 13, 5), (6, 17, 15), (1, 9.5, 15), (1, 13, 30), (9, 16, 0), (3, 8, 30)]
"""Month, hour of mean solar time, and year; in June and September all plants are in leaf, in
January and March all are bare that ever are."""


@pytest.fixture(scope="module")
def yard():
    document = scenes.load(SMALL)
    terrain = scenes.grade(document)
    layout = scenes.lay_out(document, terrain)
    return document, terrain, layout, growth.grow(document, layout)


@pytest.fixture(scope="module")
def page(yard, browser: Browser, tmp_path_factory) -> Iterator[Page]:
    page = opened_picture(compose(*yard), browser, tmp_path_factory.mktemp("shade"))
    yield page
    page.close()


def sun_towards(site, month: int, hour: float) -> np.ndarray:
    """Direction to the sun (1, 3) at an hour of mean solar time on a month's middle day."""
    longitude_deg = site.longitude_deg or 0.0
    when = datetime(YEAR, month, DAY, tzinfo=UTC).timestamp() + 3600 * (hour - longitude_deg / 15)
    zenith, azimuth = sun_position(
        np.array([when]), latitude_deg=site.latitude_deg, longitude_deg=longitude_deg
    )
    return direction(zenith, azimuth, north_deg=site.north_deg)


def cells(terrain) -> np.ndarray:
    """Middles (ny, nx, 3) of square cells over the lot, on its ground."""
    west, south, east, north = terrain.boundary.bounds
    x, y = np.arange(west, east, CELL_M) + CELL_M / 2, np.arange(south, north, CELL_M) + CELL_M / 2
    xy = np.stack(np.meshgrid(x, y), axis=-1)
    z = terrain.height_m(xy.reshape(-1, 2)).reshape(xy.shape[:2])
    return np.dstack([xy, z])


def reckoned(yard, places: np.ndarray, *, month: int, hour: float, year: int) -> np.ndarray:
    """Share of the sun at each cell by the checks' own sums, mean sizes."""
    document, terrain, layout, stand = yard
    towards = sun_towards(document.site, month, hour)
    standing = sun_past_ground_and_built(
        places.reshape(-1, 3), towards, layout.solids, terrain.height_m
    )
    crowns = crowns_in_rows(
        stand, expected_sizes(stand).only(years=[year]), np.arange(len(stand.plant))
    ).in_season(SEASONS.index("leaf" if month in (6, 9) else "bare"))
    shape = (1, *places.shape[:2])
    left = np.ascontiguousarray(standing.T.reshape(shape), np.float32)
    return sunlit_hours(Sky(places, CELL_M, towards, np.ones(1), left), crowns)[0]


def drawn(page: Page, places: np.ndarray, *, month: int, hour: float, year: int) -> np.ndarray:
    """Share of the sun at each cell as the page has it."""
    shares, (wide, deep), corner, lengths = page.evaluate(
        """([month, hour, year]) => {
          picture.setMoment(month - 1, hour); picture.setYear(year); picture.draw();
          const { shade } = picture;
          return [Array.from(shade.sunShares()), shade.size,
            [shade.west, shade.south], [shade.wide, shade.deep]]; }""",
        [month, hour, year],
    )  # fmt: skip
    spots = np.array(shares).reshape(deep, wide) / 255
    at = (places[..., :2] - corner) / lengths * [wide, deep]
    column, row = at.astype(int).reshape(-1, 2).T
    return spots[row, column].reshape(places.shape[:2])


def open_cells(yard, places: np.ndarray) -> np.ndarray:
    """Cells of the lot that no building stands on."""
    document, terrain, *_ = yard
    built = shapely.union_all([*building_outlines(document).values()])
    return shapely.contains_xy(
        shapely.difference(terrain.boundary, built), places[..., 0], places[..., 1]
    )


@pytest.mark.parametrize(("month", "hour", "year"), MOMENTS)
def test_the_page_shades_the_cells_that_the_checks_do(yard, page, month, hour, year):
    places = cells(yard[1])
    inside = open_cells(yard, places)
    when = {"month": month, "hour": hour, "year": year}
    wanted, shown = reckoned(yard, places, **when), drawn(page, places, **when)
    dark, darkened = wanted[inside] < 0.5, shown[inside] < 0.5
    assert 0.02 < dark.mean() < 0.98
    assert (dark != darkened).mean() <= MOST_OFF
    assert np.abs(wanted - shown)[inside].mean() < MOST_OFF


def test_shade_grows_with_the_plants_and_turns_with_the_sun(yard, page):
    """What is told apart above differs by far more than it may be off."""
    places = cells(yard[1])
    inside = open_cells(yard, places)
    dark = {
        when: drawn(page, places, month=6, hour=when[0], year=when[1])[inside] < 0.5
        for when in ((9, 0), (9, 30), (17, 30))
    }
    assert dark[9, 30].sum() > dark[9, 0].sum()
    assert (dark[9, 30] != dark[9, 0]).mean() > MOST_OFF
    assert (dark[9, 30] != dark[17, 30]).mean() > 2 * MOST_OFF


TWO = """([apart, lean, second]) => {
  const { shade, light } = picture;
  const at = [shade.west + shade.wide / 2, shade.south + shade.deep / 2, shade.lowest + shade.rise];
  const foot = [...at, ...at.map((each, k) => each + (k < 2 ? apart * light.towards[k] : lean))];
  const crowns = new Float32Array(32), slots = [0, 1];
  for (const i of slots) crowns.set([...foot.slice(3 * i, 3 * i + 3), 4, 3, 0.5, 0, 0.8], 16 * i);
  crowns[23] *= second;
  const alone = slots.map((i) => crowns.slice(16 * i, 16 * i + 16).fill(-1, 8));
  new Overlaps({ kind: [0, 0], foot }, { spread: [3, 3] }).tell(crowns, { each: 16, to: 8, slots });
  return [new Float32Array(0), ...alone, crowns].map((each) => {
    shade.show(light, each); return Array.from(shade.sunShares()); });
}"""


@pytest.fixture
def shares_of_two(page: Page):
    """Shares of the sun, 0 to 1, of two crowns by themselves and of both, where nothing else
    casts shade: so far apart along the sun's way, the second so much higher and denser."""

    def shares(apart: float, lean: float = 0.0, second: float = 1.0) -> list[np.ndarray]:
        page.evaluate("picture.setMoment(5, 9); picture.setYear(0); picture.draw()")
        none, *found = (np.array(each) / 255 for each in page.evaluate(TWO, [apart, lean, second]))
        page.evaluate("picture.shade.paint()")
        first, other, both = (each[none == 1] for each in found)
        assert (first < 0.5).sum() > 100
        assert (other < 0.9).sum() > 100
        return [first, other, both]

    return shares


@pytest.mark.parametrize("second", [1.0, 0.4])
def test_two_crowns_in_one_place_cast_the_shade_of_the_denser(shares_of_two, second):
    denser, other, both = shares_of_two(0.0, second=second)
    assert (denser <= other).all()
    assert both == pytest.approx(denser, abs=1.5 / 255)
    assert (both - denser * other).max() > 0.1


def test_crowns_that_do_not_touch_multiply_their_shades(shares_of_two):
    """One stands 4 m and more behind the other and so much higher that its shadow falls there."""
    first, second, both = shares_of_two(5.5, lean=3.5)
    assert ((first < 0.9) & (second < 0.9)).sum() > 100
    assert both == pytest.approx(first * second, abs=2 / 255)


def test_crowns_that_overlap_in_part_lie_between(shares_of_two):
    first, second, both = shares_of_two(1.2)
    darker = np.minimum(first, second)
    assert (both <= darker + 2 / 255).all()
    assert (both >= first * second - 2 / 255).all()
    assert (both > first * second + 0.05).sum() > 100
    assert (both < darker - 0.05).sum() > 100


ROW = """() => {
  const foot = [0, 1, 2, 3, 9].flatMap((x) => [x, 0, 0]);
  const crowns = new Float32Array(80), slots = [0, 1, 2, 3, 4];
  slots.forEach((i) => crowns.set([foot[3 * i], 0, 0, 2, 3, 0, 0, i === 1 ? 2 : 1], 16 * i));
  const row = new Overlaps({ kind: slots, foot }, { spread: [3, 3, 3, 3, 3] });
  row.tell(crowns, { each: 16, to: 8, slots });
  return slots.map((i) => Array.from(crowns.slice(16 * i + 8, 16 * i + 16)).filter((n) => n >= 0));
}"""


def test_every_crown_is_told_its_denser_neighbours_the_deepest_first(page):
    """Crowns 3 m wide, a metre apart: the second is the densest, of others the earlier counts."""
    assert page.evaluate(ROW) == [[1], [], [1, 0], [2, 1], []]


def test_overlapping_bare_crowns_of_the_demo_yard_count_once(browser, tmp_path):
    """The moment at which shades that multiply were off in 5.1 % of the cells."""
    document = scenes.load(TERRACE)
    terrain = scenes.grade(document)
    layout = scenes.lay_out(document, terrain)
    terrace = document, terrain, layout, growth.grow(document, layout)
    page = opened_picture(compose(*terrace), browser, tmp_path)
    places = cells(terrain)
    inside = open_cells(terrace, places)
    when = {"month": 1, "hour": 13, "year": 30}
    wanted, shown = reckoned(terrace, places, **when), drawn(page, places, **when)
    page.close()
    assert ((wanted < 0.5) != (shown < 0.5))[inside].mean() < 0.03
    assert np.abs(wanted - shown)[inside].mean() < 0.02
