"""One plant grown alone: what the grow command prints and draws.

The same courses as in a yard, for a plant of the catalogue or of a document, from a size
as the nursery sells it. Left out: neighbours, clipping, lost roots and removal.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from growth.basis import ASSUMED, SEEN, Basis
from growth.climate import ANYWHERE, Climate
from growth.courses import IntArray, forecast, start_basis
from growth.errors import GrowthError
from growth.establishment import establishment, establishment_note
from growth.nursery import nursery_size, usual_size
from growth.plants import Plant, find
from growth.ranges import Array, Range
from growth.seen import SeenRow
from growth.starts import Start

LONGEST_YEARS = 100


@dataclass(frozen=True)
class Specimen:
    """Sizes of one plant in metres over the years since planting, with their range."""

    plant: str
    size: str
    years: IntArray
    height_m: Range
    spread_m: Range
    crown_base_m: Range
    source: str
    basis: str
    mature_height_m: tuple[float, float]
    mature_spread_m: tuple[float, float]
    seen: tuple[SeenRow, ...]
    notes: tuple[str, ...]


def grow_specimen(
    plant: Plant, *, size: str | None = None, until: int = 30, climate: Climate = ANYWHERE
) -> Specimen:
    """Sizes of the plant from planting to year `until`, in metres.

    Without a size the plant is set as it is commonly sold; without a climate, in an average one.
    """
    if not 1 <= until <= LONGEST_YEARS:
        raise GrowthError(f"until: {until} is no span of years; write 1 to {LONGEST_YEARS}")
    sold_as = usual_size(plant) if size is None else size
    planted = nursery_size(sold_as, plant)
    years: IntArray = np.arange(until + 1)
    lag = establishment(plant, planted, zone=climate.zone)
    start = Start(plant, planted.height_m, planted.spread_m, climate=climate, lag=lag)
    sizes = forecast([start], years)
    basis = start_basis(start)
    return Specimen(
        plant=plant.name,
        size=sold_as,
        years=years,
        height_m=_only(sizes.height_m),
        spread_m=_only(sizes.spread_m),
        crown_base_m=_only(sizes.crown_base_m),
        source=basis.source,
        basis=basis.name,
        mature_height_m=plant.height_m,
        mature_spread_m=plant.spread_m,
        seen=plant.seen,
        notes=(*mature_notes(plant, basis), *_establishment_notes(basis, start)),
    )


def _establishment_notes(basis: Basis, start: Start) -> list[str]:
    """What establishment costs, where sizes seen do not hold it already."""
    note = establishment_note(start.lag, zone=start.climate.zone)
    return [] if note is None or basis.name == SEEN else [note]


def mature_notes(plant: Plant, basis: Basis) -> list[str]:
    """Where a curve ends outside the mature range of the catalogue or document, both of them."""
    notes = []
    for of, curve, (low_m, high_m) in (
        ("height", basis.height, plant.height_m),
        ("spread", basis.spread, plant.spread_m),
    ):
        end_m = curve.asymptote_m
        if basis.name != ASSUMED and not low_m <= end_m <= high_m:
            side = "above" if end_m > high_m else "below"
            notes.append(
                f"{of}: the curve ({basis.name}) ends at {end_m:.1f} m, {side} the mature "
                f"{low_m:.1f} to {high_m:.1f} m stated ({plant.sources['size']}); both are shown"
            )
    return notes


def plant_course(
    name: str,
    *,
    size: str | None,
    until: int,
    own: Mapping[str, Plant],
    climate: Climate = ANYWHERE,
) -> dict[str, Any]:
    """The course of a plant by name under the agreed keys, metres by year."""
    return as_json(grow_specimen(find(name, own), size=size, until=until, climate=climate))


def as_json(specimen: Specimen) -> dict[str, Any]:
    """The specimen under the agreed keys, metres rounded to the millimetre."""
    return {
        "plant": specimen.plant,
        "size": specimen.size,
        "years": specimen.years.tolist(),
        "height_m": _range_json(specimen.height_m),
        "spread_m": _range_json(specimen.spread_m),
        "crown_base_m": _range_json(specimen.crown_base_m),
        "source": specimen.source,
        "basis": specimen.basis,
        "mature_height_m": list(specimen.mature_height_m),
        "mature_spread_m": list(specimen.mature_spread_m),
        "seen": [
            {"year": year, "height_m": round(height_m, 3), "spread_m": round(spread_m, 3)}
            for year, height_m, spread_m in specimen.seen
        ],
        "notes": list(specimen.notes),
    }


def _range_json(sizes: Range) -> dict[str, list[float]]:
    return {
        "low": _rounded(sizes.low),
        "expected": _rounded(sizes.expected),
        "high": _rounded(sizes.high),
    }


def _rounded(sizes_m: Array) -> list[float]:
    return [round(float(size), 3) for size in sizes_m]


def _only(sizes: Range) -> Range:
    """The range of the one course there is."""
    return Range(sizes.low[:, 0], sizes.expected[:, 0], sizes.high[:, 0])
