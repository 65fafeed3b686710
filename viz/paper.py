"""Papers of a yard: single HTML files made to be printed, read offline and kept with a file.

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
from viz.outfile import written
from viz.typed import add_maker, html_file
from viz.units import area_text
from viz.words import long_date

HERE = Path(__file__).parent

DIGITS = 12
"""Digits of the mark that tells one state of a document from another."""

LOCAL = (
    "Rules named here are examples of their places and dates, or the document's own words. "
    "Check your local code; it, and licensed practice, govern."
)


def paper(template: str, words: Mapping[str, Any]) -> str:
    """The whole paper from one of our templates, its words escaped."""
    style = "".join((HERE / name).read_text(encoding="utf-8") for name in ("page.css", "paper.css"))
    return _environment().get_template(template).render(page=words, style=style)


def write_paper(out: Path, template: str, words: Mapping[str, Any]) -> None:
    """Write a paper whole or not at all. Raises ShowError where it cannot be written."""
    text = paper(template, words)
    written(out, lambda beside: beside.write_text(text, encoding="utf-8"))


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
    """The options that HTML papers share: the yard, where it goes, who made it, and when."""
    parser.add_argument("yard", type=Path, metavar="YARD")
    parser.add_argument("--out", type=html_file, required=True, metavar="F.html")
    add_maker(parser)
