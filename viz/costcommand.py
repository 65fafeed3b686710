"""The command `yardyears cost`: what a yard costs by a list of prices.

The list is named on the command line, not in the document: prices are the maker's own, change
with the season, and the document goes to client and officer.
"""

import argparse
import json
from pathlib import Path

from rich.console import Console

import scenes
from scenes.costs import Costs, costs
from scenes.document import Yard
from scenes.layout import Layout
from scenes.pricelist import PriceList, read_prices
from scenes.quantities import quantities
from scenes.terrain import Terrain
from viz.costtable import as_csv, as_json, print_costs
from viz.outfile import may_be_written, written
from viz.typed import file_named

CSV = file_named(".csv", wrong="is not a table; name it like costs.csv")


def add_options(cost: argparse.ArgumentParser) -> None:
    """Gives the parser of `cost` its options."""
    cost.add_argument("yard", type=Path, metavar="YARD")
    cost.add_argument("--prices", type=Path, required=True, metavar="F.csv", help="item,unit,price")
    cost.add_argument("--out", type=CSV, metavar="F.csv", help="also write it as CSV")
    cost.add_argument("--json", action="store_true", help="one JSON document on stdout")
    cost.set_defaults(run=run_cost)


def run_cost(args: argparse.Namespace) -> int:
    """`yardyears cost`: lines, totals and what has no price."""
    if args.out:
        may_be_written(args.out)
    listed = read_prices(args.prices)
    yard = scenes.load(args.yard)
    terrain = scenes.grade(yard)
    found = costs_of(listed, yard, terrain, scenes.lay_out(yard, terrain))
    if args.out:
        text = as_csv(found)
        written(args.out, lambda beside: beside.write_text(text, encoding="utf-8", newline=""))
    if args.json:
        print(json.dumps(as_json(found, title=yard.title), allow_nan=False))
    else:
        print_costs(Console(), found, title=yard.title, lengths=yard.lengths)
    return 0


def costs_of(listed: PriceList, yard: Yard, terrain: Terrain, layout: Layout) -> Costs:
    """The costs of a yard by a list of prices."""
    return costs(listed, quantities(yard, terrain, layout), terrain.earth)
