"""Sight triangles as a table: the share left clear by year, and what stands in the way first."""

from collections.abc import Sequence

from rich.markup import escape
from rich.table import Table

from growth.checks.findings import Clash, Sight

YEARS = (1, 5, 15)
NEVER = 99


def sight_table(sights: Sequence[Sight]) -> Table:
    """One row for each sight triangle."""
    table = Table(title="Sight triangles, percent clear: expected (low-high)", title_justify="left")
    table.add_column("Triangle", overflow="fold")
    for year in YEARS:
        table.add_column(f"Year {year}", justify="right", no_wrap=True)
    table.add_column("In the way", overflow="fold")
    for sight in sights:
        name = f"{sight.name}, {sight.rule}" if sight.rule else sight.name
        shares = (_percent(sight, year) for year in YEARS)
        table.add_row(escape(name), *shares, escape(in_the_way(sight)))
    return table


def in_the_way(sight: Sight) -> str:
    """What rises into the triangle: built things, thick trunks, then the soonest plant."""
    found = [*sight.built, *(f"trunk of {place}" for place in sight.thick_trunks)]
    if sight.plants:
        first = min(sight.plants, key=_year)
        when = "perhaps" if first.first_year is None else f"from year {first.first_year}"
        more = f" and {len(sight.plants) - 1} more plants" if len(sight.plants) > 1 else ""
        found.append(f"{first.plant} ({first.place}) {when}{more}")
    return "; ".join(found) or "nothing"


def _year(clash: Clash) -> int:
    return NEVER if clash.first_year is None else clash.first_year


def _percent(sight: Sight, year: int) -> str:
    low, middle, high = (
        round(100 * float(values[year]))
        for values in (sight.clear.low, sight.clear.expected, sight.clear.high)
    )
    return f"{middle}" if low == high else f"{middle} ({low}-{high})"
