"""Everything the ground has to say: earth, falls, water, roots and quantities, with cautions.

Only facts are gathered here, in metres; words and tables for people are in the top floor. The
JSON has the agreed keys; figures that nobody asked for (a peak without a rain) are empty lists.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from scenes.document import Yard
from scenes.drainage import Drainage, drain
from scenes.earthwork import Earthwork
from scenes.falls import Fall, falls
from scenes.layout import Layout
from scenes.lengths import METRES
from scenes.quantities import Quantity, quantities
from scenes.rootzone import RootZone
from scenes.runoff import Peak, peaks
from scenes.terrain import Terrain
from scenes.walls import GroundWall

FOOT_M = METRES["ft"]
PERMIT_M = 4 * FOOT_M
DESIGN_M = 2 * FOOT_M
FOOTING_M = 1.5 * FOOT_M
"""Wall heights. Permit: over 4 ft from the bottom of the footing to the top, IBC 105.2 item 4 and
IRC R105.2 item 3. Design: over 24 in of ground held on one side, IRC R404.4 as quoted. A footing
18 in deep is taken where none is written (common practice)."""

ALWAYS = (
    "Call before you dig (811 in the United States); this plan does not know where lines run.",
    "Limits of falls, walls and roots are examples from the named places; your code governs.",
    "Volumes are no better than the survey: order soil in whole loads, and measure again on site.",
    "Roof water, soaking in, and land beyond the mapped ground are left out of the water.",
)


@dataclass(frozen=True)
class Groundwork:
    """All that `ground` reports of one yard."""

    title: str
    earth: Earthwork
    falls: tuple[Fall, ...]
    drainage: Drainage
    peaks: tuple[Peak, ...]
    root_zones: tuple[RootZone, ...]
    walls: tuple[GroundWall, ...]
    quantities: tuple[Quantity, ...]
    clashes: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]


def groundwork(
    yard: Yard, terrain: Terrain, layout: Layout, *, rain_mm_per_h: float | None = None
) -> Groundwork:
    """Earth, falls, water, roots and quantities of a yard; peak flows for a rain if given."""
    drainage = drain(terrain, yard)
    flows: tuple[Peak, ...] = ()
    if rain_mm_per_h is not None:
        flows = peaks(terrain, layout, drainage, rain_mm_per_h=rain_mm_per_h)
    return Groundwork(
        title=yard.title,
        earth=terrain.earth,
        falls=falls(yard, terrain, layout),
        drainage=drainage,
        peaks=flows,
        root_zones=layout.root_zones,
        walls=terrain.walls,
        quantities=quantities(yard, terrain, layout),
        clashes=terrain.clashes,
        cautions=(*wall_cautions(terrain.walls), *ALWAYS),
        notes=terrain.notes,
    )


def wall_cautions(walls: tuple[GroundWall, ...]) -> Iterator[str]:
    """What walls of a height usually need before they are built."""
    for wall in walls:
        footed_m = wall.with_footing_m
        taken = "" if footed_m is not None else ", its footing taken as 18 in deep"
        height_m = wall.highest_m + FOOTING_M if footed_m is None else footed_m
        if height_m > PERMIT_M:
            yield (
                f'The wall "{wall.name}" stands {height_m:.2f} m ({height_m / FOOT_M:.1f} ft) from '
                f"the bottom of its footing{taken}: over 4 ft, walls usually need a permit and an "
                "engineer (IBC 105.2, IRC R105.2); your code governs."
            )
        elif wall.highest_m > DESIGN_M:
            yield (
                f'The wall "{wall.name}" holds {wall.highest_m:.2f} m of ground: over 24 in '
                "(0.61 m) it is to be designed (IRC R404.4); your code governs."
            )


def as_json(ground: Groundwork) -> dict[str, Any]:
    """The groundwork under the agreed keys, ready for json.dumps."""
    earth, drainage = ground.earth, ground.drainage
    return {
        "title": ground.title,
        "cell_m": earth.cell_m,
        "cut_m3": earth.cut_m3,
        "fill_m3": earth.fill_m3,
        "net_m3": earth.net_m3,
        "loose_m3": earth.loose_m3,
        "compacted_m3": earth.compacted_m3,
        "error_m3": earth.error_m3,
        "strip_m3": earth.strip_m3,
        "soil": earth.soil.name,
        "balance": asdict(earth.balance),
        "loads": earth.loads,
        "areas": [asdict(area) for area in earth.areas],
        "falls": [asdict(fall) for fall in ground.falls],
        "ponds": [asdict(pond) for pond in drainage.ponds],
        "outlets": [asdict(outlet) for outlet in drainage.outlets],
        "drains": [asdict(inlet) for inlet in drainage.inlets],
        "closed_in_m2": drainage.closed_in_m2,
        "peaks": [asdict(peak) for peak in ground.peaks],
        "root_zones": [_zone(zone) for zone in ground.root_zones],
        "walls": [_wall(wall) for wall in ground.walls],
        "quantities": [asdict(quantity) for quantity in ground.quantities],
        "clashes": list(ground.clashes),
        "cautions": list(ground.cautions),
        "notes": list(ground.notes),
    }


def _zone(zone: RootZone) -> dict[str, Any]:
    return {
        "tree": zone.tree,
        "place": zone.place,
        "at": zone.at,
        "radius_m": zone.radius_m,
        "rule": zone.rule,
        "lost_fraction": zone.lost_fraction,
        "shares": dict(zone.shares),
        "deepest_cut_m": zone.deepest_cut_m,
        "highest_fill_m": zone.highest_fill_m,
        "nearest_m": zone.nearest_m,
        "level": zone.level,
        "advice": list(zone.advice),
    }


def _wall(wall: GroundWall) -> dict[str, Any]:
    return {
        "place": wall.place,
        "name": wall.name,
        "highest_m": wall.highest_m,
        "with_footing_m": wall.with_footing_m,
    }
