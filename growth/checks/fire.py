"""Fire spacing: how far apart plants would have to stand, beside what else the document asks.

Off unless `site.fire_spacing` is true. Shrubs keep clear of each other and of the crowns above
them, trees of each other, all of a house: figures in fire_rules.csv. Plants that are there
already are judged with those that are planted, not among themselves. A hedge that closes
cannot keep it: where a requirement rests on such plants, both verdicts are told.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from growth.checks.failing import without_each
from growth.checks.findings import FireGap, FireSpacing
from growth.checks.measured import Measured
from growth.checks.register import season_at, value_of
from growth.checks.screening import expected_sizes
from growth.checks.standing import verdict
from growth.firerules import FROM_HOUSE, SHRUBS, TREES, UPWARDS, farthest_gap_m, wanted_gap_m
from growth.stand import Stand
from scenes.countwords import GROUPS
from scenes.document import Requirement
from scenes.lattice import bilinear
from scenes.slopes import slopes
from scenes.surfaces import building_outlines
from scenes.terrain import Terrain

Array = NDArray[np.float64]
Floats = NDArray[np.floating]
IntArray = NDArray[np.int64]
Breach = tuple[tuple[int, ...], FireGap]
"""The plants that come too close, and how."""

KINDS = {SHRUBS: GROUPS["shrubs"], TREES: GROUPS["trees"]}

RULE = "fire spacing (UC Marin Master Gardeners, Napa Firewise; California)"


def fire_spacing(measured: Measured) -> FireSpacing | None:
    """None where the document does not ask for it."""
    if not measured.yard.site.fire_spacing:
        return None
    stand, slope = measured.stand, _slope(measured.terrain, measured.stand)
    breaches = [
        *_beside(stand, slope, SHRUBS),
        *_beside(stand, slope, TREES),
        *_above(stand),
        *_by_houses(measured),
    ]
    conflicts = [
        conflict
        for wanted in measured.yard.requirement
        if wanted.check in ("screening", "coverage") and wanted.at_least is not None
        for conflict in _conflict(wanted, measured, breaches)
    ]
    gaps = sorted(_worst_of_kinds(stand, breaches), key=lambda gap: gap.first_year)
    return FireSpacing(tuple(gaps), tuple(conflicts))


def _slope(terrain: Terrain, stand: Stand) -> Array:
    """Rise over run of the ground at every plant, (n,)."""
    return bilinear(terrain.lattice, slopes(terrain.lattice, terrain.after_m), stand.xyz_m[:, :2])


def _beside(stand: Stand, slope: Array, what: str) -> Iterator[Breach]:
    """Shrubs too close to shrubs, or trees to trees."""
    plants = _of_kinds(stand, KINDS[what])
    height, spread = stand.height_m.expected, stand.spread_m.expected
    reach_m = float(spread[:, plants].max(initial=0))
    reach_m += farthest_gap_m(what, float(height[:, plants].max(initial=0)))
    for one, other in _pairs(stand, plants, plants, reach_m):
        gap_m = _apart_m(stand, one, other) - (spread[:, one] + spread[:, other]) / 2
        tall_m = np.maximum(height[:, one], height[:, other])
        wanted_m = wanted_gap_m(what, tall_m, float(max(slope[one], slope[other])))
        yield from _breach(stand, what, one, other, gap_m, wanted_m)


def _above(stand: Stand) -> Iterator[Breach]:
    """Shrubs that stand below the crown of a tree, too close to its lowest leaves."""
    shrubs, trees = (_of_kinds(stand, KINDS[what]) for what in (SHRUBS, TREES))
    height, spread = stand.height_m.expected, stand.spread_m.expected
    reach_m = float(spread[:, trees].max(initial=0)) / 2
    for shrub, tree in _pairs(stand, shrubs, trees, reach_m):
        under = _apart_m(stand, shrub, tree) < spread[:, tree] / 2
        base_m = stand.xyz_m[tree, 2] + stand.crown_base_m.expected[:, tree]
        gap_m = base_m - stand.xyz_m[shrub, 2] - height[:, shrub]
        wanted_m = wanted_gap_m(UPWARDS, height[:, shrub], 0.0)
        gap_m = np.where(under, gap_m, np.inf)
        yield from _breach(stand, UPWARDS, shrub, tree, gap_m, wanted_m)


def _by_houses(measured: Measured) -> Iterator[Breach]:
    """Plants whose crown comes too close to a building."""
    stand = measured.stand
    points = shapely.points(stand.xyz_m[:, :2])
    for name, outline in building_outlines(measured.yard).items():
        away_m = shapely.distance(outline, points)
        gap_m = away_m - stand.spread_m.expected / 2
        wanted_m = wanted_gap_m(FROM_HOUSE, gap_m[:, 0], 0.0) if gap_m.size else gap_m
        close = stand.present & (gap_m < wanted_m[:, None])
        for plant in np.flatnonzero(close.any(axis=0) & ~stand.kept).tolist():
            year = int(close[:, plant].argmax())
            yield (plant,), FireGap(
                plant=_name(stand, plant), at=_at(stand, plant), other=name,
                other_at=_nearest(outline, points[plant]), first_year=year,
                gap_m=max(float(gap_m[year, plant]), 0.0), wanted_m=float(wanted_m[year]),
                rule=FROM_HOUSE,
            )  # fmt: skip


def _pairs(
    stand: Stand, some: IntArray, others: IntArray, reach_m: float
) -> Iterator[tuple[int, int]]:
    """Pairs of one and another within reach, each once, not both there already."""
    if not (len(some) and len(others)):
        return
    trees = (cKDTree(stand.xyz_m[plants, :2]) for plants in (some, others))
    first, second = trees
    for a, near in enumerate(first.query_ball_tree(second, reach_m)):
        for b in near:
            one, other = int(some[a]), int(others[b])
            if (some is not others or one < other) and not (stand.kept[one] and stand.kept[other]):
                yield one, other


def _breach(
    stand: Stand, what: str, one: int, other: int, gap_m: Floats, wanted_m: Floats
) -> Iterator[Breach]:
    """The first year in which two plants come closer than wanted, if there is one."""
    together = stand.present[:, one] & stand.present[:, other]
    years = np.flatnonzero(together & (gap_m < wanted_m))
    if not len(years):
        return
    year = int(years[0])
    yield (one, other), FireGap(
        plant=_name(stand, one), at=_at(stand, one), other=_name(stand, other),
        other_at=_at(stand, other), first_year=year, gap_m=max(float(gap_m[year]), 0.0),
        wanted_m=float(wanted_m[year]), rule=what,
    )  # fmt: skip


def _worst_of_kinds(stand: Stand, breaches: Sequence[Breach]) -> Iterator[FireGap]:
    """Of every two kinds, or kind and house, the first to come too close, and by most."""
    first: dict[tuple[str, ...], FireGap] = {}
    for _, gap in breaches:
        kinds = (gap.rule, *sorted((gap.plant, gap.other)))
        known = first.get(kinds)
        if known is None or _rank(gap) < _rank(known):
            first[kinds] = gap
    yield from first.values()


def _rank(gap: FireGap) -> tuple[float, float]:
    return gap.first_year, gap.gap_m - gap.wanted_m


def _conflict(
    requirement: Requirement, measured: Measured, breaches: Sequence[Breach]
) -> Iterator[str]:
    """Both verdicts, where a requirement rests on plants that come too close."""
    needed = set(_needed(requirement, measured).tolist())
    mine = [gap for plants, gap in breaches if needed.intersection(plants)]
    if not mine:
        return
    worst = min(mine, key=_rank)
    judged = verdict(requirement, value_of(requirement, measured))
    asked = f"{100 * (requirement.at_least or 0):g} % in year {requirement.year}"
    yield (
        f'"{requirement.name}" asks for {asked}: {judged.standing}. {RULE} asks for clear gaps: '
        f"missed by the plants it rests on from year {worst.first_year}, where {worst.plant} and "
        f"{worst.other} leave {worst.gap_m:.1f} m of {worst.wanted_m:.1f} m. Both cannot be kept: "
        "ask who governs before you plant."
    )


def _needed(requirement: Requirement, measured: Measured) -> IntArray:
    """Plants that a requirement rests on in its year."""
    now = expected_sizes(measured.stand).only(years=[requirement.year])
    plants, _ = without_each(requirement, measured, now, season_at(requirement, measured.yard.site))
    return plants


def _of_kinds(stand: Stand, kinds: tuple[str, ...]) -> IntArray:
    named = np.isin([plant.kind for plant in stand.plants], kinds)
    return np.flatnonzero(named[stand.plant])


def _apart_m(stand: Stand, one: int, other: int) -> float:
    return float(np.hypot(*(stand.xyz_m[one] - stand.xyz_m[other])[:2]))


def _nearest(outline: shapely.Polygon, point: shapely.Point) -> tuple[float, float]:
    """The point of an outline's edge nearest to a plant."""
    edge = outline.boundary
    near = edge.interpolate(edge.project(point))
    return float(near.x), float(near.y)


def _name(stand: Stand, plant: int) -> str:
    return str(stand.plants[stand.plant[plant]].name)


def _at(stand: Stand, plant: int) -> tuple[float, float]:
    return float(stand.xyz_m[plant, 0]), float(stand.xyz_m[plant, 1])
