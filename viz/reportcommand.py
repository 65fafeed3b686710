"""The command `yardyears report`: pictures, charts, conditions, care, quantities and costs."""

import argparse
import sys
from pathlib import Path

from rich.console import Console

import scenes
from scenes.pricelist import read_prices
from viz.checker import planned
from viz.costcommand import costs_of
from viz.paper import add_paper_options, may_be_made, opened, write_paper
from viz.yardreport import report_words
from viz.yearsheets import shown_views, year_sheets


def add_options(report: argparse.ArgumentParser) -> None:
    """Gives the parser of `report` its options."""
    add_paper_options(report)
    report.add_argument("--prices", type=Path, metavar="F.csv", help="a list of prices: costs too")
    report.add_argument(
        "--view", action="append", metavar="V", help="a view to show, again for more; else all"
    )
    report.set_defaults(run=run_report)


def run_report(args: argparse.Namespace) -> int:
    """`yardyears report`: one file with everything."""
    may_be_made(args.out)
    listed = read_prices(args.prices) if args.prices else None
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        found = planned(yard)
        priced = costs_of(listed, yard, found.terrain, found.layout) if listed else None
        views = args.view or shown_views(found)
        sheets, no_pictures = year_sheets(found, views, telling=status.update)
        words = report_words(
            found, by=args.by, day=args.date,
            sheets=sheets, no_pictures=no_pictures, priced=priced,
        )  # fmt: skip
    write_paper(args.out, "yardreport.html", words, lengths=yard.lengths)
    if no_pictures:
        print(f"without pictures: {no_pictures}", file=sys.stderr)
    size_mb = args.out.stat().st_size / 1e6
    print(f"{args.out} ({size_mb:.1f} MB); {opened(args.out)}")
    return 0
