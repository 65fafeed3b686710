"""Canopy as tables: of the lot and over its paving, and as local rules count it."""

from collections.abc import Iterator

from rich.table import Table

from growth.checks.findings import Canopy, Credit, Ruled
from viz.tables import NO_FIGURES, percent_range, table, year_heads
from viz.units import area_text

YEARS = (5, 10, 15, 20, 30)
"""Local rules ask about 10, 15 and 20 years."""


def canopy_table(canopy: Canopy, *, lengths: str) -> Table:
    """Share of the lot and of its paving under canopy."""
    over = [("Lot", canopy.lot_m2, canopy.fraction)]
    if canopy.over_paving is not None:
        over.append(("Paving", canopy.paving_m2, canopy.over_paving))
    return table(
        "Canopy, percent: expected (low-high)",
        ("Over", *year_heads(YEARS)),
        [
            (
                f"{name}, {area_text(area_m2, lengths=lengths)}",
                *(percent_range(found, year) for year in YEARS),
            )
            for name, area_m2, found in over
        ],
    )


def rules_table(canopy: Canopy) -> Table:
    """What the document's canopy rules find, beside the share they ask for."""
    return table(
        "Canopy by the rules of the document; check your local code",
        ("Rule", "Counts", "Asks", "Finds", "Standing"),
        [_ruled_row(one) for one in canopy.ruled],
        figures=NO_FIGURES,
    )


def credit_lines(canopy: Canopy, *, lengths: str) -> Iterator[str]:
    """What local rules credit the mature trees with, a line each."""
    for credit in canopy.credits:
        yield _credit(credit, lengths=lengths)


def _ruled_row(one: Ruled) -> tuple[str, ...]:
    rule = one.rule
    what = "mature trees" if rule.counts == "mature" else "crowns as they grow"
    found = percent_range(one.fraction, one.year)
    asks = "" if rule.share is None else f"{100 * rule.share:g} %"
    when = "" if rule.year is None else f" in year {rule.year}"
    place = f" ({rule.place}, {rule.date})" if rule.place else ""
    counts = f"{what} over the {rule.over}"
    return rule.name + place, counts, asks + when, f"{found} %", one.standing


def _credit(credit: Credit, *, lengths: str) -> str:
    name = f"{credit.rule.name} ({credit.rule.place})"
    if credit.area_m2 is None or credit.fraction is None:
        return f"{name}: only for trees {credit.rule.trees}; which those are is not known here"
    area, percent = area_text(credit.area_m2, lengths=lengths), f"{100 * credit.fraction:.0f} %"
    summed = " (overlaps count twice)" if credit.fraction > 1 else ""
    over = "" if credit.rule.over == "lot" else f" of the {credit.rule.over}"
    asked = "" if credit.rule.share is None else f", {100 * credit.rule.share:g} % asked"
    return f"{name}: {area}, {percent}{over} credited{summed}{asked}; check your local code"
