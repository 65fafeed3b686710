"""What spray heads still reach, as a table a person can read in a terminal."""

from collections.abc import Sequence

from rich.markup import escape
from rich.table import Table

from growth.checks.spray import Spray
from viz.units import length_text

SPRAY_YEARS = (1, 5, 15)


def spray_table(sprays: Sequence[Spray], *, lengths: str) -> Table:
    """One row a head, the worst in the last year first; percent of its ground, expected."""
    table = Table(title="Ground that spray reaches, percent, expected", title_justify="left")
    table.add_column("Head", overflow="fold")
    for year in SPRAY_YEARS:
        table.add_column(f"Year {year}", justify="right", no_wrap=True)
    for heading in ("Dry from", "Riser that clears", "Nearest head"):
        table.add_column(heading, justify="right")
    for spray in sorted(sprays, key=lambda spray: float(spray.reached.expected[-1])):
        dry = spray.first_dry_year
        table.add_row(
            escape(spray.head),
            *(f"{100 * spray.reached.expected[year]:.0f}" for year in SPRAY_YEARS),
            "not by 30" if dry is None else f"year {dry}",
            _clearing(spray, lengths=lengths),
            _neighbour(spray, lengths=lengths),
        )
    table.caption = "Water runs level from the riser; a crown stops it at its full spread."
    return table


def _clearing(spray: Spray, *, lengths: str) -> str:
    """The riser that would clear all plants in the sector, if any does."""
    riser_m = spray.clearing_riser_m
    return "none" if riser_m is None else length_text(riser_m, lengths=lengths)


def _neighbour(spray: Spray, *, lengths: str) -> str:
    """How far the nearest head is, and whether this one's water reaches it."""
    if spray.nearest_head_m is None:
        return "none"
    reached = "reached" if spray.head_to_head else "not reached"
    return f"{length_text(spray.nearest_head_m, lengths=lengths)}, {reached}"
