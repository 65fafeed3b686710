"""How the figure of a requirement comes about: its rule, what went in, and what it is a share of.

An officer checks a condition by its arithmetic: the asked share of an area, the found one, and
what is over or lacking. The whole that a share is of (an area in square metres, plants, hundreds
of feet of a line) is looked up here, with the figures that went into it; nothing is forecast
anew. The rule's words and source are the document's own where it has them, else those of the
preset that it names. Where no whole is known there is none.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

import numpy as np
import shapely

from growth.checks.canopy import canopy_areas
from growth.checks.count import HUNDRED_FEET_M, stretch_m
from growth.checks.credits import credited_trees
from growth.checks.findings import Findings, Screening
from growth.checks.standing import season_of
from growth.stand import Stand
from scenes.canopyrules import CanopyCount, canopy_counts
from scenes.countwords import GROUPS, LOT_LINE, PER_100_FT, count_unit
from scenes.document import Requirement, Yard
from scenes.falls import Fall, falls
from scenes.layout import Layout
from scenes.rootrules import RULE_SOURCES
from scenes.sighttriangles import sight_shapes
from scenes.terrain import Terrain


@dataclass(frozen=True)
class Input:
    """A figure that went in; units are m, m2, percent, years or words of a count ("plants")."""

    what: str
    amount: float
    unit: str
    times: int | None = None
    """So many of them, where a sum is made of several."""


@dataclass(frozen=True)
class Working:
    """A requirement's rule, its source, the inputs, and what its share is of; None = unknown."""

    rule: str
    source: str
    inputs: tuple[Input, ...] = ()
    whole: Input | None = None


@dataclass(frozen=True)
class Planned:
    """A yard laid out, grown and checked."""

    yard: Yard
    terrain: Terrain
    layout: Layout
    stand: Stand
    findings: Findings


def workings(planned: Planned) -> tuple[Working, ...]:
    """The working of every requirement, in the document's order."""
    return tuple(_working(wanted, planned) for wanted in planned.yard.requirement)


def _working(wanted: Requirement, planned: Planned) -> Working:
    preset, source, inputs, whole = _FOUND[wanted.check](wanted, planned)
    return Working(
        rule=wanted.text or preset,
        source=wanted.source or source,
        inputs=inputs,
        whole=whole,
    )


Found = tuple[str, str, tuple[Input, ...], Input | None]
NOTHING: Found = ("", "", (), None)


def _screening(wanted: Requirement, planned: Planned) -> Found:
    view = _view(wanted, planned)
    if view is None or view.picture is None:
        return NOTHING
    wide_m, high_m = view.picture.wide_m, view.picture.high_m
    inputs = (Input("width of the panel", wide_m, "m"), Input("its height", high_m, "m"))
    return "", "", inputs, Input("area of the panel", wide_m * high_m, "m2")


