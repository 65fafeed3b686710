"""Where everything stands: bed outlines, surfaces, built things, single plants and views.

Every plant is one row of an array, its foot on the graded ground; `source` says which
table of the document it comes from. Kept plants come first, then plantings, each in the
document's order. What is agreed but not computed yet is named, line by line.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.bedlines import bed_outline
from scenes.document import Kept, Planting, Yard
from scenes.errors import Mistake, mistake_of, scene_error
from scenes.houses import off_the_ground, roof_fits
from scenes.lattice import Array, IntArray
from scenes.looks import Look, looks_of
from scenes.models import model
from scenes.outlines import length_shown
from scenes.points import points_of
from scenes.rootrules import trunk_m
from scenes.rootzone import RootZone, root_zones
from scenes.solids import Solid
from scenes.spacing import Rows, evenly_along, mixed, rows_inside
from scenes.structures import STRUCTURES
from scenes.surfaces import BUILDINGS, SurfaceShape, surface_shapes
from scenes.terrain import Terrain

__all__ = ["BedShape", "Layout", "Look", "Source", "SurfaceShape", "lay_out"]


@dataclass(frozen=True)
class BedShape:
    """A bed's outline and its depth of mulch."""

    name: str
    outline: Polygon
    mulch_m: float | None


@dataclass(frozen=True)
class Source:
    """The table of the document that plants come from; a mix has one for each kind.

    `harmed_by_plan` is the share of a kept tree's root zone, and `roots_lost` the larger of it
    and what the document says was lost before.
    """

    place: str
    plant: str
    kept: Kept | None
    planting: Planting | None
    harmed_by_plan: float = 0.0

    @property
    def name(self) -> str:
        """The table's own name; "" where it has none."""
        table = self.kept or self.planting
        return (table.name if table else None) or ""

    @property
    def roots_lost(self) -> float:
        """The share of roots lost that a forecast has to reckon with."""
        return max(self.harmed_by_plan, self.kept.roots_lost if self.kept else 0.0)


@dataclass(frozen=True)
class Layout:
    """Everything that stands in the yard, by place."""

    beds: tuple[BedShape, ...]
    surfaces: tuple[SurfaceShape, ...]
    solids: tuple[Solid, ...]
    sources: tuple[Source, ...]
    source: IntArray
    xyz_m: Array
    looks: tuple[Look, ...]
    not_computed: tuple[str, ...]
    root_zones: tuple[RootZone, ...] = ()


LEAST_LOST = 0.05
"""Shares of a root zone below this are less than one large root, and forecast as none.

Source: one large root holds 5-20 % of the roots, ISA, Avoiding tree damage during construction.
"""

Group = tuple[Source, Array]
"""A source and the places (n, 2) of its plants."""


def lay_out(yard: Yard, terrain: Terrain) -> Layout:
    """The place of every bed, surface, built thing, plant and view on the graded ground."""
    beds = tuple(_bed_shapes(yard))
    solids, coarse = _solids(yard, terrain)
    looks, unseen = looks_of(yard, terrain.height_m, solids)
    bare = Layout(
        beds=beds,
        surfaces=surface_shapes(yard),
        solids=solids,
        sources=(),
        source=np.zeros(0, np.int64),
        xyz_m=np.zeros((0, 3)),
        looks=looks,
        not_computed=(*_not_computed(yard), *coarse, *unseen),
        root_zones=root_zones(yard, terrain),
    )
    return replanted(yard, terrain, bare)


def _solids(yard: Yard, terrain: Terrain) -> tuple[tuple[Solid, ...], tuple[str, ...]]:
    """Every built thing, and a line for each model that is not quite as its file has it."""
    solids, coarse = [], []
    for number, structure in enumerate(yard.structure, 1):
        if structure.kind == "model":
            try:
                solid, off_m = model(structure, yard.path.parent, terrain.height_m)
            except ValueError as error:
                mistake = mistake_of(error, f"structure[{number}].file", value=structure.file or "")
                raise scene_error(yard.path.name, [mistake]) from None
            solids.append(solid)
            if off_m > 0:
                off = length_shown(yard, off_m)
                coarse.append(f'structure "{structure.name}": its model is drawn up to {off} off')
        elif structure.kind in STRUCTURES:
            if structure.kind in BUILDINGS:
                _stands_on_the_ground(yard, number, terrain)
            solids.append(STRUCTURES[structure.kind](structure, terrain.height_m))
    return tuple(solids), tuple(coarse)


def _stands_on_the_ground(yard: Yard, number: int, terrain: Terrain) -> None:
    """SceneError for a building whose floor does not go with the levels of the ground."""
    structure = yard.structure[number - 1]
    wrong = off_the_ground(structure, terrain.height_m)
    if wrong:
        corner = np.array(structure.outline)[:1]
        floor, ground = structure.floor or 0.0, float(terrain.height_m(corner)[0])
        mistake = Mistake(
            f"structure[{number}].floor",
            f'at {length_shown(yard, floor)} "{structure.name}" {wrong}, which has the level '
            f"{length_shown(yard, ground)} at its first corner",
            "write the floor as a level from the same zero as the ground",
        )
        raise scene_error(yard.path.name, [mistake])


def replanted(yard: Yard, terrain: Terrain, layout: Layout) -> Layout:
    """The layout of a yard that differs from a laid out one by its plants alone."""
    beds = layout.beds
    groups = [
        *(_kept_group(yard, beds, k, layout.root_zones) for k in range(1, len(yard.kept) + 1)),
        *(g for k in range(1, len(yard.planting) + 1) for g in _planting_group(yard, beds, k)),
    ]
    counts = [len(places) for _, places in groups]
    xy_m = np.concatenate([places for _, places in groups]) if groups else np.empty((0, 2))
    return replace(
        layout,
        sources=tuple(source for source, _ in groups),
        source=np.repeat(np.arange(len(groups)), counts),
        xyz_m=np.column_stack([xy_m, terrain.height_m(xy_m)]),
    )


