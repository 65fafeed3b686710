"""The checks by the name a requirement gives them.

A check reads its quantity, a share of 0-1 with its range over the years, out of what was
measured. Checks that the document may ask for and that are not in the register are not
computed yet: their requirements stand as unknown and are named.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from growth.checks.measured import Measured
from growth.checks.standing import season_of
from growth.ranges import Range
from scenes.document import Requirement, Site


@dataclass(frozen=True)
class Check:
    """A quantity that a requirement may limit: its name, its unit and where it is found."""

    name: str
    unit: str
    measure: Callable[[Measured, Requirement, str], Range | None]


def _screening(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    for view in measured.screening:
        if view.view == requirement.of and view.season == season:
            return view.fraction_blocked
    return None


def _opening(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    blocked = _screening(measured, requirement, season)
    if blocked is None:
        return None
    return Range(low=1 - blocked.high, expected=1 - blocked.expected, high=1 - blocked.low)


def _coverage(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    for cover in measured.coverage:
        if cover.bed == requirement.of:
            return cover.fraction
    return measured.beds.fraction if requirement.of == "lot" and measured.beds else None


def _canopy(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    """Of the lot, its paving, or a canopy rule by its name."""
    if requirement.of == "lot":
        return measured.canopy.fraction
    if requirement.of == "paving":
        return measured.canopy.over_paving
    named = (one for one in measured.canopy.ruled if one.rule.name == requirement.of)
    return next((one.fraction for one in named), None)


def _roots(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    """The largest share lost of the named kept trees' root zones, or of all on the lot."""
    shares = [
        zone.lost_fraction
        for zone in measured.layout.root_zones
        if requirement.of in (zone.tree, zone.plant, "lot")
    ]
    return _same_each_year(measured, max(shares)) if shares else None


def _fall(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    """The flattest fall of a place for a limit of at least, the steepest for one of at most."""
    at_least = requirement.at_least is not None
    percents = [
        fall.worst_percent
        for fall in measured.falls
        if requirement.of in (fall.place, "lot")
        and fall.at_least == at_least
        and fall.worst_percent is not None
    ]
    if not percents:
        return None
    return _same_each_year(measured, (min(percents) if at_least else max(percents)) / 100)


def _clearance(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    return measured.clear_of(requirement.of)


def _count(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    return measured.counts.get(requirement.of)


def _sight(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    return next((s.clear for s in measured.sight if s.name == requirement.of), None)


def _spray(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    return measured.reached.get(requirement.of)


def _light(measured: Measured, requirement: Requirement, season: str) -> Range | None:
    """The share with the light they need; None where no such plant stands that year."""
    found = measured.lighting and measured.lighting.within.get(requirement.of)
    return found if found and np.isfinite(found.expected[requirement.year]) else None


def _same_each_year(measured: Measured, value: float) -> Range:
    constant = np.full_like(measured.canopy.fraction.expected, value)
    return Range(low=constant, expected=constant, high=constant)


CHECKS: dict[str, Check] = {
    check.name: check
    for check in (
        Check("screening", "share of the view hidden", _screening),
        Check("opening", "share of the view still open", _opening),
        Check("coverage", "share of the bed covered", _coverage),
        Check("canopy", "share of the lot or paving under canopy, or as a rule counts it", _canopy),
        Check("clearance", "share of the plants clear of it", _clearance),
        Check("sight", "share of the sight triangle clear", _sight),
        Check("light", "share of the plants with the hours of sun they need", _light),
        Check("roots", "share of the root zone harmed by the plan", _roots),
        Check("fall", "rise over run of the ground, 0.02 is 2 %", _fall),
        Check("count", "share, or plants per 100 ft, by the words it is of", _count),
        Check("spray", "share of the head's ground that water reaches", _spray),
    )
}
"""The register of checks. Adding one: a module beside this one, an entry here, a test."""


def value_of(requirement: Requirement, measured: Measured) -> Range | None:
    """The range over the years of what a requirement limits; None where not computed."""
    if requirement.check not in CHECKS:
        return None
    season = season_at(requirement, measured.yard.site)
    return CHECKS[requirement.check].measure(measured, requirement, season)


def season_at(requirement: Requirement, site: Site) -> str:
    """leaf or bare: the season that a requirement means where the yard lies."""
    return season_of(
        requirement.season, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
