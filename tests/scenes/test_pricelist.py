"""Lists of prices: what is read, and what is refused with its line and the way out."""

from decimal import Decimal

import pytest

from scenes.errors import SceneError
from scenes.pricelist import UNITS, read_prices

HEAD = "item,size,unit,price,allowance_percent\n"


@pytest.fixture
def read(tmp_path):
    def of(text):
        path = tmp_path / "prices.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_prices(path)

    return of


def test_rows_are_read_as_written(read):
    found = read(HEAD + "Rosa rugosa,#3,each,18.50,\n mulch ,,YD3,62,10\n")
    rose, mulch = found.prices
    assert (rose.item, rose.size, rose.price) == ("Rosa rugosa", "#3", Decimal("18.50"))
    assert (mulch.item, mulch.unit, mulch.allowance_percent) == ("mulch", "yd3", Decimal(10))
    assert (mulch.line, found.currency) == (3, "")


@pytest.mark.parametrize("head", ["item,unit,price USD", "item;unit;Price (usd)"])
def test_the_header_may_name_the_currency(read, head):
    joint = ";" if ";" in head else ","
    found = read(f"{head}\n{joint.join(('mulch', 'm3', '80'))}\n")
    assert (found.currency, found.prices[0].price) == ("USD", Decimal(80))


def test_units_hold_what_they_should():
    """27 cubic feet are a cubic yard; a foot is 0.3048 m."""
    assert UNITS["yd3"][1] == pytest.approx(27 * UNITS["ft3"][1])
    assert UNITS["ft"] == ("m", 0.3048)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + "mulch,,m3,$80,", 'prices.csv: line 2: "$80" is not a price; write digits and a'),
        (HEAD + '"mulch",,m3,"12,50",', 'line 2: "12,50" is not a price; write digits and a point'),
        (HEAD + "mulch,,m3,-1,", 'line 2: "-1" is not a price'),
        (HEAD + "mulch,,m3,nan,", 'line 2: "nan" is not a price'),
        (HEAD + "mulch,,m3,1e9,", 'line 2: "1e9" is not a price'),
        (HEAD + "mulch,,cubits,1,", 'line 2: "cubits" is not a unit; write one of m, ft'),
        (HEAD + "mulch,,m3,1,500", 'line 2: "500" is not an allowance; write percent from 0 to'),
        (HEAD + ",,m3,1,", "line 2: no item; name a plant or a unit of work"),
        (
            HEAD + "mulch,,m3,1,\n\nMulch,,m3,2,",
            '"Mulch" has a price already; leave one of lines 2',
        ),
        (HEAD + "a,b,c,d,e,f", "line 2: 6 cells, and 5 columns; put text that has commas in quo"),
        ("item,unit,prise\nmulch,m3,1", 'line 1: "prise" is not a column; write one of price'),
        ("item,unit\nmulch,m3", "line 1: no column price; begin with a header like item,size"),
        (HEAD, "prices.csv: holds no price; write a row under the header"),
        ("", "line 1: no column item and unit and price"),
        (b"\xff\xfe\x00", "prices.csv: is not text; save it as UTF-8 text"),
    ],
)
def test_mistakes_are_told_with_their_line(read, text, said):
    with pytest.raises(SceneError) as mistake:
        read(text)
    assert said in str(mistake.value)


def test_a_list_that_is_not_there_is_told(tmp_path):
    with pytest.raises(SceneError, match=r"none\.csv: is not there; name a file that is"):
        read_prices(tmp_path / "none.csv")
