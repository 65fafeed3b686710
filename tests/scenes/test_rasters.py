"""Elevation grids: planes in closed form, read back beside rasterio, and files that are none."""

import numpy as np
import pytest
import rasterio
from rasterio.transform import Affine, from_origin

from scenes.errors import SceneError
from scenes.reading import load, read_survey
from scenes.terrain import grade

HEAD = 'title = "t"\nlengths = "m"\n[site]\nboundary = [[2, 2], [12, 2], [12, 12], [2, 12]]\n'
ASC = "ncols 8\nnrows 9\nxllcorner 0\nyllcorner -2\ncellsize 2\nNODATA_value -99\n"
X, Y = np.meshgrid(np.arange(1, 16, 2.0), np.arange(15, -3, -2.0))
PLANE = 20 + 0.1 * X - 0.05 * Y


@pytest.fixture
def yard_of(tmp_path):
    def make(name, *, site="", ground="", lengths="m"):
        text = f'{HEAD}{site}\n[ground]\nsurvey = "{name}"\ncell = 0.5\n{ground}\n'
        (tmp_path / "yard.toml").write_text(text.replace('"m"', f'"{lengths}"', 1))
        return load(tmp_path / "yard.toml")

    return make


def _ascii(levels=PLANE, head=ASC):
    return head + "\n".join(" ".join(f"{level:.6f}" for level in row) for row in levels) + "\n"


def _tiff(path, levels=PLANE, **more):
    facts = {"transform": from_origin(0, 16, 2, 2), "nodata": -99.0, "dtype": "float64"} | more
    rows, columns = levels.shape
    with rasterio.open(
        path, "w", driver="GTiff", width=columns, height=rows, count=1, **facts
    ) as file:
        file.write(levels, 1)


def _sorted(points):
    return points[np.lexsort(points[:, :2].T)]


@pytest.mark.parametrize("name", ["g.asc", "g.tif"])
def test_a_grid_is_the_plane_it_was_made_from(tmp_path, yard_of, name):
    if name == "g.asc":
        (tmp_path / name).write_text(_ascii())
    else:
        _tiff(tmp_path / name)
    terrain = grade(yard_of(name))
    x, y = np.moveaxis(terrain.lattice.nodes_m(), -1, 0)
    inside = ~terrain.extrapolated
    assert inside.sum() > 400
    np.testing.assert_allclose(terrain.before_m[inside], (20 + 0.1 * x - 0.05 * y)[inside])
    assert terrain.notes == ()


@pytest.mark.parametrize("corner", ["corner", "center"])
def test_an_ascii_grid_is_read_as_rasterio_reads_it(tmp_path, yard_of, corner):
    rng = np.random.default_rng(3)
    levels = rng.uniform(10, 20, (9, 8))
    levels[2, 3] = -99
    (tmp_path / "g.asc").write_text(_ascii(levels, ASC.replace("corner", corner)))
    with rasterio.open(tmp_path / "g.asc") as file:
        rows, columns = np.nonzero(file.read_masks(1))
        x, y = file.xy(rows, columns)
        peer = np.column_stack([x, y, file.read(1)[rows, columns]])
    survey = read_survey(yard_of("g.asc"))
    np.testing.assert_allclose(_sorted(survey.points_m), _sorted(peer), rtol=1e-6)
    assert survey.notes[0].startswith("g.asc: 1 cells near the lot are empty")


def test_a_turned_tile_in_feet_far_from_zero_keeps_its_places(tmp_path, yard_of):
    turned = Affine.translation(2_100_000, 700_000) @ Affine.rotation(30) @ Affine.scale(6, -6)
    levels = np.random.default_rng(4).uniform(10, 20, (40, 40))
    _tiff(tmp_path / "g.tif", levels, transform=turned, crs="EPSG:2913")
    site = "origin = [2100100, 700050, 0]"
    survey = read_survey(yard_of("g.tif", site=site, ground='survey_lengths = "ft"'))
    row, column = np.indices((40, 40)).reshape(2, -1)
    x, y = turned @ (column + 0.5, row + 0.5)
    places = (np.column_stack([x - 2_100_100, y - 700_050, levels.ravel()])) * 0.3048
    near = {tuple(place) for place in np.round(places, 6)}
    assert {tuple(point) for point in np.round(survey.points_m, 6)} <= near
    lot = (places[:, :2] > 2).all(axis=1) & (places[:, :2] < 12).all(axis=1)
    found = {tuple(point) for point in np.round(survey.points_m, 6)}
    assert {tuple(place) for place in np.round(places[lot], 6)} <= found
    assert "its levels are read in ft" in survey.notes[0]


def test_only_cells_around_the_lot_of_a_large_tile_are_taken(tmp_path, yard_of):
    tile = {"transform": from_origin(-3000, 3000, 1, 1), "tiled": True, "compress": "deflate"}
    _tiff(tmp_path / "g.tif", np.full((6000, 6000), 5, dtype=np.int16), dtype="int16", **tile)
    assert 900 <= len(read_survey(yard_of("g.tif")).points_m) < 1600


