"""The one way to make a table for a terminal, and the cells that several tables share.

Cells come in as plain text, which a document may have written: markup in it stays text. Figures
stand right and are never broken over lines; text folds, so that rows of many columns still fit.
"""

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from growth.ranges import Range
from scenes.countwords import PER_100_FT
from viz.words import percent_number

ALL_BUT_FIRST = slice(1, None)
NO_FIGURES = slice(0, 0)


def table(
    title: str,
    columns: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    figures: slice = ALL_BUT_FIRST,
    most: int | None = None,
) -> Table:
    """A table of rows, at `most` so many of them; the columns in `figures` hold figures."""
    made = Table(title=escape(title), title_justify="left", expand=False)
    figured = columns[figures]
    for head in columns:
        if head in figured:
            made.add_column(head, justify="right", no_wrap=True)
        else:
            made.add_column(head, overflow="fold")
    every = list(rows)
    for cells in every[:most]:
        made.add_row(*(escape(cell) for cell in cells))
    if most is not None and len(every) > most:
        more = len(every) - most
        made.caption = f"{more} row{'' if more == 1 else 's'} more: see --json."
    return made


def year_heads(years: Iterable[int]) -> tuple[str, ...]:
    """Heads of columns that hold one year each."""
    return tuple(f"Year {year}" for year in years)


def year_text(year: int | None) -> str:
    """The year in which something comes about, or that it does not in the years looked at."""
    return "not by 30" if year is None else f"year {year}"


def amount_text(value: float, unit: str, *, beside: float | None = None) -> str:
    """A share in percent, finer where it would else read like the limit beside it; a length with
    its unit; or a count, whose words say per what."""
    if unit == "share":
        return f"{percent_number(value, beside=beside)} %"
    return f"{value:.1f}" if unit == PER_100_FT else f"{value:.2f} {unit}"


def percent_range(fraction: Range, year: int) -> str:
    """Expected percent with low to high, like '74 (63-82)'."""
    low, expected, high = (
        round(100 * float(a[year])) for a in (fraction.low, fraction.expected, fraction.high)
    )
    return f"{expected}" if low == high else f"{expected} ({low}-{high})"


def print_table(console: Console, made: Table) -> None:
    """Prints a table that has a row."""
    if made.row_count:
        console.print(made)


def print_list(console: Console, heading: str, lines: Iterable[str]) -> None:
    """Prints lines under a heading, and nothing where there are none."""
    for number, line in enumerate(lines):
        if number == 0:
            console.print(f"[bold]{heading}[/bold]")
        console.print(f"  - {escape(line)}")
