"""Sight triangles as a table: the share left clear by year, and what stands in the way first."""

from collections.abc import Iterator

from rich.table import Table

from growth.checks.findings import Clash, Findings, Sight
from viz.tables import percent_range, table, year_heads

YEARS = (1, 5, 15)
NEVER = 99


def sight_table(findings: Findings) -> Table:
    """One row for each sight triangle."""
    return table(
        "Sight triangles, percent clear: expected (low-high)",
        ("Triangle", *year_heads(YEARS), "In the way"),
        [
            (
                f"{sight.name}, {sight.rule}" if sight.rule else sight.name,
                *(percent_range(sight.clear, year) for year in YEARS),
                in_the_way(findings, sight),
            )
            for sight in findings.sight
        ],
        figures=slice(1, -1),
    )


def in_the_way(findings: Findings, sight: Sight) -> str:
    """What rises into the triangle: built things, thick trunks, then the soonest plant."""
    found = [*sight.built, *_trunks(findings, sight)]
    if sight.plants:
        first = min(sight.plants, key=_year)
        when = "perhaps" if first.first_year is None else f"from year {first.first_year}"
        more = f" and {len(sight.plants) - 1} more plants" if len(sight.plants) > 1 else ""
        found.append(f"{findings.told(first.plant, first.place)} {when}{more}")
    return "; ".join(found) or "nothing"


def _trunks(findings: Findings, sight: Sight) -> Iterator[str]:
    for place in sight.thick_trunks:
        yield f"trunk of {findings.told('the kept tree', place)}"


def _year(clash: Clash) -> int:
    return NEVER if clash.first_year is None else clash.first_year
