"""What is left of each requirement if its most important plant fails, as a table."""

from rich.table import Table

from growth.checks.findings import Findings, OneFails
from viz.tables import NO_FIGURES, amount_text, table


def losses_table(findings: Findings) -> Table:
    """The plant each requirement hangs on, what is left without it, and when that is mended."""
    return table(
        "If one plant fails in the year asked for",
        ("Requirement", "The plant it hangs on", "Left: low / expected / high", "Meets again"),
        [
            (
                verdict.name,
                findings.told(loss.plant, loss.place),
                " / ".join(
                    amount_text(value, verdict.unit, beside=verdict.limit)
                    for value in (loss.low, loss.expected, loss.high)
                ),
                mended_text(loss),
            )
            for verdict in findings.requirements
            if (loss := verdict.if_one_fails)
        ],
        figures=NO_FIGURES,
    )


def mended_text(loss: OneFails) -> str:
    """The year in which the expected value meets the limit, and by what."""
    if loss.recovers_year is None:
        return "not by 30" if loss.replaced else "not by 30; not replaced"
    return f"year {loss.recovers_year}" + ("" if loss.replaced else ", not replaced")
