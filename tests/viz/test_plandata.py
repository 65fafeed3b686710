"""The schedule as CSV and the plan as GeoJSON, read back by other programs."""

import csv
import json
from io import StringIO
from pathlib import Path

import pandas
import pytest
import shapely
from pyproj import Geod

import growth
import scenes
from viz.__main__ import main
from viz.plangeo import as_geojson
from viz.planschedule import COLUMNS, Row, as_csv, schedule

TERRACE = Path(scenes.__file__).parent / "library" / "terrace.toml"


@pytest.fixture(scope="module")
def drawn():
    yard = scenes.load(TERRACE)
    layout = scenes.lay_out(yard, scenes.grade(yard))
    return yard, layout, schedule(yard, layout, growth.grow(yard, layout))


def test_the_csv_is_read_by_other_readers(drawn):
    """13 arborvitae: a row of 66 ft at 5 ft, to the nearest whole number."""
    text = as_csv(drawn[2])
    table = pandas.read_csv(StringIO(text))
    rows = list(csv.DictReader(StringIO(text)))
    assert tuple(table.columns) == COLUMNS
    assert [int(row["quantity"]) for row in rows] == table["quantity"].tolist()
    thuja = table[table["botanical_name"] == "Thuja 'Green Giant'"].iloc[0]
    assert (thuja["quantity"], thuja["size"], thuja["key"]) == (13, "8 ft ht", "TG")
    assert table["key"].is_unique


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_no_cell_is_a_formula(start):
    row = Row("K", 1, (0,), False, (f"{start}1+1", *[""] * 7))
    text = as_csv((row,))
    assert list(csv.reader(StringIO(text)))[1][2] == f"'{start}1+1"
    assert pandas.read_csv(StringIO(text))["botanical_name"][0] == f"'{start}1+1"


def test_the_geojson_has_its_lengths_and_areas_on_the_ellipsoid(drawn):
    """72 x 112 ft: 8,064 sf, reckoned by another library on WGS 84."""
    yard, layout, rows = drawn
    text = as_geojson(yard, layout, rows)
    shapes = shapely.from_geojson(text)
    features = json.loads(text)["features"]
    assert len(shapes.geoms) == len(features)
    lot = shapes.geoms[0]
    area_m2, round_m = Geod(ellps="WGS84").geometry_area_perimeter(lot)
    assert area_m2 == pytest.approx(8064 * 0.3048**2, rel=1e-4)  # positive: counterclockwise
    assert round_m == pytest.approx(2 * (72 + 112) * 0.3048, rel=1e-4)
    assert lot.exterior.coords[0] == pytest.approx((-77.9, 40.4))


def test_rings_are_right_handed_and_plants_are_all_there(drawn):
    yard, layout, rows = drawn
    text = as_geojson(yard, layout, rows)
    for shape in shapely.from_geojson(text).geoms:
        for part in getattr(shape, "geoms", [shape]):
            if part.geom_type == "Polygon":
                assert part.exterior.is_ccw
                assert not any(hole.is_ccw for hole in part.interiors)
    told = [each["properties"] for each in json.loads(text)["features"]]
    plants = [each for each in told if each["what"] == "plant"]
    assert len(plants) == sum(row.quantity for row in rows)
    assert sum(each["key"] == "TG" for each in plants) == 13


def test_a_turned_yard_lies_as_north_says(drawn):
    """With its y axis pointing east, the lot's far corner in y lies 112 ft east of its first."""
    yard, layout, rows = drawn
    turned = yard.model_copy(update={"site": yard.site.model_copy(update={"north_deg": 90.0})})
    lot = shapely.from_geojson(as_geojson(turned, layout, rows)).geoms[0]
    corners = {(round(x, 9), round(y, 9)) for x, y in lot.exterior.coords}
    east = max(corners)
    azimuth, _, far_m = Geod(ellps="WGS84").inv(
        -77.9, 40.4, *max(corners, key=lambda c: (c[0], c[1]))
    )
    assert east[0] > -77.9
    assert far_m == pytest.approx(112 * 0.3048, rel=1e-3)
    assert azimuth == pytest.approx(90.0, abs=0.1)


def test_a_yard_without_a_place_is_told_what_to_add(tmp_path, capsys):
    text = TERRACE.read_text().replace("longitude_deg = -77.9", "")
    (tmp_path / "y.toml").write_text(text)
    survey = TERRACE.with_name("terrace-survey.csv")
    (tmp_path / survey.name).write_bytes(survey.read_bytes())
    out = tmp_path / "y.geojson"
    assert main(["plan", str(tmp_path / "y.toml"), "--out", str(out)]) == 2
    assert "y.toml: site.longitude_deg: a map needs to know" in capsys.readouterr().err
    assert not out.exists()
