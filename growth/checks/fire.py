"""Fire spacing: how far apart plants would have to stand, beside what else the document asks.

Off unless `site.fire_spacing` is true. Shrubs keep a clear gap of twice, four or six times
their height, crowns of trees 10, 20 or 30 ft, on ground up to 20 %, up to 40 % and steeper. A
hedge that closes cannot keep it: where a requirement needs such plants close together, both
rules are told. Shrubs below trees, and the first 5 ft from a house, are left out.

Source: UC Marin Master Gardeners and Napa Firewise (napafirewise.org); local fire codes govern.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from growth.checks.failing import without_each
from growth.checks.findings import FireGap, FireSpacing
from growth.checks.measured import Measured
from growth.checks.register import season_at
from growth.checks.screening import expected_sizes
from growth.stand import Stand
from scenes.document import Requirement
from scenes.lattice import bilinear
from scenes.lengths import METRES
from scenes.slopes import slopes
from scenes.terrain import Terrain

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

STEPS = (0.2, 0.4)
"""Rise over run of the ground from which the next figure holds."""

SHRUB_TIMES, TREE_GAPS_M = (2.0, 4.0, 6.0), tuple(f * METRES["ft"] for f in (10.0, 20.0, 30.0))

SHRUBS, TREES = ("shrub", "bamboo", "cycad"), ("tree", "palm")

RULE = "fire spacing (UC Marin Master Gardeners, Napa Firewise; California)"


def fire_spacing(measured: Measured) -> FireSpacing | None:
    """None where the document does not ask for it."""
    if not measured.yard.site.fire_spacing:
        return None
    wide_of_mark = _too_close(measured.terrain, measured.stand)
    plants = np.unique([plant for pair, _ in wide_of_mark for plant in pair]).astype(np.int64)
    conflicts = [
        _conflict(wanted, measured)
        for wanted in measured.yard.requirement
        if wanted.check in ("screening", "coverage")
        and wanted.at_least is not None
        and np.isin(_needed(wanted, measured), plants).any()
    ]
    gaps = sorted(_worst_of_kinds(measured.stand, wide_of_mark), key=lambda gap: gap.first_year)
    return FireSpacing(tuple(gaps), tuple(conflicts))


def wanted_gap_m(height_m: Array, slope: float, *, trees: bool) -> Array:
    """Clear distance between crowns for plants of a height on a slope (rise over run)."""
    step = int(np.searchsorted(STEPS, slope, side="left"))
    if trees:
        return np.full_like(height_m, TREE_GAPS_M[step])
    return height_m * SHRUB_TIMES[step]


def _too_close(terrain: Terrain, stand: Stand) -> list[tuple[tuple[int, int], FireGap]]:
    """Pairs of plants, and how they come too close."""
    slope = bilinear(terrain.lattice, slopes(terrain.lattice, terrain.after_m), stand.xyz_m[:, :2])
    found = []
    for kinds, trees in ((SHRUBS, False), (TREES, True)):
        plants = _of_kinds(stand, kinds)
        reach_m = _reach_m(stand, plants, trees=trees)
        for a, b in cKDTree(stand.xyz_m[plants, :2]).query_pairs(reach_m) if len(plants) else ():
            one, other = int(plants[a]), int(plants[b])
            if not (stand.kept[one] and stand.kept[other]):
                pair = _pair(stand, one, other, float(max(slope[one], slope[other])), trees=trees)
                found += [((one, other), pair)] if pair else []
    return found


def _reach_m(stand: Stand, plants: IntArray, *, trees: bool) -> float:
    """No two plants farther apart than this can be too close."""
    height = float(stand.height_m.expected[:, plants].max(initial=0))
    spread = float(stand.spread_m.expected[:, plants].max(initial=0))
    return spread + (TREE_GAPS_M[-1] if trees else SHRUB_TIMES[-1] * height)


def _pair(stand: Stand, one: int, other: int, slope: float, *, trees: bool) -> FireGap | None:
    together = stand.present[:, one] & stand.present[:, other]
    apart_m = float(np.hypot(*(stand.xyz_m[one] - stand.xyz_m[other])[:2]))
    spread, height = stand.spread_m.expected, stand.height_m.expected
    gap_m = apart_m - (spread[:, one] + spread[:, other]) / 2
    wanted_m = wanted_gap_m(np.maximum(height[:, one], height[:, other]), slope, trees=trees)
    years = np.flatnonzero(together & (gap_m < wanted_m))
    if not len(years):
        return None
    year = int(years[0])
    return FireGap(
        plant=_name(stand, one), at=_at(stand, one), other=_name(stand, other),
        other_at=_at(stand, other), first_year=year, gap_m=max(float(gap_m[year]), 0.0),
        wanted_m=float(wanted_m[year]),
    )  # fmt: skip


def _worst_of_kinds(
    stand: Stand, pairs: list[tuple[tuple[int, int], FireGap]]
) -> Iterator[FireGap]:
    """Of every two kinds the pair that is soonest too close, and by most."""
    first: dict[tuple[int, ...], FireGap] = {}
    for (one, other), gap in pairs:
        kinds = tuple(sorted((int(stand.plant[one]), int(stand.plant[other]))))
        known = first.get(kinds)
        if known is None or _rank(gap) < _rank(known):
            first[kinds] = gap
    yield from first.values()


def _rank(gap: FireGap) -> tuple[float, float]:
    return gap.first_year, gap.gap_m - gap.wanted_m


def _needed(requirement: Requirement, measured: Measured) -> IntArray:
    """Plants that a requirement rests on in its year."""
    now = expected_sizes(measured.stand).only(years=[requirement.year])
    plants, _ = without_each(requirement, measured, now, season_at(requirement, measured.yard.site))
    return plants


def _conflict(requirement: Requirement, measured: Measured) -> str:
    asked = f"{100 * (requirement.at_least or 0):g} % in year {requirement.year}"
    return (
        f'"{requirement.name}" asks for {asked}, by plants that grow together; {RULE} asks for '
        "clear gaps between them. Both cannot be kept: ask who governs before you plant."
    )


def _of_kinds(stand: Stand, kinds: tuple[str, ...]) -> IntArray:
    named = np.isin([plant.kind for plant in stand.plants], kinds)
    return np.flatnonzero(named[stand.plant])


def _name(stand: Stand, plant: int) -> str:
    return str(stand.plants[stand.plant[plant]].name)


def _at(stand: Stand, plant: int) -> tuple[float, float]:
    return float(stand.xyz_m[plant, 0]), float(stand.xyz_m[plant, 1])
