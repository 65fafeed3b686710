"""Hours of sun at plants of small yards, beside the sun's path worked out by itself.

Declination by Cooper 1969 and altitude by the hour angle: closed forms, within 0.2 h a day.
"""

import numpy as np
import pytest

from growth.checks.needs import need_h
from growth.checks.record import as_json
from growth.checks.spotlight import TURNS, _looked_towards
from growth.plants import catalogue
from growth.sun import growing_season
from scenes.document import Yard

LATITUDE_DEG = 42.0


def yard(*, planting, structure=(), latitude_deg=LATITUDE_DEG, **tables):
    document = {
        "title": "Level lot", "lengths": "m",
        "site": {"boundary": [[0, 0], [40, 0], [40, 40], [0, 40]], "latitude_deg": latitude_deg,
                 "longitude_deg": -80.0},
        "ground": {"points": [[0, 0, 0], [40, 0, 0], [40, 40, 0], [0, 40, 0]]},
        "planting": planting, "structure": structure, **tables,
    }  # fmt: skip
    if latitude_deg is None:
        del document["site"]["latitude_deg"]
    return Yard.model_validate(document, context={"unit": "m", "survey_unit": "m"})


def hosta(at=(20.0, 20.0)):
    return {"plant": "Pachysandra terminalis", "size": "#1", "at": [list(at)]}


def closed_form_hours(hidden_below_tan):
    """Mean hours May to August above 3 degrees and above tan altitude (of the azimuth)."""
    total = 0.0
    for day in (135, 166, 196, 227):
        declination = np.radians(23.45 * np.sin(2 * np.pi * (284 + day) / 365))
        hour = np.radians(15 * np.linspace(-12, 12, 4801))
        latitude = np.radians(LATITUDE_DEG)
        up = np.sin(latitude) * np.sin(declination)
        up = up + np.cos(latitude) * np.cos(declination) * np.cos(hour)
        south = np.sin(latitude) * np.cos(declination) * np.cos(hour)
        south = south - np.cos(latitude) * np.sin(declination)
        tan = up / np.sqrt(1 - up**2)
        limit = hidden_below_tan(south / np.sqrt(1 - up**2))
        total += 24 * ((tan > np.tan(np.radians(3))) & (tan > limit)).mean()
    return total / 4


def test_an_open_lot_has_the_whole_day(checked):
    (spot,) = checked(yard(planting=[hosta()])).lighting.spots
    whole = closed_form_hours(lambda south: 0 * south)
    assert spot.hours.expected == pytest.approx(np.full(31, whole), abs=0.2)
    assert spot.morning_h == pytest.approx(spot.hours.expected / 2, abs=0.1)


def test_a_wall_to_the_south_takes_the_hours_that_geometry_says(checked):
    # 16 m high, its face 3.9 m south: tan altitude below (16 - z) cos(azimuth) / 3.9 is hidden
    wall = {"name": "w", "kind": "wall", "line": [[0, 16], [40, 16]], "height": 16,
            "thickness": 0.2}  # fmt: skip
    (spot,) = checked(yard(planting=[hosta()], structure=[wall])).lighting.spots
    expected = closed_form_hours(lambda south: np.maximum(south, 0) * (16 - 0.1) / 3.9)
    assert expected < closed_form_hours(lambda south: 0 * south) - 3
    assert spot.hours.expected[0] == pytest.approx(expected, abs=0.2)


def test_a_tree_to_the_west_takes_afternoons_alone_and_more_as_it_grows(checked):
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[13, 20]]}
    findings = checked(yard(planting=[hosta(), tree]))
    spot = next(spot for spot in findings.lighting.spots if spot.plant != "Acer rubrum")
    afternoon = spot.hours.expected - spot.morning_h
    assert np.ptp(spot.morning_h) < 0.2
    assert afternoon[30] < afternoon[0] - 2
    assert (spot.hours.low <= spot.hours.expected).all()
    assert (spot.hours.expected <= spot.hours.high).all()


def test_needs_are_those_of_the_guides():
    plants = catalogue()
    assert need_h(plants["Quercus alba"]) == (6, 24)  # sun
    assert need_h(plants["Acer rubrum"]) == (4, 24)  # sun to part shade
    assert need_h(plants["Pachysandra terminalis"]) == (0, 6)  # part shade to shade