def places_of(yard: Yard, place: str) -> tuple[tuple[str, ...], Array]:
    """Kind and place (n, 2) in metres of every plant of one table, like "planting[3]".

    They are numbered as in the layout: of a mix, one kind after another.
    """
    table, _, number = place.rstrip("]").partition("[")
    written = getattr(yard, table)[int(number) - 1]
    beds = tuple(_bed_shapes(yard)) if written.fill else ()
    if table == "kept":
        groups = [_kept_group(yard, beds, int(number), ())]
    else:
        groups = list(_planting_group(yard, beds, int(number)))
    kinds = tuple(source.plant for source, xy_m in groups for _ in xy_m)
    return kinds, np.concatenate([xy_m for _, xy_m in groups])


def numbered(layout: Layout, plant: int) -> tuple[str, int]:
    """The table a plant of the layout comes from, and its number there, from 0."""
    place = layout.sources[layout.source[plant]].place
    mine = [n for n, source in enumerate(layout.sources) if source.place == place]
    return place, int(plant - np.flatnonzero(np.isin(layout.source, mine))[0])


def can_be_laid_out(yard: Yard) -> None:
    """SceneError where a bed's edge crosses itself or a fill holds no plant; needs no ground."""
    beds = tuple(_bed_shapes(yard))
    for number in range(1, len(yard.kept) + 1):
        _kept_group(yard, beds, number, ())
    for number in range(1, len(yard.planting) + 1):
        list(_planting_group(yard, beds, number))


def _bed_shapes(yard: Yard) -> Iterator[BedShape]:
    for k, bed in enumerate(yard.bed, start=1):
        outline = bed_outline(bed)
        if not outline.is_valid:
            wrong = f'the smooth edge of "{bed.name}" crosses itself'
            remedy = "add points or corners where it turns sharply"
            raise scene_error(yard.path.name, [Mistake(f"bed[{k}].edge", wrong, remedy)])
        yield BedShape(bed.name, outline, bed.mulch)


def _kept_group(
    yard: Yard, beds: tuple[BedShape, ...], number: int, zones: tuple[RootZone, ...]
) -> Group:
    kept, place = yard.kept[number - 1], f"kept[{number}]"
    lost = max((zone.lost_fraction for zone in zones if zone.place == place), default=0.0)
    source = Source(place, kept.plant, kept, None, lost if lost >= LEAST_LOST else 0.0)
    area = _bed_area(beds, kept.fill) if kept.fill else Polygon()
    return source, _places(yard, kept, place, area).xy_m


def _planting_group(yard: Yard, beds: tuple[BedShape, ...], number: int) -> Iterator[Group]:
    planting, place = yard.planting[number - 1], f"planting[{number}]"
    area = _area_to_fill(yard, beds, planting) if planting.fill else Polygon()
    rows = _places(yard, planting, place, area)
    mix = planting.mix or {planting.plant or "": 1.0}
    kind = mixed(rows.row, list(mix.values()))
    for nth, plant in enumerate(mix):
        source = Source(place, plant, kept=None, planting=planting)
        yield source, rows.xy_m[kind == nth]


def _places(yard: Yard, table: Kept | Planting, place: str, area: BaseGeometry) -> Rows:
    """Where the plants of one table stand: at points, along a line, or filling an area."""
    spacing_m = table.spacing or 1.0
    if table.fill is not None:
        rows = rows_inside(area, spacing_m, pattern=table.pattern)
        if not len(rows.xy_m):
            wrong = f'no plant fits in "{table.fill}"'
            remedy = "make keep_off smaller or the bed larger"
            raise scene_error(yard.path.name, [Mistake(f"{place}.fill", wrong, remedy)])
        return rows
    if table.along is not None:
        xy_m = evenly_along(LineString(table.along), spacing_m)
    else:
        xy_m = np.array(points_of(table.at), dtype=float).reshape(-1, 2)
    number = np.arange(len(xy_m))
    return Rows(xy_m, np.stack([np.zeros_like(number), number], axis=-1))


def _bed_area(beds: tuple[BedShape, ...], name: str | None) -> BaseGeometry:
    return next((bed.outline for bed in beds if bed.name == name), Polygon())


def _area_to_fill(yard: Yard, beds: tuple[BedShape, ...], planting: Planting) -> BaseGeometry:
    """A bed less what is kept off its edge and off the trunks of kept plants."""
    trunks = [
        shapely.Point(at).buffer(trunk / 2 + planting.keep_off)
        for kept in yard.kept
        if (trunk := trunk_m(kept)) is not None
        for at in points_of(kept.at)
    ]
    inner = _bed_area(beds, planting.fill).buffer(-planting.keep_off)
    return inner.difference(shapely.union_all(trunks))


def _not_computed(yard: Yard) -> Iterator[str]:
    """One line for each agreed table that no part of this floor computes yet."""
    for structure in yard.structure:
        if structure.kind == "model":
            yield (
                f'structure "{structure.name}": a model hides and shades; plants are not held '
                "clear of its walls, and water, falls and edging run through it"
            )
        elif structure.eave is not None and not roof_fits(structure):
            yield f'structure "{structure.name}": its roof covers a simpler shape than its outline'
    for street in yard.street:
        yield f'street "{street.name}": streets serve sight triangles and are not drawn yet'
