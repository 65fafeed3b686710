"""Sun over the lot: shadows worked out by hand, and lines to the sun from single plants."""

from dataclasses import replace

import numpy as np
import pytest

import growth
from growth.checks.lotlight import light_over_lot
from growth.checks.record import as_json
from growth.checks.sunmap import LotLight
from growth.crowns import FORMS
from growth.crownset import Crowns
from growth.memory import Memory
from growth.shade import grove, meetings, sun_lost
from growth.sun import mean_day
from growth.sunlit import Sky, sunlit_hours

SIDE, CELL_M = 60, 0.5


def ground(height=lambda x, y: 0 * x):
    centre = (np.arange(SIDE) + 0.5) * CELL_M
    x, y = np.meshgrid(centre, centre)
    return np.stack([x, y, height(x, y)], axis=-1)


def crowns(foot, sizes, form, density):
    """One row of crowns: sizes are (height, spread, base) of each."""
    height, spread, base = np.array(sizes, np.float32).T[:, None]
    return Crowns(
        np.array(foot, float), height, spread, base, (FORMS[form],), np.zeros(len(foot), int),
        np.full((1, len(foot)), float(density)),
    )  # fmt: skip


def towards(altitude_deg, azimuth_deg):
    altitude, azimuth = np.radians([altitude_deg, azimuth_deg])
    level = np.cos(altitude)
    return np.array([[level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)]])


def test_the_shadow_of_a_pole_is_as_long_as_height_over_the_tangent():
    """T26: the sun at 26.57 degrees (40 N at noon on 21 December) throws twice the height."""
    pole = crowns([[15.25, 10.25, 0]], [[6, 1, 0]], "sheet", 1e6)
    lit = sunlit_hours(
        Sky(ground(), CELL_M, towards(np.degrees(np.arctan(0.5)), 180), np.ones(1)), pole
    )[0]
    dark = np.argwhere(lit < 0.5) * CELL_M + CELL_M / 2  # rows (y), columns (x)
    assert dark[:, 0].max() == pytest.approx(10.25 + 12 + 0.5, abs=CELL_M)  # its top is 1 m wide
    assert dark[:, 0].min() == pytest.approx(10.25 - 0.5, abs=CELL_M)
    assert set(dark[:, 1]) <= {14.75, 15.25, 15.75}


def test_crowns_are_met_near_to_far_in_whichever_order_they_come():
    """Thin and dense crowns that overlap: the same light to the last bit, whatever their order."""
    rng = np.random.default_rng(4)
    foot = np.column_stack([rng.uniform(8, 22, (40, 2)), np.zeros(40)])
    sizes = np.column_stack([rng.uniform(2, 9, 40), rng.uniform(2, 6, 40), rng.uniform(0, 1, 40)])
    stand = crowns(foot, sizes, "rounded", 1)
    stand = replace(stand, density_per_m=rng.uniform(0.05, 0.6, (1, 40)))
    sky = Sky(ground(), CELL_M, np.concatenate([towards(30, 200), towards(50, 100)]), np.ones(2))
    once = sunlit_hours(sky, stand)
    assert once.min() < 1
    assert np.array_equal(once, sunlit_hours(sky, stand.only(rng.permutation(40))))


def test_a_high_ball_darkens_an_ellipse_away_from_the_sun():
    """A ball of radius 3 whose middle is 8 m up, sun at 45 degrees in the west: its shadow is an
    ellipse round a point 8 m to the east, 3 m across and 3 / sin 45 along; opaque, so area."""
    ball = crowns([[10, 15, 0]], [[11, 6, 5]], "oval", 1e6)
    lit = sunlit_hours(Sky(ground(), CELL_M, towards(45, 270), np.ones(1)), ball)[0]
    dark = lit < 0.5
    x, y = ground()[..., 0], ground()[..., 1]
    assert dark.sum() * CELL_M**2 == pytest.approx(np.pi * 3 * 3 / np.sin(np.radians(45)), rel=0.05)
    assert (x[dark].mean(), y[dark].mean()) == pytest.approx((18, 15), abs=0.1)


def test_on_a_slope_that_rises_with_the_shadow_it_is_shorter():
    """Ground that rises 1 in 2 away from a sun at 45 degrees: height over (1 + 1/2)."""
    pole = crowns([[5.25, 15.25, 0]], [[9, 1, 0]], "sheet", 1e6)
    hill = ground(lambda x, y: np.maximum(x - 5.25, 0) / 2)
    lit = sunlit_hours(Sky(hill, CELL_M, towards(45, 270), np.ones(1)), pole)[0]
    assert hill[..., 0][lit < 0.5].max() == pytest.approx(5.25 + 9 / 1.5, abs=0.5 + CELL_M)


