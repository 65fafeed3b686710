"""All checks of a grown yard at once: every finding, every requirement judged, all that is owed.

Ranges are those of joint draws, spread evenly over the scores so that few of them suffice;
fewer for large stands.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from growth.checks.advice import advise
from growth.checks.cautions import NOT_MODELLED, cautions
from growth.checks.credits import CREDIT_WORDS
from growth.checks.crowded import crowded
from growth.checks.doubts import doubts
from growth.checks.failing import if_one_fails
from growth.checks.findings import Findings, Verdict
from growth.checks.fire import fire_spacing
from growth.checks.keepclear import CLEAR_WORDS
from growth.checks.measured import Measured
from growth.checks.register import CHECKS, season_at, value_of
from growth.checks.sight import GOVERNS
from growth.checks.spotlight import DRAWS as LIGHT_DRAWS
from growth.checks.standing import season_of, verdict
from growth.clipping import clip_note
from growth.compiled import beside
from growth.memory import Memory
from growth.scores import even_scores
from growth.seasons import MONTHS
from growth.stand import BETWEEN_KINDS, Draws, Stand, all_but_places, draw, draw_count
from scenes.document import Requirement, Site, Yard
from scenes.layout import Layout
from scenes.lengths import both_units
from scenes.terrain import Terrain
from scenes.whereabouts import all_found_at, found_at

SEED = 20270315


def check(
    yard: Yard,
    terrain: Terrain,
    layout: Layout,
    stand: Stand,
    *,
    light: bool = True,
    advising: Callable[[str], object] | None = None,
    memory: Memory | None = None,
) -> Findings:
    """All findings of a yard; the hours of sun may be left out where no requirement asks for them.

    They take half the time of all, and the page does not show them. Advice is given where
    `advising` is: it is called with the name of each requirement that is not met, and then takes
    a second or three. With a memory that is given again after an edit, what the edit left alone
    is not computed anew.
    """
    memory = memory or Memory()
    memory.next_round()
    light = light or any(wanted.check == "light" for wanted in yard.requirement)
    draws = _draws(stand, memory)
    measured = Measured(yard, terrain, layout, stand, draws, memory)
    sun = beside(lambda: (measured.lighting, measured.lot_light)) if light else None
    heads = beside(lambda: measured.spray) if yard.head else None
    doubtful = doubts(yard, layout, stand)
    return Findings(
        title=yard.title,
        years=stand.years,
        coverage=measured.coverage,
        canopy=measured.canopy,
        screening=measured.screening,
        requirements=tuple(_judged(wanted, measured, advising) for wanted in yard.requirement),
        not_computed=tuple(_not_computed(yard, layout, measured)),
        cautions=(
            *doubtful,
            *cautions(yard, layout, stand),
            *([GOVERNS] if yard.sight else []),
        ),
        doubts=doubtful,
        clipping=stand.clipping,
        crowding=crowded(stand),
        clearance=measured.clearance,
        counts=measured.counts,
        sight=measured.sight,
        spray=heads.result() if heads else (),
        lighting=sun.result()[0] if sun else None,
        fire=fire_spacing(measured),
        beds=measured.beds,
        closing=measured.closing,
        lot_light=sun.result()[1] if sun else None,
        notes=_notes(terrain, yard, stand, len(draws.height_m)),
        found_at=all_found_at(yard),
    )


def _judged(
    requirement: Requirement, measured: Measured, advising: Callable[[str], object] | None
) -> Verdict:
    """A requirement judged, with the plant that matters most to it."""
    season = season_at(requirement, measured.yard.site)
    judged = verdict(requirement, value_of(requirement, measured))
    judged = replace(judged, if_one_fails=if_one_fails(requirement, measured, season))
    if advising is None or judged.standing not in ("likely", "missed"):
        return judged
    advising(requirement.name)
    return replace(judged, advice=advise(requirement, measured, seed=SEED))


def _draws(stand: Stand, memory: Memory) -> Draws:
    count = draw_count(len(stand.plant))
    made_from = ("draws", *all_but_places(stand), count, SEED)
    return memory.of(made_from, lambda: draw(stand, count=count, seed=SEED, scores=even_scores))


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
        elif value_of(requirement, measured) is None:
            yield (
                f'requirement "{requirement.name}": nothing of "{requirement.of}" was measured '
                f"for {requirement.check}, so it stands as unknown"
            )


def _notes(terrain: Terrain, yard: Yard, stand: Stand, draws: int) -> tuple[str, ...]:
    return (
        *terrain.notes,
        *terrain.clashes,
        *stand.notes,
        *(clip_note(clip, found_at(yard, clip.place)) for clip in stand.clipping),
        f"Ranges run from the 10th to the 90th percentile of {draws} joint draws in which "
        f"plants of a kind share {100 * BETWEEN_KINDS:.0f} % of the variance of their scores.",
        "A bed is covered by crowns that reach down to it; trees and palms on a bare stem "
        "shade it and are not counted.",
        "Canopy counts trees and palms, and shrubs and bamboo in the years they stand "
        f"{both_units(1.5)} or taller, clipped at the boundary.",
        CREDIT_WORDS,
        CLEAR_WORDS,
        "Light is direct sun under a clear sky on a mean day of the growing season, at two thirds "
        "of a plant's height, sun below 3 degrees left out; full sun means 6 h and more, part "
        f"shade 4-6 h, shade less (some say part shade from 3 h). Its range is that of "
        f"{LIGHT_DRAWS} joint draws, its years between those looked at are interpolated, and "
        f"plants of one table within {both_units(2)} share the light of one.",
        leaf_months(yard.site),
        NOT_MODELLED,
    )
