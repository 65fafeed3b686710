"""What a reader must be warned of before relying on a yard's findings.

Cautions are reminders, not advice: which plants lists name as toxic, thorny or invasive, kept
trees near moved ground, with new plants among their roots or with roots cut, bases shaded out,
trees near overhead lines, and what a forecast cannot promise.
A plant without a warning was not found safe; it was only not listed in what was looked up.

Source: 811 is the call-before-you-dig number of the United States; the distance from overhead
lines is that of `growth.checks.keepclear`.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from growth.checks.keepclear import LINE_CLEAR_M
from growth.crowding import shaded_out
from growth.plants import Plant
from growth.stand import Stand
from growth.stress import stress_caution
from scenes.document import Yard
from scenes.layout import Layout
from scenes.outlines import length_shown
from scenes.whereabouts import found_at

ALWAYS = (
    "Sizes are forecasts with a range, not promises; soil, weather and care move them.",
    "Call before you dig (811 in the United States); this plan does not know where lines run.",
    "Local codes, and licensed engineers, surveyors and landscape architects, govern; "
    "check with them before building.",
)

NOT_MODELLED = (
    "Not modelled: soil and water differences, pests, pruning beyond a size that a plant is kept "
    "at, shade's effect on growth, wind, deer."
)

MOVED_M = 0.05
"""Ground moved by less is within the accuracy of a survey; assumed."""


def cautions(yard: Yard, layout: Layout, stand: Stand) -> tuple[str, ...]:
    """One line a caution: the yard's own first, then those that always hold."""
    return (
        *(line for plant in stand.plants for line in _of_plant(plant)),
        *_roots_lost(yard, layout),
        *_kept_near_grading(yard, layout),
        *_planted_among_roots(yard, layout),
        *_shaded_out(yard, layout, stand),
        *_near_lines(yard, stand),
        *ALWAYS,
    )


def _of_plant(plant: Plant) -> Iterator[str]:
    if plant.toxic and plant.toxic != "not looked up":
        yield f"{plant.name}: {plant.toxic} ({plant.sources['cautions']})."
    if plant.thorny:
        yield f"{plant.name} is thorny or sharp; keep it back from paths and play."
    if plant.invasive:
        yield f"{plant.name}: {plant.invasive}; check the list of your state or county."


def _kept_near_grading(yard: Yard, layout: Layout) -> Iterator[str]:
    """Kept trees with ground moved by more than 5 cm inside their root zone."""
    for zone in layout.root_zones:
        if max(zone.deepest_cut_m, zone.highest_fill_m) > MOVED_M:
            yield (
                f"{zone.plant} {found_at(yard, zone.place)}: the ground is graded within its root "
                f"zone ({length_shown(yard, zone.radius_m)} round the trunk); ask an "
                "arborist first."
            )


def _planted_among_roots(yard: Yard, layout: Layout) -> Iterator[str]:
    """Kept trees with new plants inside their root zone: each is a hole among roots."""
    new = np.array([source.planting is not None for source in layout.sources], bool)[layout.source]
    for zone in layout.root_zones:
        holes = int((shapely.contains_xy(zone.zone, layout.xyz_m[:, :2]) & new).sum())
        if holes:
            many = "1 plant is" if holes == 1 else f"{holes} plants are"
            yield (
                f"{zone.plant} {found_at(yard, zone.place)}: {many} set inside its root zone "
                f"({length_shown(yard, zone.radius_m)} round the trunk); dig by hand between the "
                "roots, cut none, raise no soil over them, and ask an arborist first "
                "(common practice)."
            )


def _roots_lost(yard: Yard, layout: Layout) -> Iterator[str]:
    """Kept plants whose roots were cut."""
    for source in layout.sources:
        if source.roots_lost > 0:
            plant = f"{source.plant} {found_at(yard, source.place)}"
            yield stress_caution(plant, source.roots_lost)


def _shaded_out(yard: Yard, layout: Layout, stand: Stand) -> Iterator[str]:
    """Plants that will stand under taller neighbours and lose the leaf at their base."""
    for found in shaded_out(stand):
        where = found_at(yard, layout.sources[found.source].place)
        yield (
            f"{found.plant} {where}: {found.shaded} of {found.of} "
            f"stand under taller neighbours by year {stand.years[-1]}, the first from year "
            f"{found.first_year}; expect thin, bare bases there (common practice)."
        )


def _near_lines(yard: Yard, stand: Stand) -> Iterator[str]:
    """Trees whose largest forecast crown comes near an overhead line, in plan."""
    trees = np.array([plant.kind in ("tree", "palm") for plant in stand.plants], bool)
    mine = trees[stand.plant] if len(stand.plant) else np.zeros(0, bool)
    reach_m = stand.spread_m.high.max(axis=0, initial=0) / 2 + LINE_CLEAR_M
    points = shapely.points(stand.xyz_m[:, :2])
    for structure in yard.structure:
        if structure.kind != "line" or structure.line is None:
            continue
        near = mine & (shapely.distance(points, shapely.LineString(structure.line)) < reach_m)
        if near.any():
            yield (
                f'{near.sum()} trees may come within 3 m of the line "{structure.name}" in plan; '
                "its owner decides what may stand there."
            )
