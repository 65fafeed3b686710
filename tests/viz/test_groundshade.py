"""Light on the ground as the page draws it, beside the same light reckoned by the checks."""

from collections.abc import Iterator
from datetime import UTC, datetime

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

CELL_M = 0.25
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