def test_a_shade_plant_in_the_open_is_outside_its_need_from_the_first_day(checked):
    wanted = {"name": "shade", "check": "light", "of": "Pachysandra terminalis", "year": 5,
              "at_least": 0.9}  # fmt: skip
    findings = checked(yard(planting=[hosta()], requirement=[wanted]))
    assert findings.lighting.spots[0].first_year_outside == 0
    (verdict,) = findings.requirements
    assert (verdict.low, verdict.high, verdict.standing) == (0, 0, "missed")


def test_years_without_the_plant_have_no_hours(checked):
    nurse = hosta() | {"removed": 6}
    (light,) = as_json(checked(yard(planting=[nurse])))["light"]
    hours = light["hours_by_year"]["expected"]
    assert None not in hours[:6]
    assert set(hours[6:]) == {None}


def test_without_a_latitude_nothing_is_invented(checked):
    findings = checked(yard(planting=[hosta()], latitude_deg=None))
    assert as_json(findings)["light"] is None
    assert any("latitude_deg" in line for line in findings.not_computed)


def test_neighbours_of_one_table_share_a_spot_and_are_counted(checked):
    row = {"plant": "Pachysandra terminalis", "size": "#1", "along": [[10, 10], [20, 10]],
           "spacing": 0.5}  # fmt: skip
    spots = checked(yard(planting=[row])).lighting.spots
    assert sum(spot.plants for spot in spots) == 20
    assert len(spots) == 5


def test_spots_worked_on_in_many_blocks_get_the_same_hours(checked, monkeypatch):
    """Blocks of two neighbours each, in another order, beside all spots in one block."""
    row = {"plant": "Pachysandra terminalis", "size": "#1", "spacing": 2.0}
    rows = [row | {"along": [[6, y], [34, y]]} for y in (8, 20, 33)]
    trees = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[13, 20], [30, 31], [9, 9]]}
    yards = yard(planting=[*rows, trees])
    whole = as_json(checked(yards))["light"]
    monkeypatch.setattr("growth.checks.spotlight.SPOTS_AT_ONCE", 2)
    monkeypatch.setattr("growth.checks.spotlight.NEIGHBOURS_M", 5.0)
    assert as_json(checked(yards))["light"] == whole
    assert len({tuple(spot["hours_by_year"]["expected"]) for spot in whole}) > 20


def test_draws_by_turns_look_towards_every_sun_and_each_sun_counts_once_in_each():
    path = growing_season(latitude_deg=LATITUDE_DEG, longitude_deg=-80.0, north_deg=0.0)
    many = len(path.hours)
    turns = [_looked_towards(path, turn, TURNS) for turn in range(TURNS)]
    assert sorted(np.concatenate([suns for suns, _, _ in turns])) == list(range(many))
    for suns, worth, slot in turns:
        assert many / TURNS - 2 < len(suns) < many / TURNS + 2
        assert (worth.sum(axis=1) == 1).all()
        assert (worth[suns] == np.eye(len(suns))).all()
        sun, looked = np.nonzero(worth)
        assert (path.morning[sun] == path.morning[suns][looked]).all()
        apart = np.degrees(
            np.arccos(np.clip((path.towards[sun] * path.towards[suns][looked]).sum(axis=1), -1, 1))
        )
        assert apart.max() < 15  # the way of an hour
        assert (np.diff(slot) >= 0).all()


def test_turns_find_the_hours_that_looking_towards_every_sun_finds(checked, monkeypatch):
    """One tree and what stands round it; within a tenth of an hour on the whole, where trees
    take hours."""
    row = {"plant": "Pachysandra terminalis", "size": "#1", "spacing": 2.0}
    rows = [row | {"along": [[6, y], [34, y]]} for y in (14, 20, 26)]
    tree = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[18, 17]]}
    yards = yard(planting=[*rows, tree])
    found = np.array([spot.hours.expected for spot in checked(yards).lighting.spots])
    monkeypatch.setattr("growth.checks.spotlight.TURNS", 1)
    every = np.array([spot.hours.expected for spot in checked(yards).lighting.spots])
    assert np.ptp(every, axis=1).mean() > 1
    assert found != pytest.approx(every, abs=1e-6)
    assert np.abs(found - every).mean() < 0.1
    assert found == pytest.approx(every, abs=0.5)
