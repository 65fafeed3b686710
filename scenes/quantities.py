"""What is ordered: bed areas, edging, mulch, sod, topsoil, paving and plants.

Areas of beds, lawns and paving are those of the slope, not of the plan: plan area over the
cosine of the slope, averaged over the nodes inside. Waste is the document's ([quantities]);
the defaults are common practice. Edging runs along a bed's edge where no building or paving
borders it. Topsoil is ordered only where the document says how deep. Volumes are settled:
mulch and soil are sold loose.

Source: sod in rolls of 10 sq ft and pallets of 450 sq ft, with 5 % of waste: trade calculators.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Planting, Yard
from scenes.lattice import Array
from scenes.layout import Layout
from scenes.lengths import METRES
from scenes.masks import nodes_inside
from scenes.slopes import slopes
from scenes.surfaces import ROOTLESS, building_outlines
from scenes.terrain import Terrain

SQUARE_FOOT_M2 = METRES["ft"] ** 2
ROLL_M2, PALLET_M2 = 10 * SQUARE_FOOT_M2, 450 * SQUARE_FOOT_M2
BESIDE_M = 0.15
"""A bed's edge this near a building or paving needs no edging of its own; no outside source."""


@dataclass(frozen=True)
class Quantity:
    """So much of an item; units are m, m2, m3 or a count ("plants", "rolls", "pallets").

    `work` is what a list of prices calls it, a plant by its name, and `size` a plant's size.
    """

    item: str
    amount: float
    unit: str
    work: str = ""
    size: str = ""


def quantities(yard: Yard, terrain: Terrain, layout: Layout) -> tuple[Quantity, ...]:
    """Everything to order, waste included: beds, lawns, paving, then plants."""
    stretch = np.hypot(1.0, slopes(terrain.lattice, terrain.after_m))
    return (
        *_beds(yard, terrain, layout, stretch),
        *_lawns(yard, terrain, layout, stretch),
        *_paving(terrain, layout, stretch),
        *_plants(yard, layout),
    )


def laid_m3(area_m2: float, depth_m: float, *, waste_percent: float = 0.0) -> float:
    """What covers an area to a depth, with waste, in cubic metres."""
    return area_m2 * depth_m * (1 + waste_percent / 100)


def sod(area_m2: float, *, waste_percent: float) -> tuple[float, int, int]:
    """Sod for an area, with waste: square metres, whole rolls and whole pallets."""
    ordered_m2 = area_m2 * (1 + waste_percent / 100)
    return ordered_m2, _whole(ordered_m2 / ROLL_M2), _whole(ordered_m2 / PALLET_M2)


def slope_area_m2(terrain: Terrain, stretch: Array, outline: Polygon) -> float:
    """The area of the ground inside an outline, measured along its slope."""
    inside = nodes_inside(terrain.lattice, outline)
    return float(outline.area * (stretch[inside].mean() if inside.any() else 1.0))


def _whole(count: float) -> int:
    """A count rounded up, but for what rounding alone adds."""
    return math.ceil(count - 1e-9)


def _beds(yard: Yard, terrain: Terrain, layout: Layout, stretch: Array) -> Iterator[Quantity]:
    beside = _bordering(yard, layout).buffer(BESIDE_M)
    waste, depth_m = yard.quantities, yard.quantities.topsoil_beds
    for bed in layout.beds:
        area_m2 = slope_area_m2(terrain, stretch, bed.outline)
        yield Quantity(f"bed {bed.name}, area on the slope", area_m2, "m2", "bed preparation")
        edging_m = bed.outline.exterior.difference(beside).length
        yield Quantity(f"bed {bed.name}, edging", float(edging_m), "m", "edging")
        if bed.mulch_m:
            mulch_m3 = laid_m3(area_m2, bed.mulch_m, waste_percent=waste.mulch_waste_percent)
            yield Quantity(f"bed {bed.name}, mulch", mulch_m3, "m3", "mulch")
        if depth_m is not None:
            soil_m3 = laid_m3(area_m2, depth_m, waste_percent=waste.topsoil_waste_percent)
            yield Quantity(f"bed {bed.name}, topsoil", soil_m3, "m3", "topsoil")


def _bordering(yard: Yard, layout: Layout) -> BaseGeometry:
    """Paving and buildings, which hold a bed's edge by themselves."""
    hard = [surface.outline for surface in layout.surfaces if surface.kind in ROOTLESS]
    return shapely.union_all([*hard, *building_outlines(yard).values()])


def _lawns(yard: Yard, terrain: Terrain, layout: Layout, stretch: Array) -> Iterator[Quantity]:
    own = yard.quantities
    for lawn in layout.surfaces:
        if lawn.kind != "lawn" or lawn.existing:
            continue
        area_m2 = slope_area_m2(terrain, stretch, lawn.outline)
        ordered_m2, rolls, pallets = sod(area_m2, waste_percent=own.sod_waste_percent)
        yield Quantity(f"lawn {lawn.name}, area on the slope", area_m2, "m2", "lawn preparation")
        yield Quantity(f"lawn {lawn.name}, sod", ordered_m2, "m2", "sod")
        yield Quantity(f"lawn {lawn.name}, sod of 10 sq ft", rolls, "rolls", "sod")
        yield Quantity(f"lawn {lawn.name}, sod of 450 sq ft", pallets, "pallets", "sod")
        if own.topsoil_lawn is not None:
            soil_m3 = laid_m3(area_m2, own.topsoil_lawn, waste_percent=own.topsoil_waste_percent)
            yield Quantity(f"lawn {lawn.name}, topsoil", soil_m3, "m3", "topsoil")


def _paving(terrain: Terrain, layout: Layout, stretch: Array) -> Iterator[Quantity]:
    for surface in layout.surfaces:
        if surface.kind in ROOTLESS | {"deck"} and not surface.existing:
            area_m2 = slope_area_m2(terrain, stretch, surface.outline)
            item = f"{surface.kind} {surface.name}, area on the slope"
            yield Quantity(item, area_m2, "m2", surface.kind)


def _plants(yard: Yard, layout: Layout) -> Iterator[Quantity]:
    """Plants by kind and size, with waste, whole plants of each."""
    counts: dict[tuple[str, str], int] = {}
    for number, source in enumerate(layout.sources):
        if source.planting is not None:
            key = source.plant, _size(source.planting)
            counts[key] = counts.get(key, 0) + int((layout.source == number).sum())
    more = 1 + yard.quantities.plant_waste_percent / 100
    for (plant, size), count in counts.items():
        yield Quantity(f"{plant}, {size}", _whole(count * more), "plants", plant, size)


def _size(planting: Planting) -> str:
    if planting.now is not None:
        return f"{planting.now.height:.2f} m tall, {planting.now.spread:.2f} m wide"
    return planting.size or "as usually sold"
