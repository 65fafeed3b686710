"""What a yard costs by a list of prices: lines, allowances, totals, and what has no price.

Amounts are those of the quantities and of the earth, waste of the document included. They are
rounded to hundredths of the price's unit (counts are whole), and every sum is made of the figures
told, to the cent, so that it can be done again by hand. No price is invented: an item without one
is named, and the total is without it.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from scenes.earthwork import Earthwork
from scenes.errors import Mistake, scene_error, shown
from scenes.pricelist import UNITS, Price, PriceList, key_of
from scenes.quantities import Quantity
from scenes.soils import loose_m3

CENT = Decimal("0.01")
LEAST_M3 = 0.005
"""Volumes that round to nothing are not named."""

LEFT_OUT = (
    "Not counted: houses, walls, fences, drains, trenches and irrigation, permits, taxes, and "
    "work that no row prices. Amounts are those of the plan; measure on site before ordering."
)


@dataclass(frozen=True)
class CostLine:
    """An item with its price: amount in the price's unit, sum, allowance and both together."""

    item: str
    size: str
    amount: Decimal
    unit: str
    price: Decimal
    sum: Decimal
    allowance_percent: Decimal
    allowance: Decimal
    total: Decimal


@dataclass(frozen=True)
class Costs:
    """Lines with a price, quantities without one, prices of nothing here, and totals."""

    file: str
    currency: str
    lines: tuple[CostLine, ...]
    no_price: tuple[Quantity, ...]
    unused: tuple[str, ...] = ()

    @property
    def sum(self) -> Decimal:
        """The lines before allowances."""
        return sum((line.sum for line in self.lines), Decimal("0.00"))

    @property
    def allowance(self) -> Decimal:
        """All allowances."""
        return sum((line.allowance for line in self.lines), Decimal("0.00"))

    @property
    def total(self) -> Decimal:
        """The lines with their allowances."""
        return self.sum + self.allowance


def costs(listed: PriceList, quantities: Sequence[Quantity], earth: Earthwork) -> Costs:
    """The costs of a yard. Raises SceneError where a price has a unit its item is not measured in.

    Items come in the order of the quantities, sums of their own last.
    """
    items = _gathered([*earth_quantities(earth), *(q for q in quantities if q.work)])
    prices = {price.key: price for price in listed.prices}
    mistakes = [mistake for item in items for mistake in _other_unit(item, items, prices)]
    if mistakes:
        raise scene_error(listed.file, dict.fromkeys(mistakes))
    lines = [_line(price, item) for item in items for price in _priced(item, prices)]
    sums = [_line(price, None) for price in listed.prices if price.unit == "sum"]
    used = {_price_of(item, prices) for item in items}
    others = (price for price in listed.prices if price not in used and price.unit != "sum")
    return Costs(
        listed.file, listed.currency, (*lines, *sums),
        no_price=tuple(_unpriced(items, prices)),
        unused=tuple(f"{price.item} {price.size}".strip() for price in others),
    )  # fmt: skip


def earth_quantities(earth: Earthwork) -> Iterator[Quantity]:
    """Soil that moves: cut in the bank, fill in place, and what trucks carry, loose."""
    carried = {"soil in": earth.balance.import_m3, "soil out": earth.balance.export_m3}
    moved = {"excavation": earth.cut_m3, "fill": earth.fill_m3, "stripping": earth.strip_m3}
    for work, volume_m3 in moved.items():
        if volume_m3 >= LEAST_M3:
            yield Quantity(work, volume_m3, "m3", work)
    for work, bank_m3 in carried.items():
        carted_m3 = loose_m3(bank_m3, earth.soil)
        if carted_m3 >= LEAST_M3:
            yield Quantity(f"{work}, loose", carted_m3, "m3", work)
            loads = math.ceil(carted_m3 / earth.truck_m3 - 1e-9)
            yield Quantity(f"{work}, loads", loads, "loads", work)


def _gathered(found: Iterable[Quantity]) -> list[Quantity]:
    """One quantity for each work, size and unit."""
    by: dict[tuple[str, str, str], Quantity] = {}
    for each in found:
        key = each.work, each.size, each.unit
        amount = by[key].amount + each.amount if key in by else each.amount
        by[key] = replace(each, item=each.work, amount=amount)
    return list(by.values())


def _listed(item: Quantity, prices: dict[tuple[str, str], Price]) -> Price | None:
    """The row of an item in its size, else in any size."""
    return prices.get(key_of(item.work, item.size)) or prices.get(key_of(item.work, ""))


def _price_of(item: Quantity, prices: dict[tuple[str, str], Price]) -> Price | None:
    """The price of one unit of an item; None where it has none, or one sum for the whole."""
    row = _listed(item, prices)
    return None if row is None or row.unit == "sum" else row


def _priced(item: Quantity, prices: dict[tuple[str, str], Price]) -> Iterator[Price]:
    price = _price_of(item, prices)
    if price is not None and UNITS[price.unit][0] == item.unit:
        yield price


def _unpriced(
    items: Sequence[Quantity], prices: dict[tuple[str, str], Price]
) -> Iterator[Quantity]:
    """Items without a price, once each, in the unit that comes first."""
    named: set[tuple[str, str]] = set()
    for item in items:
        key = key_of(item.work, item.size)
        if _listed(item, prices) is None and key not in named:
            named.add(key)
            yield item


def _other_unit(
    item: Quantity, items: Sequence[Quantity], prices: dict[tuple[str, str], Price]
) -> Iterator[Mistake]:
    """A price in a unit that its item is not measured in."""
    price = _price_of(item, prices)
    measured = {one.unit for one in items if (one.work, one.size) == (item.work, item.size)}
    if price is not None and UNITS[price.unit][0] not in measured:
        fitting = [unit for unit, (measures, _) in UNITS.items() if measures in measured]
        wrong = f"{shown(price.item)} is not measured in {price.unit}"
        yield Mistake(f"line {price.line}", wrong, f"write its unit as {' or '.join(fitting)}")


def _line(price: Price, item: Quantity | None) -> CostLine:
    """An item at its price; a sum of its own where there is no item."""
    amount = Decimal(1) if item is None else _amount(item, price.unit)
    worth = _cents(amount * price.price)
    allowance = _cents(worth * price.allowance_percent / 100)
    return CostLine(
        item=price.item if item is None else item.work,
        size="" if item is None else item.size,
        amount=amount,
        unit=price.unit,
        price=price.price,
        sum=worth,
        allowance_percent=price.allowance_percent,
        allowance=allowance,
        total=worth + allowance,
    )


def _amount(item: Quantity, unit: str) -> Decimal:
    measures, one = UNITS[unit]
    if measures in ("m", "m2", "m3"):
        return _cents(Decimal(str(item.amount / one)))
    return Decimal(round(item.amount))


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)