def _view(wanted: Requirement, planned: Planned) -> Screening | None:
    site = planned.yard.site
    season = season_of(
        wanted.season, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
    seen = planned.findings.screening
    return next((v for v in seen if (v.view, v.season) == (wanted.of, season)), None)


def _coverage(wanted: Requirement, planned: Planned) -> Found:
    beds = planned.findings.coverage
    if wanted.of == "lot":
        inputs = tuple(Input(f"bed {bed.bed}", bed.area_m2, "m2") for bed in beds)
        total_m2 = sum(bed.area_m2 for bed in beds)
        return "", "", inputs, Input("area of all beds in plan", total_m2, "m2")
    areas = (bed.area_m2 for bed in beds if bed.bed == wanted.of)
    found = next((Input("area of the bed in plan", area_m2, "m2") for area_m2 in areas), None)
    return "", "", (), found


def _canopy(wanted: Requirement, planned: Planned) -> Found:
    canopy = planned.findings.canopy
    if wanted.of == "lot":
        return "", "", (), Input("area of the lot", canopy.lot_m2, "m2")
    if wanted.of == "paving":
        return "", "", (), Input("area of the paving", canopy.paving_m2, "m2")
    rule = next((rule for rule in canopy_counts(planned.yard) if rule.name == wanted.of), None)
    ruled = next((one for one in canopy.ruled if one.rule.name == wanted.of), None)
    if rule is None or ruled is None:
        return NOTHING
    inputs = tuple(_credited(rule, planned)) if rule.counts == "mature" else ()
    over = Input(f"area of the {rule.over}", ruled.over_m2, "m2")
    return canopy_words(rule), ", ".join(_placed(rule)), inputs, over


def canopy_words(rule: CanopyCount) -> str:
    """What a canopy rule asks and counts, in words."""
    counts = "credit of the mature trees" if rule.counts == "mature" else "crowns as they grow"
    asks = "" if rule.share is None else f"{100 * rule.share:g} % of the {rule.over}"
    when = "" if rule.year is None else f" in year {rule.year}"
    return f"{asks}{when}, by {counts}" if asks else f"by {counts} over the {rule.over}"


def _placed(rule: CanopyCount) -> Iterator[str]:
    yield from (words for words in (rule.place, rule.date, rule.source) if words)


def _credited(rule: CanopyCount, planned: Planned) -> Iterator[Input]:
    """Trees of one kind and the credit of each, the most first."""
    terrain, layout = planned.terrain, planned.layout
    area = canopy_areas(terrain.boundary, layout.surfaces)[rule.over]
    names = [source.name for source in layout.sources]
    trees = credited_trees(rule, area, planned.stand, names)
    for (plant, each_m2), number in sorted(trees.items(), key=lambda row: -row[1]):
        yield Input(plant, each_m2, "m2", times=number)


def _clearance(wanted: Requirement, planned: Planned) -> Found:
    stand, of = planned.stand, wanted.of
    kinds = np.array([plant.name == of for plant in stand.plants], bool)
    number = int(kinds[stand.plant].sum()) if kinds.any() else len(stand.plant)
    return "", "", (), Input("plants looked at", number, "plants")


def _light(wanted: Requirement, planned: Planned) -> Found:
    lighting, layout = planned.findings.lighting, planned.layout
    named = {source.place for source in layout.sources if wanted.of in (source.name, source.plant)}
    spots = lighting.spots if lighting else ()
    found = sum(spot.plants for spot in spots if wanted.of == "lot" or spot.place in named)
    return "", "", (), Input("plants looked at", found, "plants") if found else None


def _sight(wanted: Requirement, planned: Planned) -> Found:
    shape = next((shape for shape in sight_shapes(planned.yard) if shape.name == wanted.of), None)
    if shape is None:
        return NOTHING
    low_m, high_m = shape.band_m
    band = (
        Input("kept clear from, above the curb", low_m, "m"),
        Input("to, above the curb", high_m, "m"),
    )
    words = f'rule "{shape.rule}"' if shape.rule else ""
    return words, shape.source, band, Input("area of the triangle", shape.area.area, "m2")


def _spray(wanted: Requirement, planned: Planned) -> Found:
    heads = [one for one in planned.findings.spray if wanted.of in (one.head, "lot")]
    if len(heads) != 1:
        return NOTHING
    (head,) = heads
    inputs = (Input("throw", head.throw_m, "m"), Input("riser", head.riser_m, "m"))
    return "", "", inputs, Input("ground the head waters", head.sector_m2, "m2")


def _roots(wanted: Requirement, planned: Planned) -> Found:
    zones = planned.layout.root_zones
    named = [zone for zone in zones if wanted.of in (zone.tree, zone.plant, "lot")]
    if not named:
        return NOTHING
    worst = max(named, key=lambda zone: zone.lost_fraction)
    inputs = (
        Input(f"radius of the root zone, {worst.rule} of trunk", worst.radius_m, "m"),
        Input("deepest cut in it", worst.deepest_cut_m, "m"),
        Input("highest fill in it", worst.highest_fill_m, "m"),
    )
    zone = Input(f"root zone of {worst.tree}", pi * worst.radius_m**2, "m2")
    return f"root zones of {worst.rule} of trunk", RULE_SOURCES[worst.rule], inputs, zone


def _fall(wanted: Requirement, planned: Planned) -> Found:
    found = [fall for fall in _falls_named(wanted, planned) if fall.worst_percent is not None]
    if not found:
        return NOTHING
    sign = 1 if wanted.at_least is not None else -1
    worst = min(found, key=lambda fall: sign * float(fall.worst_percent or 0.0))
    inputs = (
        Input(f"{worst.place}: {worst.rule}, usual limit", worst.limit_percent, "percent"),
        Input("desirable", worst.desirable_percent, "percent"),
    )
    return worst.rule, worst.source, inputs, None


def _falls_named(wanted: Requirement, planned: Planned) -> Iterator[Fall]:
    for fall in falls(planned.yard, planned.terrain, planned.layout):
        if wanted.of in (fall.place, "lot") and fall.at_least == (wanted.at_least is not None):
            yield fall


def _count(wanted: Requirement, planned: Planned) -> Found:
    unit = count_unit(wanted.of)
    if unit == PER_100_FT:
        line = wanted.of.partition(f" {PER_100_FT} of ")[2]
        beds = {bed.name: stretch_m(bed.outline) for bed in planned.layout.beds}
        lengths = beds | {LOT_LINE: float(planned.terrain.boundary.length)}
        length = Input(f"length of the {line}", lengths[line], "m")
        return "", "", (length,), Input("hundreds of feet", lengths[line] / HUNDRED_FEET_M, "")
    if unit != "share":
        return NOTHING
    return "", "", (), Input("trees and shrubs on the lot", _woody(wanted.year, planned), "plants")


def _woody(year: int, planned: Planned) -> int:
    """Trees and shrubs that stand on the lot in a year, those that may die by then too."""
    stand = planned.stand
    inside = shapely.intersects_xy(planned.terrain.boundary, *stand.xyz_m[:, :2].T)
    counted = [kind for kinds in GROUPS.values() for kind in kinds]
    woody = np.isin([plant.kind for plant in stand.plants], counted)[stand.plant]
    return int((stand.present[year] & inside & woody).sum())


_FOUND = {
    "screening": _screening,
    "opening": _screening,
    "coverage": _coverage,
    "canopy": _canopy,
    "clearance": _clearance,
    "light": _light,
    "sight": _sight,
    "spray": _spray,
    "roots": _roots,
    "fall": _fall,
    "count": _count,
}
"""Where each check's working is found. A new check has its entry here as in the register."""
