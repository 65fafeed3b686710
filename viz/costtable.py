"""Costs as rows for people, as a record, and as a CSV file that no spreadsheet can run."""

import csv
from dataclasses import asdict
from decimal import Decimal
from io import StringIO
from typing import Any

from rich.console import Console
from rich.markup import escape

from scenes.costs import LEFT_OUT, CostLine, Costs
from scenes.quantities import Quantity
from viz.cases import amount_of
from viz.harmless import harmless
from viz.tables import print_list, print_table, table
from viz.units import volume_text

HEADS = ("Item", "Size", "Amount", "Price", "Sum", "Allowance", "Total")
SCHEMA = ("item", "size", "unit", "amount", "price", "sum", "allowance_percent", "allowance",
          "total")  # fmt: skip


def cost_rows(costs: Costs) -> list[tuple[str, ...]]:
    """A row a line, then the totals."""
    totals = ("All lines", "", "", "", money(costs.sum), money(costs.allowance), money(costs.total))
    return [*(_row(line) for line in costs.lines), totals]


def _row(line: CostLine) -> tuple[str, ...]:
    allowance = f"{money(line.allowance)} ({line.allowance_percent:f} %)"
    return (
        line.item,
        line.size,
        "1" if line.unit == "sum" else f"{line.amount:,f} {line.unit}",
        money(line.price) if line.price == round(line.price, 2) else f"{line.price:,f}",
        money(line.sum),
        allowance if line.allowance_percent else "",
        money(line.total),
    )


def money(amount: Decimal) -> str:
    """An amount of money to the cent."""
    return f"{amount:,.2f}"


def without_price(costs: Costs, *, lengths: str) -> list[str]:
    """What has no price, with its amount."""
    return [f"{_sized(one.work, one.size)}: {_amount(one, lengths)}" for one in costs.no_price]


def _sized(item: str, size: str) -> str:
    return f"{item}, {size}" if size else item


def _amount(one: Quantity, lengths: str) -> str:
    if one.unit == "m3":
        return volume_text(one.amount, lengths=lengths)
    return amount_of(one.amount, one.unit, lengths=lengths)


def total_words(costs: Costs) -> str:
    """The total in one sentence, and what it is without."""
    total = f"{money(costs.total)} {costs.currency}".strip()
    of = f"{money(costs.sum)} and {money(costs.allowance)} of allowances"
    lacking = len(costs.no_price)
    without = f"; without {lacking} item{'' if lacking == 1 else 's'} that no price is given for"
    return f"Total {total} ({of}), by {costs.file}{without if lacking else ''}."


def print_costs(console: Console, costs: Costs, *, title: str, lengths: str) -> None:
    """The lines, what has no price, and what is not counted."""
    console.print(f"[bold]{escape(title)}: costs[/bold]")
    console.print(total_words(costs), markup=False, highlight=False)
    heads = ("Item", "Amount", "Price", "Allowance", f"Total {costs.currency}".strip())
    rows = [(_sized(row[0], row[1]), *row[2:4], *row[5:]) for row in cost_rows(costs)]
    print_table(console, table("By the prices given", heads, rows))
    print_list(console, "No price given", without_price(costs, lengths=lengths))
    print_list(console, "Prices that nothing here uses", costs.unused)
    print_list(console, "Before you rely on this", [LEFT_OUT])


def as_json(costs: Costs, *, title: str) -> dict[str, Any]:
    """The costs under keys of their own, ready for json.dumps."""
    return {
        "title": title,
        "prices": costs.file,
        "currency": costs.currency or None,
        "lines": [_plain(asdict(line)) for line in costs.lines],
        "no_price": [
            {"item": one.work, "size": one.size, "amount": one.amount, "unit": one.unit}
            for one in costs.no_price
        ],
        "unused_prices": list(costs.unused),
        "sum": float(costs.sum),
        "allowance": float(costs.allowance),
        "total": float(costs.total),
        "complete": not costs.no_price,
        "not_counted": LEFT_OUT,
    }


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {key: float(cell) if isinstance(cell, Decimal) else cell for key, cell in row.items()}


def as_csv(costs: Costs) -> str:
    """The lines, and under them what has no price, as CSV."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(SCHEMA)
    for line in costs.lines:
        row = asdict(line)
        writer.writerow([harmless(str(row[key])) for key in SCHEMA])
    for one in costs.no_price:
        cells = (one.work, one.size, one.unit, f"{one.amount:.2f}", "no price given")
        writer.writerow([*map(harmless, cells), *[""] * (len(SCHEMA) - len(cells))])
    return out.getvalue()
