"""Costs on their way out: money in words, totals that say what they are without, CSV."""

import csv
import json
from decimal import Decimal
from io import StringIO
from pathlib import Path

import scenes
from scenes.costs import CostLine, Costs
from scenes.quantities import Quantity
from viz.__main__ import main
from viz.costtable import as_csv, as_json, cost_rows, money, total_words

SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"
LINE = CostLine(
    "=cmd|' /C calc'!A0", "+1", Decimal("2.00"), "m3", Decimal(600), Decimal("1200.00"),
    Decimal(5), Decimal("60.00"), Decimal("1260.00"),
)  # fmt: skip
COSTS = Costs("p.csv", "USD", (LINE,), (Quantity("rose", 3, "plants", "@rose", "#3"),))


def test_the_total_says_what_it_is_without():
    assert total_words(COSTS) == (
        "Total 1,260.00 USD (1,200.00 and 60.00 of allowances), by p.csv; "
        "without 1 item that no price is given for."
    )


def test_rows_end_with_their_totals():
    first, last = cost_rows(COSTS)
    assert first[2:] == ("2.00 m3", "600.00", "1,200.00", "60.00 (5 %)", "1,260.00")
    assert last[4:] == ("1,200.00", "60.00", "1,260.00")
    assert money(Decimal("0.5")) == "0.50"


def test_no_cell_of_the_csv_is_a_formula():
    rows = list(csv.reader(StringIO(as_csv(COSTS))))
    assert rows[1][:2] == ["'=cmd|' /C calc'!A0", "'+1"]
    assert rows[2][0] == "'@rose"
    assert rows[2][4] == "no price given"
    assert {len(row) for row in rows} == {9}


def test_the_record_is_plain():
    found = json.loads(json.dumps(as_json(COSTS, title="t"), allow_nan=False))
    assert (found["total"], found["complete"]) == (1260.0, False)
    assert found["no_price"] == [{"item": "@rose", "size": "#3", "amount": 3, "unit": "plants"}]


def test_the_command_prices_the_small_yard(tmp_path, capsys):
    """Two hydrangeas at 20 are 40, and 10 percent more 44."""
    prices = tmp_path / "p.csv"
    prices.write_text("item,unit,price,allowance_percent\nHydrangea arborescens,each,20,10\n")
    out = tmp_path / "costs.csv"
    asked = ["cost", str(SMALL), "--prices", str(prices), "--json", "--out", str(out)]
    assert main(asked) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["sum"], found["allowance"], found["total"]) == (40.0, 4.0, 44.0)
    assert "Hydrangea arborescens,#3,each,2,20,40.00,10,4.00,44.00" in out.read_text()


def test_a_mistake_in_the_list_is_bad_input(tmp_path, capsys):
    prices = tmp_path / "p.csv"
    prices.write_text("item,unit,price\nmulch,m2,4\n")
    assert main(["cost", str(SMALL), "--prices", str(prices)]) == 2
    assert 'p.csv: line 2: "mulch" is not measured in m2' in capsys.readouterr().err
