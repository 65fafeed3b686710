"""The conditions sheet: what an officer needs to check each requirement of a yard, on one page.

Only words are put together here: the cases (`viz.cases`), what is assumed for all of them, what
is not modelled, and cautions.
"""

from datetime import date
from typing import Any

from growth.checks.cautions import NOT_MODELLED
from growth.checks.working import Planned
from viz.cases import cases, how_measured
from viz.conditions import NOTHING_ASKED, heading
from viz.paper import LOCAL, facts

STANDINGS = (
    "Met: even the unfavourable end of the range meets the limit. Likely: only the expected "
    "figure does. Missed: neither. Unknown: not computed."
)
RANGES = (
    "Low and high are the 10th and the 90th percentile of joint draws of all plants, expected is "
    "their mean. Trees' ranges were fitted to measured street and park trees; those of shrubs, "
    "grasses and perennials are wider and assumed."
)
YEARS = (
    "Year 0 is the day of planting; year n is the state at the end of the n-th growing season "
    "after it."
)


def sheet_words(planned: Planned, *, by: str | None, day: date) -> dict[str, Any]:
    """All text of the sheet, not yet escaped."""
    yard, findings = planned.yard, planned.findings
    asked = findings.requirements
    return {
        "title": yard.title,
        "kind": "Conditions sheet",
        "facts": facts(yard, lot_m2=findings.canopy.lot_m2, by=by, day=day),
        "heading": heading(asked) if asked else NOTHING_ASKED,
        "cases": cases(planned),
        "how": how_measured(asked),
        "assumed": (STANDINGS, RANGES, YEARS, NOT_MODELLED, *findings.not_computed),
        "conflicts": findings.fire.conflicts if findings.fire else (),
        "cautions": findings.cautions,
        "local": LOCAL,
    }
