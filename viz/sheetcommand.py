"""The command `yardyears sheet`: the conditions of a yard with their arithmetic, as one page."""

import argparse

from rich.console import Console

import scenes
from viz.checker import planned
from viz.paper import add_paper_options, may_be_made, opened, write_paper
from viz.sheet import sheet_words


def add_options(sheet: argparse.ArgumentParser) -> None:
    """Gives the parser of `sheet` its options."""
    add_paper_options(sheet)
    sheet.set_defaults(run=run_sheet)


def run_sheet(args: argparse.Namespace) -> int:
    """`yardyears sheet`: one page for an officer."""
    may_be_made(args.out)
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ..."):
        words = sheet_words(planned(yard, light=False), by=args.by, day=args.date)
    write_paper(args.out, "sheet.html", words, lengths=yard.lengths)
    print(f"{args.out}: {words['heading']}; {opened(args.out)}")
    return 0
