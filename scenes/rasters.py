"""Elevation grids as surveyed points: ESRI ASCII, and GeoTIFF by rasterio.

A GeoTIFF is read from memory, so that no file beside it is looked at and no other format is
taken for it, and only around the lot. An ESRI ASCII grid is read here, strictly, for readers
take a word among its numbers for zero. Geoids and datums are left out: levels are as given.

Source: ESRI ASCII raster format: ncols, nrows, xll and yll of the corner or the centre,
cellsize, NODATA_value, then rows from the north. GeoTIFF: OGC 19-008r4.
"""

import warnings
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from scenes.columns import is_number
from scenes.document import Yard
from scenes.errors import Mistake, SceneError, mistake_of, scene_error, shown
from scenes.files import text_of
from scenes.grids import Grid
from scenes.lattice import Array
from scenes.lengths import LARGEST_M, METRES
from scenes.shots import Shots, place_in_file, survey_unit

if TYPE_CHECKING:
    from rasterio.io import DatasetReader

LEAST_CELL = 1e-4
MOST_CELLS_AT_ONCE = 25_000_000
"""A limit of memory: a file is packed in blocks, and a block is unpacked whole."""

VERTICAL_UNITS = {
    "m": "m", "metre": "m", "meter": "m", "metres": "m", "meters": "m",
    "ft": "ft", "foot": "ft", "feet": "ft", "US survey foot": "us-ft",
}  # fmt: skip
"""What a band says of its unit, to our name of it."""

_HEAD = {"ncols", "nrows", "cellsize"}
_PLACES = ({"xllcorner", "yllcorner"}, {"xllcenter", "yllcenter"})


def shots_of_ascii_grid(data: bytes, place: str, *, yard: Yard) -> Shots:
    """The cells of an ESRI ASCII grid around the lot; SceneError if it is wrong."""
    unit = survey_unit(yard, None)
    try:
        head, words = _head_and_words(text_of(data).split())
        levels = _levels(words, columns=head["ncols"], rows=head["nrows"])
        grid = _ascii_grid(head)
        near = grid.around(yard, unit)
    except ValueError as error:
        raise scene_error(yard.path.name, [mistake_of(error, place)]) from None
    levels = levels[near]
    levels = np.where(levels == head.get("nodata_value", -9999.0), np.nan, levels)
    return grid.shots(levels, near, place, unit=None)


def _head_and_words(words: Sequence[str]) -> tuple[dict[str, float], Sequence[str]]:
    head: dict[str, float] = {}
    at = 0
    while at + 1 < len(words) and not is_number(words[at]):
        name, value = words[at].lower(), words[at + 1]
        if name not in {*_HEAD, *_PLACES[0], *_PLACES[1], "nodata_value"} or not is_number(value):
            wrong = f"its head says {shown(f'{words[at]} {value}')}"
            raise ValueError(f"{wrong}; write ncols, nrows, xllcorner, yllcorner, cellsize")
        head[name] = float(value)
        at += 2
    if not head.keys() >= _HEAD or not any(pair <= head.keys() for pair in _PLACES):
        wrong = f"its head holds {', '.join(head) or 'nothing'}"
        raise ValueError(f"{wrong}; write ncols, nrows, xllcorner, yllcorner and cellsize")
    if not LEAST_CELL <= head["cellsize"] <= LARGEST_M:
        raise ValueError(f"its cellsize is {head['cellsize']:g}; write a length above zero")
    return head, words[at:]


def _levels(words: Sequence[str], *, columns: float, rows: float) -> Array:
    if len(words) != columns * rows or columns % 1 or rows % 1 or columns < 1:
        wrong = f"holds {len(words):,} values for {columns:,.10g} columns and {rows:,.10g} rows"
        raise ValueError(f"{wrong}; export it whole")
    try:
        levels = np.array(words, dtype=float)
    except ValueError:
        levels = np.array([np.nan])
    if not np.isfinite(levels).all() or any("_" in word for word in words):
        bad = next(word for word in words if not is_number(word))
        raise ValueError(f"{shown(bad)} is not a finite number; write the NODATA_value there")
    return levels.reshape(int(rows), int(columns))


def _ascii_grid(head: dict[str, float]) -> Grid:
    cell = head["cellsize"]
    if "xllcorner" in head:
        start = np.array([head["xllcorner"], head["yllcorner"]])
    else:
        start = np.array([head["xllcenter"], head["yllcenter"]]) - cell / 2
    count = int(head["ncols"]), int(head["nrows"])
    across, down = np.array([[cell, 0.0], [0.0, -cell]])
    return Grid(count, start - count[1] * down, across, down)


def shots_of_geotiff(data: bytes, place: str, *, yard: Yard) -> Shots:
    """The cells of a GeoTIFF around the lot; SceneError if it is wrong."""
    import rasterio  # a quarter of a second, and seldom needed

    try:
        if not data:
            raise ValueError("is empty; export it anew")
        with warnings.catch_warnings(), rasterio.MemoryFile(data) as memory:
            warnings.simplefilter("ignore")
            with memory.open(driver="GTiff") as file:
                return _geotiff_shots(file, place, yard)
    except rasterio.errors.RasterioError:
        mistake = Mistake(place, "is not a GeoTIFF that can be read", "export it anew")
    except SceneError:
        raise
    except ValueError as error:
        mistake = mistake_of(error, place)
    raise scene_error(yard.path.name, [mistake])


def _geotiff_shots(file: "DatasetReader", place: str, yard: Yard) -> Shots:
    _check_geotiff(file)
    start, across, down = np.reshape(file.transform.column_vectors, (3, 2))[[2, 0, 1]]
    grid = Grid((file.width, file.height), start, across, down)
    own = _unit_of_length(file.crs.linear_units_factor[1]) if file.crs else None
    unit = survey_unit(yard, own)
    near = grid.around(yard, unit)
    window = tuple((side.start, side.stop) for side in near)
    if any(first == last for first, last in window):
        return grid.shots(np.empty((0, 0)), near, place, unit=own)
    read = file.read(1, window=window, masked=True)
    levels = read.astype(float).filled(np.nan) * file.scales[0] + file.offsets[0]
    upright = VERTICAL_UNITS.get(file.units[0] or "")
    shots = grid.shots(levels * METRES[upright or unit] / METRES[unit], near, place, unit=own)
    if upright is not None or own is None:
        return shots
    note = f"{place_in_file(place)}: its levels are read in {unit}, as its places"
    return replace(shots, notes=(*shots.notes, note))


def _check_geotiff(file: "DatasetReader") -> None:
    """ValueError "wrong; remedy" for a file that holds no one grid of levels in lengths."""
    if file.count != 1:
        raise ValueError(f"holds {file.count} bands; export the elevation alone")
    if file.transform.is_degenerate or (file.transform.is_identity and not file.crs):
        raise ValueError("does not say where it lies; export it as a GeoTIFF with its place")
    if file.crs and not file.crs.is_projected:
        raise ValueError("is in degrees; export it in a projected system, in metres or feet")
    if np.prod(file.block_shapes[0]) > MOST_CELLS_AT_ONCE:
        cells = f"{np.prod(file.block_shapes[0]):,}"
        raise ValueError(f"is packed in blocks of {cells} cells; export it in tiles")
    if np.dtype(file.dtypes[0]).kind not in "iuf":
        raise ValueError(f"holds numbers of type {file.dtypes[0]}; export levels as float32")


def _unit_of_length(metres: float) -> str:
    for unit, known_m in METRES.items():
        if abs(known_m - metres) < 1e-9:
            return unit
    raise ValueError(f"is in a unit of {metres:g} m; export it in metres or feet")
