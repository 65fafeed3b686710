"""A list of prices: a CSV file of the maker's own, a row an item and its unit.

Columns are `item`, `unit` and `price` (or `price USD`: the currency's three letters), and if
wanted `size`, `allowance_percent` and `note`, in any order. An item is a plant by its botanical
name, or a unit of work by the name that quantities give it; a plant's row without a size holds
for all its sizes that have no row of their own. A row of the unit `sum` is a sum of its own.
Prices are figures with a point. Nothing is guessed: what cannot be read is refused.
"""

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from io import StringIO
from pathlib import Path

from scenes.errors import Mistake, mistake_of, scene_error, shown
from scenes.files import read_capped, text_of
from scenes.lengths import METRES
from scenes.mistakes import nearest

LIST_BYTES = 1_000_000

UNITS = {
    "m": ("m", 1.0), "ft": ("m", METRES["ft"]), "yd": ("m", METRES["yd"]),
    "m2": ("m2", 1.0), "ft2": ("m2", METRES["ft"] ** 2), "sf": ("m2", METRES["ft"] ** 2),
    "yd2": ("m2", METRES["yd"] ** 2),
    "m3": ("m3", 1.0), "ft3": ("m3", METRES["ft"] ** 3), "yd3": ("m3", METRES["yd"] ** 3),
    "each": ("plants", 1.0), "rolls": ("rolls", 1.0), "pallets": ("pallets", 1.0),
    "loads": ("loads", 1.0), "sum": ("sum", 1.0),
}  # fmt: skip
"""Units of prices: the unit of quantities they measure, and how much of it one is."""

NEEDED, WANTED = ("item", "unit", "price"), ("size", "allowance_percent", "note")
PRICE = re.compile(r"\d{1,9}(\.\d{1,4})?")
CURRENCY = re.compile(r"price(?:[ _(]+([a-z]{3})\)?)?")
MOST_ALLOWANCE = 200


@dataclass(frozen=True)
class Price:
    """One row: item and size as written, unit, price a unit, allowance in percent, line."""

    item: str
    size: str
    unit: str
    price: Decimal
    allowance_percent: Decimal
    line: int

    @property
    def key(self) -> tuple[str, str]:
        """What it is the price of, however it is spelt in capitals and spaces."""
        return key_of(self.item, self.size)


@dataclass(frozen=True)
class PriceList:
    """The rows of a file, by its name; the currency is "" where the file does not say."""

    file: str
    currency: str
    prices: tuple[Price, ...]


def key_of(item: str, size: str) -> tuple[str, str]:
    """An item and its size without regard to capitals and spaces."""
    return " ".join(item.casefold().split()), " ".join(size.casefold().split())


def read_prices(path: Path) -> PriceList:
    """The list of prices in a file. Raises SceneError with a line for every mistake."""
    try:
        text = text_of(read_capped(path, most_bytes=LIST_BYTES))
        rows = _rows(text)
    except ValueError as error:
        raise scene_error(path.name, [mistake_of(error, "")]) from None
    mistakes: list[Mistake] = []
    columns, currency = _columns(rows, mistakes)
    prices = [] if mistakes else list(_prices(rows[1:], columns, mistakes))
    if not mistakes and not prices:
        mistakes.append(Mistake("", "holds no price", "write a row under the header"))
    mistakes.extend(_twice(prices))
    if mistakes:
        raise scene_error(path.name, mistakes)
    return PriceList(path.name, currency, tuple(prices))


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """The rows that hold something, each with the line it ends on."""
    head = text.partition("\n")[0]
    reader = csv.reader(StringIO(text), delimiter=";" if head.count(";") > head.count(",") else ",")
    try:
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except csv.Error as error:
        wrong = f"line {reader.line_num} cannot be read ({error}); save it as CSV"
        raise ValueError(wrong) from None
    return [(line, row) for line, row in rows if any(row)]


def _columns(
    rows: list[tuple[int, list[str]]], mistakes: list[Mistake]
) -> tuple[dict[str, int], str]:
    """Where each column stands, and the currency that the column of prices names."""
    columns: dict[str, int] = {}
    currency = ""
    for place, written in enumerate(rows[0][1] if rows else []):
        word = written.casefold()
        priced = CURRENCY.fullmatch(word)
        if priced:
            word, currency = "price", (priced[1] or "").upper()
        if word and word not in (*NEEDED, *WANTED):
            close = nearest(word, (*NEEDED, *WANTED)) or (*NEEDED, *WANTED)
            remedy = f"write one of {', '.join(close)}"
            mistakes.append(Mistake("line 1", f"{shown(written)} is not a column", remedy))
        columns.setdefault(word, place)
    lacking = [word for word in NEEDED if word not in columns]
    if lacking and not mistakes:
        remedy = "begin with a header like item,size,unit,price,allowance_percent"
        mistakes.append(Mistake("line 1", f"no column {' and '.join(lacking)}", remedy))
    return columns, currency


def _prices(
    rows: Iterable[tuple[int, list[str]]], columns: dict[str, int], mistakes: list[Mistake]
) -> Iterator[Price]:
    for line, row in rows:

        def cell(name: str, row: list[str] = row) -> str:
            place = columns.get(name, len(row))
            return row[place] if place < len(row) else ""

        if len(row) > len(columns):
            wrong = f"{len(row)} cells, and {len(columns)} columns"
            mistakes.append(Mistake(f"line {line}", wrong, "put text that has commas in quotes"))
            continue
        found = list(_wrong(cell("item"), cell("unit"), cell("price"), cell("allowance_percent")))
        mistakes.extend(Mistake(f"line {line}", wrong, remedy) for wrong, remedy in found)
        if not found:
            yield Price(
                item=cell("item"), size=cell("size"), unit=cell("unit").casefold(),
                price=Decimal(cell("price")),
                allowance_percent=Decimal(cell("allowance_percent") or "0"), line=line,
            )  # fmt: skip


def _wrong(item: str, unit: str, price: str, allowance: str) -> Iterator[tuple[str, str]]:
    """What is wrong with a row, and what would be right."""
    if not item:
        yield "no item", "name a plant or a unit of work"
    if unit.casefold() not in UNITS:
        yield f"{shown(unit)} is not a unit", f"write one of {', '.join(UNITS)}"
    if not PRICE.fullmatch(price):
        yield f"{shown(price)} is not a price", "write digits and a point, like 12.50"
    if allowance and (not PRICE.fullmatch(allowance) or Decimal(allowance) > MOST_ALLOWANCE):
        remedy = f"write percent from 0 to {MOST_ALLOWANCE}, like 5"
        yield f"{shown(allowance)} is not an allowance", remedy


def _twice(prices: Iterable[Price]) -> Iterator[Mistake]:
    """Items that have two prices."""
    seen: dict[tuple[str, str], int] = {}
    for price in prices:
        if price.key in seen:
            wrong = f"{shown(price.item)} {price.size}".strip() + " has a price already"
            remedy = f"leave one of lines {seen[price.key]} and {price.line}"
            yield Mistake(f"line {price.line}", wrong, remedy)
        seen.setdefault(price.key, price.line)