@pytest.mark.parametrize("form", ["rounded", "pyramidal", "vase", "weeping", "upright"])
def test_cells_get_what_lines_from_a_plant_on_them_get(form):
    rng = np.random.default_rng(11)
    count = 25
    foot = np.column_stack([rng.uniform(2, 28, (count, 2)), np.zeros(count)])
    height = rng.uniform(2, 9, count)
    sizes = np.column_stack([height, rng.uniform(1, 6, count), rng.uniform(0, 0.4, count) * height])
    day = mean_day((6,), latitude_deg=42.0, longitude_deg=-83.0, north_deg=0.0)
    lit = sunlit_hours(
        Sky(ground(), CELL_M, day.towards, day.hours), crowns(foot, sizes, form, 0.4)
    )[0]
    for row, column in rng.integers(0, SIDE, (6, 2)):
        spot = ground()[row, column]
        with_spot = crowns(np.vstack([[spot], foot]), np.vstack([[0.01, 0, 0], sizes]), form, 0.4)
        plants = grove(with_spot, np.zeros((1, count + 1), np.float32))
        met = meetings(plants.room, np.array([0]), day.towards)
        worth, slot = day.hours[None, None].astype(np.float32), np.zeros(len(day.hours), int)
        lost = sun_lost(plants, met, worth, slot)[0, 0, 0]
        assert lit[row, column] == pytest.approx(day.hours.sum() - lost, abs=0.02)


def test_a_tree_takes_the_sun_of_the_lot_as_it_grows(level_lot, parts):
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "latitude_deg": 42.0,
            "longitude_deg": -83.0}  # fmt: skip
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 6]]}
    yard = level_lot(site=site, planting=[tree])
    terrain, layout, stand = parts(yard)
    sun = light_over_lot(yard, terrain, layout, stand, Memory())
    total = sum(sun.band_m2.values())
    assert total == pytest.approx(np.full(31, 400.0))
    assert np.nanmean(sun.season_h[-1]) < np.nanmean(sun.season_h[0]) - 0.5
    assert (np.diff(sun.band_m2["sun"]) <= 1e-9).all()
    assert np.nanmean(sun.month_h[0, 5]) > np.nanmean(sun.month_h[0, 11]) + 4  # June, December
    written = as_json(growth.check(yard, terrain, layout, stand))["light_over_lot"]
    assert set(written) == {
        "cell_m", "corner_m", "area_m2", "months", "year_below_6_h", "year_below_4_h",
    }  # fmt: skip
    below = sun.year_below(6.0)
    assert np.array(written["year_below_6_h"], float) == pytest.approx(below, abs=0.06, nan_ok=True)
    assert [one["year"] for one in written["months"]] == [0, 5, 15]


PLACES = [[4.0, 5.0], [9.0, 12.0], [14.0, 6.0], [11.5, 8.5], [15.0, 15.0]]


@pytest.mark.parametrize(
    "after",
    [
        [[4.0, 5.0], [9.3, 11.2], *PLACES[2:]],
        [*PLACES, [6.0, 16.0]],
        PLACES[1:],
        [*PLACES[1:], PLACES[0]],
        [*PLACES, PLACES[-1]],
    ],
    ids=["moved", "one more", "one less", "in each other's place", "two in one place"],
)
def test_after_an_edit_the_light_is_that_of_a_yard_never_seen_before(level_lot, parts, after):
    """Bit by bit: lines that are looked along anew stand beside others than from scratch."""
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "latitude_deg": 42.0,
            "longitude_deg": -83.0}  # fmt: skip

    def planted(places):
        kinds = [("Acer rubrum", "2 in cal", places[:2]), ("Ilex crenata", "#5", places[2:])]
        tables = [{"plant": kind, "size": size, "at": at} for kind, size, at in kinds]
        yard = level_lot(site=site, planting=tables)
        return yard, *parts(yard)

    memory, (scratch, edited) = Memory(), (planted(PLACES), planted(after))
    before = light_over_lot(*scratch, memory)
    memory.next_round()
    found = light_over_lot(*edited, memory)
    wanted = light_over_lot(*edited, Memory())
    assert not np.array_equal(before.season_h, wanted.season_h, equal_nan=True)
    assert np.array_equal(found.season_h, wanted.season_h, equal_nan=True)
    assert np.array_equal(found.month_h, wanted.month_h, equal_nan=True)


def test_the_year_a_spot_falls_below_is_read_between_the_years_looked_at():
    course = np.array([[8, 5, 8], [7, 4, 8], [5, 3, 8]], np.float32)[:, None]  # three cells
    sun = LotLight((0, 0), 1.0, (0,), course[None], (0, 10, 20), course, {})
    below = sun.year_below(6)[0]
    assert below[0] == pytest.approx(15)  # from 7 to 5 between years 10 and 20
    assert np.isnan(below[1])  # starts below
    assert np.isnan(below[2])  # never does
