"""What spray heads still reach, as a table a person can read in a terminal."""

from collections.abc import Sequence

from rich.table import Table

from growth.checks.spray import Spray
from viz.tables import table, year_heads, year_text
from viz.units import length_text

SPRAY_YEARS = (1, 5, 15)


def spray_table(sprays: Sequence[Spray], *, lengths: str) -> Table:
    """One row a head, the worst in the last year first; percent of its ground, expected."""
    made = table(
        "Ground that spray reaches, percent, expected",
        ("Head", *year_heads(SPRAY_YEARS), "Dry from", "Riser that\nclears", "Nearest\nhead"),
        [
            (
                spray.head,
                *(f"{100 * spray.reached.expected[year]:.0f}" for year in SPRAY_YEARS),
                year_text(spray.first_dry_year),
                _clearing(spray, lengths=lengths),
                _neighbour(spray, lengths=lengths),
            )
            for spray in sorted(sprays, key=lambda spray: float(spray.reached.expected[-1]))
        ],
    )
    made.caption = (
        "Water runs level from the riser, lower where the ground falls; "
        "crowns, walls and rising ground stop it."
    )
    return made


def _clearing(spray: Spray, *, lengths: str) -> str:
    """The riser that would clear all plants in the sector, if any does."""
    riser_m = spray.clearing_riser_m
    return "none" if riser_m is None else length_text(riser_m, lengths=lengths)


def _neighbour(spray: Spray, *, lengths: str) -> str:
    """How far the nearest head is, and whether this one's water reaches it."""
    if spray.nearest_head_m is None:
        return "none"
    reached = "reached" if spray.head_to_head else "not reached"
    return f"{length_text(spray.nearest_head_m, lengths=lengths)},\n{reached}"
