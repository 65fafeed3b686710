"""What a document says that is hardly ever meant, or that the plants would not bear.

A view from 5.5 m where 5.5 ft was meant, a roof at a child's height, plants inside a house, plants
set outside the zones that their lists give: the yard can be reckoned all the same, but its
verdicts are then about something else than the reader thinks. So each is told first, with place,
value and what to write. Kept plants are left out: they have stood their winters already.

Source: heights of eyes and eaves are common practice; zones are those of the catalogue.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import Polygon

from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout
from scenes.outlines import length_shown
from scenes.surfaces import BUILDINGS
from scenes.whereabouts import found_at

LOWEST_EYE_M, HIGHEST_EYE_M = 0.8, 2.5
"""Eyes of a sitting child and of a tall person standing on a step."""

LOWEST_EAVE_M = 1.5
"""No door fits under a lower eave."""

WARMER_ZONES = 1
"""So many zones above the listed ones are let pass: hardiness zones are of winter cold, and lists
differ by their region's summers in where they end at the warm side; assumed."""


def doubts(yard: Yard, layout: Layout, stand: Stand) -> tuple[str, ...]:
    """One line a doubt: sizes of the document first, then plants by where they stand."""
    return (*_eyes(yard), *_eaves(yard), *_indoors(yard, layout), *_zones(yard, layout, stand))


def _eyes(yard: Yard) -> Iterator[str]:
    for view in yard.view:
        high_m = view.eye_height
        if view.eye is None or view.above is not None:
            continue
        if not LOWEST_EYE_M <= high_m <= HIGHEST_EYE_M:
            yield (
                f'The view "{view.name}" looks from {length_shown(yard, high_m)} above the ground, '
                "and a person's eye is at about 1.6 m (5.2 ft); write its eye_height with the "
                'unit, like "1.6 m", or for an upper floor name its house with above.'
            )


def _eaves(yard: Yard) -> Iterator[str]:
    for structure in yard.structure:
        if structure.kind in BUILDINGS and 0 < (structure.eave or 0) < LOWEST_EAVE_M:
            yield (
                f'The {structure.kind} "{structure.name}" has its eave '
                f"{length_shown(yard, structure.eave or 0)} above its floor, lower than a door; "
                'it counts from the floor, in the unit of lengths unless it has its own ("2.7 m").'
            )


def _indoors(yard: Yard, layout: Layout) -> Iterator[str]:
    """Plantings of which some stand where a building does."""
    for structure in yard.structure:
        if structure.kind not in BUILDINGS or structure.outline is None:
            continue
        inside = shapely.contains_xy(Polygon(structure.outline), layout.xyz_m[:, :2])
        for number in np.unique(layout.source[inside]):
            source = layout.sources[number]
            if source.planting is not None:
                mine = layout.source == number
                yield (
                    f"{source.plant} {found_at(yard, source.place)}: {(inside & mine).sum()} of "
                    f'{mine.sum()} stand inside "{structure.name}"; move them, or draw the bed '
                    "round it."
                )


def _zones(yard: Yard, layout: Layout, stand: Stand) -> Iterator[str]:
    """Planted kinds outside their hardiness zones, a line each, with all their tables."""
    zone = yard.site.hardiness_zone
    if zone is None:
        return
    for plant in stand.plants:
        places = [s.place for s in layout.sources if s.planting and s.plant == plant.name]
        if places and plant.zones and not 0 <= zone - plant.zones[0] <= _span(plant.zones):
            where = " and ".join(found_at(yard, place) for place in places)
            yield f"{plant.name} {where} {_outside(plant.zones, zone)}"


def _span(zones: tuple[int, int]) -> int:
    """How many zones above the coldest a plant is let pass in."""
    return zones[1] - zones[0] + WARMER_ZONES


def _outside(zones: tuple[int, int], zone: int) -> str:
    harm = "winters there may kill it" if zone < zones[0] else "it may be too warm for it there"
    return (
        f"is listed for hardiness zones {zones[0]} to {zones[1]}, and the site is in "
        f"zone {zone}; {harm}, and no figure reckons with that. Choose another, or ask a grower."
    )
