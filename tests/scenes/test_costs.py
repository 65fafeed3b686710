"""Costs known by hand: amounts times prices, allowances, totals, and what has no price."""

from decimal import Decimal

import pytest

from scenes.costs import costs, earth_quantities
from scenes.earthwork import Earthwork
from scenes.errors import SceneError
from scenes.lengths import METRES
from scenes.pricelist import Price, PriceList
from scenes.quantities import Quantity
from scenes.soils import Balance, Soil

STILL = Earthwork(1.0, 0.0, 0.0, 0.0)
ROSES = Quantity("Rosa rugosa, #3", 7, "plants", "Rosa rugosa", "#3")
LARGE = Quantity("Rosa rugosa, #7", 2, "plants", "Rosa rugosa", "#7")
MULCH = [
    Quantity("bed a, mulch", 1.25, "m3", "mulch"),
    Quantity("bed b, mulch", 0.75, "m3", "mulch"),
]
SOD = [
    Quantity("lawn l, sod", 97.5, "m2", "sod"),
    Quantity("lawn l, sod of 10 sq ft", 105, "rolls", "sod"),
    Quantity("lawn l, sod of 450 sq ft", 3, "pallets", "sod"),
]


def row(item, unit, price, *, size="", allowance="0", line=2):
    return Price(item, size, unit, Decimal(price), Decimal(allowance), line)


def cost(*prices, of=(), earth=STILL):
    return costs(PriceList("prices.csv", "USD", prices), list(of), earth)


def test_two_beds_of_mulch_with_an_allowance():
    """1.25 and 0.75 m3 are 2 m3; at 80 and 10 percent more 160 and 16."""
    found = cost(row("mulch", "m3", "80", allowance="10"), of=MULCH)
    (line,) = found.lines
    assert (line.amount, line.sum, line.allowance) == (2, 160, 16)
    assert (found.sum, found.allowance, found.total) == (160, 16, 176)


def test_amounts_are_in_the_unit_of_the_price():
    """Three cubic yards, measured in cubic metres."""
    yards = Quantity("bed a, mulch", 3 * METRES["yd"] ** 3, "m3", "mulch")
    (line,) = cost(row("mulch", "yd3", "62.50"), of=[yards]).lines
    assert (line.amount, line.unit, line.sum) == (3, "yd3", Decimal("187.50"))


def test_a_plants_own_size_goes_before_any_size():
    prices = row("rosa  RUGOSA", "each", "10"), row("Rosa rugosa", "each", "18", size="#3")
    found = cost(*prices, of=[ROSES, LARGE])
    assert [(line.size, line.sum) for line in found.lines] == [("#3", 126), ("#7", 20)]


def test_sums_are_made_of_the_figures_told():
    """0.333 m3 is told as 0.33; 0.33 times 9.99 is 3.2967, told as 3.30."""
    third = Quantity("bed a, mulch", 0.333, "m3", "mulch")
    (line,) = cost(row("mulch", "m3", "9.99"), of=[third]).lines
    assert (line.amount, line.sum) == (Decimal("0.33"), Decimal("3.30"))


def test_what_has_no_price_is_named_and_not_summed():
    found = cost(row("mulch", "m3", "80"), of=[*MULCH, ROSES, *SOD])
    assert [(one.work, one.amount, one.unit) for one in found.no_price] == [
        ("Rosa rugosa", 7, "plants"),
        ("sod", 97.5, "m2"),
    ]
    assert found.total == 160


@pytest.mark.parametrize(("unit", "worth"), [("m2", 195), ("rolls", 210), ("pallets", 6)])
def test_sod_is_priced_in_one_of_its_units(unit, worth):
    found = cost(row("sod", unit, "2"), of=SOD)
    assert found.total == worth
    assert not found.no_price


def test_sums_of_their_own_and_prices_of_nothing_here():
    found = cost(row("lighting", "sum", "1500", allowance="10"), row("kerb", "m", "9"), of=MULCH)
    assert found.total == 1650
    assert found.unused == ("kerb",)


def test_an_item_may_have_one_sum_for_the_whole_of_it():
    """Mulch for 500 in all, whatever its amount; the roses are still without a price."""
    found = cost(row("Mulch", "sum", "500"), of=[*MULCH, ROSES])
    (line,) = found.lines
    assert (line.amount, line.unit, found.total) == (1, "sum", 500)
    assert [one.work for one in found.no_price] == ["Rosa rugosa"]
    assert not found.unused


def test_a_price_in_another_unit_is_refused():
    said = r'prices.csv: line 2: "mulch" is not measured in m2; write its unit as m3 or ft3 or yd3'
    with pytest.raises(SceneError, match=said):
        cost(row("mulch", "m2", "4"), of=MULCH)


def test_soil_is_dug_in_the_bank_and_carted_loose():
    """40 m3 out of the bank are 50 m3 loose at a quarter more: 6 trucks of 9 m3."""
    earth = Earthwork(
        1.0, 60.0, 18.0, -42.0,
        soil=Soil("t", 0.25, 0.10), balance=Balance(20.0, 0.0, 40.0), truck_m3=9.0,
    )  # fmt: skip
    found = {(one.work, one.unit): one.amount for one in earth_quantities(earth)}
    assert found == {
        ("excavation", "m3"): 60.0, ("fill", "m3"): 18.0,
        ("soil out", "m3"): 50.0, ("soil out", "loads"): 6,
    }  # fmt: skip
    assert cost(row("soil out", "loads", "300"), earth=earth).total == 1800
