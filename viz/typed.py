"""What may be typed after several commands: yards, years, months, days, names of files, options.

What cannot be read is refused in one line that says what may be written.
"""

import argparse
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from growth.seasons import MONTHS
from viz.errors import WrongYardError

LAST_YEAR = 30
MOST_YARDS = 2


def add_month(parser: argparse.ArgumentParser) -> None:
    """The option of a picture's month."""
    parser.add_argument("--month", type=read_month, help="1 to 12 or its name; else early summer")


def add_maker(parser: argparse.ArgumentParser) -> None:
    """The options of who made a paper, and when."""
    parser.add_argument("--by", metavar="NAME", help="who made it, as it is to stand on it")
    parser.add_argument(
        "--date", type=read_day, default=date.today(), metavar="DAY",
        help="like 2027-03-15; else today",
    )  # fmt: skip


def one_or_two(yards: Sequence[Path]) -> tuple[Path, Path | None]:
    """The first yard, and the second or None; WrongYardError for more."""
    if len(yards) > MOST_YARDS:
        raise WrongYardError(
            f"{len(yards)} yards cannot be shown together; name one, or two to see side by side"
        )
    return yards[0], yards[1] if len(yards) == MOST_YARDS else None


def read_year(text: str) -> int:
    """A year from 0 to 30."""
    if not text.isascii() or not text.isdigit() or int(text) > LAST_YEAR:
        raise argparse.ArgumentTypeError(f"{text} is not a year from 0 to {LAST_YEAR}")
    return int(text)


def read_month(text: str) -> int:
    """A month, by its number or its name."""
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 12:
        return int(text)
    named = [n for n, name in enumerate(MONTHS, 1) if name.startswith(text.lower())]
    if len(text) < 3 or len(named) != 1:
        raise argparse.ArgumentTypeError(f"{text} is not a month; write 1 to 12 or its name")
    return named[0]


def read_day(text: str) -> date:
    """A day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        wrong = f"{text} is not a day; write it like 2027-03-15"
        raise argparse.ArgumentTypeError(wrong) from None


def file_named(*endings: str, wrong: str) -> Callable[[str], Path]:
    """Reads the name of a file that has one of some endings; `wrong` is said of any other."""

    def read(text: str) -> Path:
        if not text.lower().endswith(endings):
            raise argparse.ArgumentTypeError(f"{text} {wrong}")
        return Path(text)

    return read


html_file = file_named(".html", ".htm", wrong="is not a page; name it like yard.html")
paper_file = file_named(
    ".html", ".htm", ".pdf", wrong="is no paper; name it like yard.html or yard.pdf"
)
