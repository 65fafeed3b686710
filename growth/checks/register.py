"""The checks by the name a requirement gives them, and `check`, which runs them all.

A check reads its quantity, a share of 0-1 with its range over the years, out of what was
measured. Checks that the document may ask for and that are not in the register are not
computed yet: their requirements stand as unknown and are named. Ranges are those of joint
draws, spread evenly over the scores so that few of them suffice; fewer for large stands.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from growth.checks.cautions import NOT_MODELLED, cautions
from growth.checks.credits import CREDIT_WORDS
from growth.checks.crowded import crowded
from growth.checks.findings import Findings
from growth.checks.keepclear import CLEAR_WORDS
from growth.checks.light import DRAWS as LIGHT_DRAWS
from growth.checks.measured import Measured
from growth.checks.sight import GOVERNS
from growth.checks.standing import season_of, verdict
from growth.clipping import clip_note
from growth.memory import Memory
from growth.ranges import Range
from growth.seasons import MONTHS
from growth.stand import BETWEEN_KINDS, Draws, Stand, all_but_places, draw
from scenes.document import Requirement, Site, Yard
from scenes.layout import Layout
from scenes.terrain import Terrain

DRAWS, LEAST_DRAWS = 256, 16
"""Joint draws of a yard, and of the largest one."""

SEED = 20270315

_PLANTS_TIMES_DRAWS = 2**19


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
    return measured.canopy.fraction


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
        Check("canopy", "share of the lot under canopy", _canopy),
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


def check(
    yard: Yard,
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    *,
    light: bool = True,
    memory: Memory | None = None,
) -> Findings:
    """All findings of a yard; the hours of sun may be left out where no requirement asks for them.

    They take half the time of all, and the page does not show them. With a memory that is
    given again after an edit, what the edit left alone is not computed anew.
    """
    memory = memory or Memory()
    memory.next_round()
    light = light or any(wanted.check == "light" for wanted in yard.requirement)
    draws = _draws(stand, memory)
    measured = Measured(yard, terrain, layout, stand, draws, memory)
    return Findings(
        title=yard.title,
        years=stand.years,
        coverage=measured.coverage,
        canopy=measured.canopy,
        screening=measured.screening,
        requirements=tuple(
            verdict(wanted, value_of(wanted, measured, yard.site)) for wanted in yard.requirement
        ),
        not_computed=tuple(_not_computed(yard, layout, measured)),
        cautions=(*cautions(yard, layout, stand), *([GOVERNS] if yard.sight else [])),
        clipping=stand.clipping,
        crowding=crowded(stand),
        clearance=measured.clearance,
        counts=measured.counts,
        sight=measured.sight,
        spray=measured.spray,
        lighting=measured.lighting if light else None,
        notes=_notes(terrain, yard.site, stand, len(draws.height_m)),
    )


def _draws(stand: Stand, memory: Memory) -> Draws:
    count = draw_count(len(stand.plant))
    made_from = ("draws", *all_but_places(stand), count, SEED)
    return memory.of(made_from, lambda: draw(stand, count=count, seed=SEED, stratified=True))


def draw_count(plants: int) -> int:
    """Joint draws for a stand: fewer where there are many plants, whose scatter evens out."""
    return int(np.clip(_PLANTS_TIMES_DRAWS // max(1, plants), LEAST_DRAWS, DRAWS))


def value_of(requirement: Requirement, measured: Measured, site: Site) -> Range | None:
    """The range over the years of what a requirement limits; None where not computed."""
    if requirement.check not in CHECKS:
        return None
    season = season_of(
        requirement.season, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
    return CHECKS[requirement.check].measure(measured, requirement, season)


def leaf_months(site: Site) -> str:
    """Which months stand for leaf at the yard's place, as one sentence."""
    leaf = [
        name.capitalize()
        for name in MONTHS
        if season_of(name, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg)
        == "leaf"
    ]
    return (
        f"Month names stand for leaf in {', '.join(leaf)}, when deciduous trees are in leaf "
        "there by latitude, and for bare otherwise; height above the sea is left out."
    )


def _not_computed(yard: Yard, layout: Layout, measured: Measured) -> Iterator[str]:
    """One line for each agreed thing in the document that no part computes yet."""
    yield from layout.not_computed
    if yard.site.latitude_deg is None:
        yield "light: where the sun stands is not known; write site.latitude_deg"
    for requirement in yard.requirement:
        if requirement.check not in CHECKS:
            yield (
                f'requirement "{requirement.name}": the check {requirement.check} '
                "is not computed yet, so it stands as unknown"
            )
        elif value_of(requirement, measured, yard.site) is None:
            yield (
                f'requirement "{requirement.name}": nothing of "{requirement.of}" was measured '
                f"for {requirement.check}, so it stands as unknown"
            )


def _notes(terrain: Terrain, site: Site, stand: Stand, draws: int) -> tuple[str, ...]:
    return (
        *terrain.notes,
        *terrain.clashes,
        *stand.notes,
        *(clip_note(clip) for clip in stand.clipping),
        f"Ranges run from the 10th to the 90th percentile of {draws} joint draws in which "
        f"plants of a kind share {100 * BETWEEN_KINDS:.0f} % of the variance of their scores.",
        "A bed is covered by crowns that reach down to it; trees and palms on a bare stem "
        "shade it and are not counted.",
        "Canopy counts trees and palms, and shrubs and bamboo in the years they stand 1.5 m "
        "or taller, clipped at the boundary.",
        CREDIT_WORDS,
        CLEAR_WORDS,
        "Light is direct sun under a clear sky on a mean day of the growing season, at two thirds "
        "of a plant's height, sun below 3 degrees left out; full sun means 6 h and more, part "
        f"shade 4-6 h, shade less (some say part shade from 3 h). Its range is that of "
        f"{LIGHT_DRAWS} joint draws, its years between those looked at are interpolated, and "
        "plants of one table within 2 m share the light of one.",
        leaf_months(site),
        NOT_MODELLED,
    )
