"""Papers of a yard: single HTML files or PDF, to be printed, read offline and kept with a file.

A paper holds no script and asks nothing of any network. Its text is escaped by the templates
themselves. Colours are the pages' own; in print it is black on white.
"""

import argparse
from collections.abc import Mapping
from datetime import date
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from scenes.document import Yard
from viz.outfile import may_be_written, written
from viz.printing import browser, printed
from viz.typed import add_maker, paper_file
from viz.units import area_text, imperial
from viz.words import long_date

HERE = Path(__file__).parent

DIGITS = 12
"""Digits of the mark that tells one state of a document from another."""

LOCAL = (
    "Rules named here are examples of their places and dates, or the document's own words. "
    "Check your local code; it, and licensed practice, govern."
)


def paper(template: str, words: Mapping[str, Any], *, size: str = "") -> str:
    """The whole paper from one of our templates, its words escaped; for one size of sheet, or
    for whatever it is printed on."""
    style = "".join((HERE / name).read_text(encoding="utf-8") for name in ("page.css", "paper.css"))
    style += f"@page {{ size: {size}; }}" if size else ""
    return _environment().get_template(template).render(page=words, style=style)


def write_paper(out: Path, template: str, words: Mapping[str, Any], *, lengths: str) -> None:
    """Write a paper whole or not at all, as a page or, by its ending, as PDF.

    A PDF is on letter or A4, by the document's unit. Raises ShowError where it cannot be written.
    """
    if out.suffix.lower() == ".pdf":
        text = paper(template, words, size="letter" if imperial(lengths) else "A4")
        written(out, lambda beside: printed(text, beside))
    else:
        text = paper(template, words)
        written(out, lambda beside: beside.write_text(text, encoding="utf-8"))


def may_be_made(out: Path) -> None:
    """Refuse a paper before the work for it is done. Raises ShowError where it cannot be made."""
    may_be_written(out)
    if out.suffix.lower() == ".pdf":
        browser()


def opened(out: Path) -> str:
    """What to do with a paper that was written."""
    if out.suffix.lower() == ".pdf":
        return "print it at 100 %"
    return "open it in a browser to read or print it"


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(HERE),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )


def facts(yard: Yard, *, lot_m2: float, by: str | None, day: date) -> list[tuple[str, str]]:
    """What a paper says of itself and its yard: words and values, what is not known left out."""
    site = yard.site
    planted = "" if site.planted is None else long_date(site.planted)
    zone = "" if site.hardiness_zone is None else str(site.hardiness_zone)
    told = [
        ("Place", site.place or ""),
        ("Lot", area_text(lot_m2, lengths=yard.lengths)),
        ("Planted", planted),
        ("Hardiness zone", zone),
        ("Made by", by or ""),
        ("Date", long_date(day)),
        ("Document", f"{yard.path.name}, {mark(yard.path)}"),
    ]
    return [(what, value) for what, value in told if value]


def mark(document: Path) -> str:
    """A mark that changes with every change of the document: the start of its SHA-256."""
    return f"SHA-256 {sha256(document.read_bytes()).hexdigest()[:DIGITS]}"


def add_paper_options(parser: argparse.ArgumentParser) -> None:
    """The options that papers share: the yard, where it goes, who made it, and when."""
    parser.add_argument("yard", type=Path, metavar="YARD")
    parser.add_argument(
        "--out", type=paper_file, required=True, metavar="F.html",
        help="or F.pdf, which takes a browser to print with",
    )  # fmt: skip
    add_maker(parser)