def _refused(yard, words):
    with pytest.raises(SceneError, match=words) as caught:
        read_survey(yard)
    assert "\n" not in str(caught.value)
    assert "; " in str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (_ascii().replace("20.", "2O.", 1), r'"2O\.\d+" is not a finite number'),
        (_ascii().rsplit(maxsplit=1)[0], "holds 71 values for 8 columns and 9 rows"),
        (_ascii(head=ASC.replace("ncols 8", "ncols 1000000000")), "for 1,000,000,000 columns"),
        (_ascii(head=ASC.replace("ncols 8", "ncols nan")), 'its head says "ncols nan"'),
        (_ascii(head=ASC.replace("ncols 8", "ncols -8")), "for -8 columns"),
        (_ascii(head=ASC.replace("cellsize 2", "cellsize 0")), "cellsize is 0"),
        (_ascii(head=ASC.replace("cellsize 2", "cellsize 1e-320")), "cellsize is 9.9"),
        (_ascii(head=ASC.replace("cellsize 2", "cell 2")), 'its head says "cell 2"'),
        (_ascii(head=ASC.replace("yllcorner -2\n", "")), "its head holds ncols, nrows"),
        (_ascii(np.where(PLANE > 20, np.nan, PLANE)), '"nan" is not a finite number'),
        (_ascii(np.full((9, 8), -99.0)), "holds 0 points"),
        (_ascii(head=ASC.replace("xllcorner 0", "xllcorner 500000")), "5e\\+05 m from the bound"),
        ("", "its head holds nothing"),
        ("ncols", "its head holds nothing"),
        ("\0", "is not text"),
    ],
)
def test_what_is_no_ascii_grid_is_refused(tmp_path, yard_of, text, words):
    (tmp_path / "g.asc").write_text(text)
    _refused(yard_of("g.asc"), words)


def test_what_is_no_grid_of_levels_is_refused(tmp_path, yard_of):
    _tiff(tmp_path / "degrees.tif", crs="EPSG:4326")
    _refused(yard_of("degrees.tif"), "is in degrees; export it in a projected system")
    _tiff(tmp_path / "feet.tif", crs="EPSG:2913")
    _refused(yard_of("feet.tif", site="origin = [1, 0, 0]"), 'write survey_lengths = "ft"')
    _refused(yard_of("feet.tif", ground='survey_lengths = "m"'), "the file is in ft")
    _tiff(tmp_path / "nowhere.tif", transform=Affine.identity())
    _refused(yard_of("nowhere.tif"), "does not say where it lies")
    _tiff(tmp_path / "complex.tif", dtype="complex64")
    _refused(yard_of("complex.tif"), "numbers of type complex64")
    _tiff(tmp_path / "far.tif", transform=from_origin(4e5, 5e6, 2, 2))
    _refused(yard_of("far.tif"), r"site\.origin: the survey lies .* begins at 400000, 4999982")
    fine = {"transform": from_origin(-9, 23, 0.04, 0.04), "compress": "deflate"}
    _tiff(tmp_path / "fine.tif", np.zeros((800, 800), dtype=np.int16), dtype="int16", **fine)
    _refused(yard_of("fine.tif"), "cells around the lot; export it with larger cells")


def test_other_files_named_tif_are_refused(tmp_path, yard_of):
    secret = '<VRTDataset rasterXSize="8" rasterYSize="9"><VRTRasterBand dataType="Float64" '
    secret += 'band="1"><SimpleSource><SourceFilename>/etc/passwd</SourceFilename></SimpleSource>'
    (tmp_path / "empty.tif").write_bytes(b"")
    _refused(yard_of("empty.tif"), "is empty")
    for data in (b"II*\0", secret.encode(), b"\x89PNG\r\n\x1a\n", _ascii().encode()):
        (tmp_path / "g.tif").write_bytes(data)
        _refused(yard_of("g.tif"), "is not a GeoTIFF that can be read")
    _tiff(tmp_path / "g.tif")
    whole = (tmp_path / "g.tif").read_bytes()
    (tmp_path / "g.tif").write_bytes(whole[: len(whole) // 2])
    _refused(yard_of("g.tif"), "is not a GeoTIFF that can be read")


def test_a_block_of_26_million_cells_is_not_unpacked(tmp_path, yard_of):
    block = {
        "tiled": True,
        "blockxsize": 5120,
        "blockysize": 5120,
        "compress": "deflate",
        "sparse_ok": True,
        "dtype": "uint8",
    }
    with rasterio.open(
        tmp_path / "g.tif", "w", driver="GTiff", width=6000, height=6000, count=1,
        transform=from_origin(0, 16, 2, 2), **block,
    ):  # fmt: skip
        pass
    _refused(yard_of("g.tif"), "is packed in blocks of 26,214,400 cells")
