"""The report of a yard: pictures, charts, conditions, care, plants, quantities and costs.

Only arranges what other modules found, as words for one paper.
"""

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import Any

from growth.checks.care import Care, care
from growth.checks.cautions import NOT_MODELLED
from growth.checks.working import Planned
from scenes.costs import LEFT_OUT, Costs
from scenes.groundwork import groundwork
from viz.cases import cases, how_measured
from viz.conditions import NOTHING_ASKED, heading, plain_table
from viz.costtable import HEADS, cost_rows, total_words, without_price
from viz.firstwords import first_words
from viz.groundreport import earth_table, quantities_table
from viz.paper import LOCAL, facts
from viz.planschedule import HEADS as PLANT_HEADS
from viz.planschedule import Row, schedule
from viz.planschedule import total_words as plant_totals
from viz.plots import plots
from viz.sheet import RANGES, STANDINGS, YEARS
from viz.stillwords import caption

BAND_YEARS = (1, 5, 15)


def report_words(
    planned: Planned,
    *,
    by: str | None,
    day: date,
    sheets: Sequence[dict[str, Any]] = (),
    no_pictures: str = "",
    priced: Costs | None = None,
) -> dict[str, Any]:
    """All text of the report, not yet escaped; `sheets` are its pictures, or why there are none."""
    yard, findings = planned.yard, planned.findings
    asked, lengths = findings.requirements, yard.lengths
    ground = groundwork(yard, planned.terrain, planned.layout)
    return {
        "title": yard.title,
        "kind": "Report",
        "facts": facts(yard, lot_m2=findings.canopy.lot_m2, by=by, day=day),
        "first": first_words(findings, lengths=lengths, site=yard.site),
        "sheets": sheets,
        "no_pictures": no_pictures,
        "plots": plots(findings),
        "bands": [caption(planned.stand, year) for year in BAND_YEARS],
        "heading": heading(asked) if asked else NOTHING_ASKED,
        "cases": cases(planned),
        "how": how_measured(asked),
        "care": care_by_year(care(planned)),
        "plants": plant_words(schedule(yard, planned.layout, planned.stand)),
        "tables": [
            plain_table(made)
            for made in (
                quantities_table(ground.quantities, lengths=lengths),
                earth_table(ground, lengths=lengths),
            )
            if made.row_count
        ],
        "costs": None if priced is None else cost_words(priced, lengths=lengths),
        "assumed": (STANDINGS, RANGES, YEARS, NOT_MODELLED, *findings.not_computed),
        "conflicts": findings.fire.conflicts if findings.fire else (),
        "cautions": list(dict.fromkeys((*findings.cautions, *ground.cautions))),
        "local": LOCAL,
    }


def care_by_year(notes: Sequence[Care]) -> list[dict[str, Any]]:
    """Notes of care by the year they begin in."""
    return [
        {
            "year": year,
            "notes": [
                {"what": note.what, "source": note.source, "until": _until(note)} for note in some
            ],
        }
        for year, some in groupby(notes, key=lambda note: note.year)
    ]


def _until(note: Care) -> str:
    return "" if note.last_year == note.year else f"to year {note.last_year}"


def plant_words(rows: Sequence[Row]) -> dict[str, Any]:
    """The plant schedule of the planting plan, with its totals."""
    return {
        "heads": PLANT_HEADS,
        "rows": [row.all_cells for row in rows],
        "total": plant_totals(rows),
    }


def cost_words(priced: Costs, *, lengths: str) -> dict[str, Any]:
    """Costs as rows, totals and what has no price."""
    *lines, totals = cost_rows(priced)
    return {
        "total": total_words(priced),
        "heads": (*HEADS[:-1], f"Total {priced.currency}".strip()),
        "rows": lines,
        "totals": totals,
        "no_price": without_price(priced, lengths=lengths),
        "left_out": LEFT_OUT,
    }
