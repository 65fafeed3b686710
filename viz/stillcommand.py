"""The command `yardyears still`: pictures of one yard as PNG files, and sheets of several years.

Month and hour are those of the middle day of a month, in mean solar time. A still without them
is taken in June (December south of the equator), at ten or at three, whichever has the sun behind
the viewer, and nearer noon where the sun is low by then.
"""

import argparse
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PIL import Image
from rich.console import Console

import scenes
from scenes.document import Yard
from viz.grown import grown
from viz.months import summer_month
from viz.outfile import may_be_written
from viz.stillprocess import drawing
from viz.stillsheet import sheet, write_png
from viz.stillsun import light_at, usual_hour
from viz.stillwords import Asked, caption, heading
from viz.typed import add_month, file_named, read_year
from viz.views import WHOLE_YARD

NARROWEST, WIDEST, USUAL_WIDTH = 320, 3840, 1600
MOST_YEARS = 12
PNG = file_named(".png", wrong="is not a PNG picture; name it like yard.png")


def add_options(still: argparse.ArgumentParser) -> None:
    """Gives the parser of `still` its options."""
    still.add_argument("yard", type=Path, metavar="YARD")
    when = still.add_mutually_exclusive_group(required=True)
    when.add_argument("--year", type=read_year, metavar="Y", help="0, the day of planting, to 30")
    when.add_argument("--years", type=_years, metavar="Y,Y,...", help="like 0,1,5,15: one sheet")
    still.add_argument(
        "--view", default=WHOLE_YARD, metavar="V", help='a view by its name, or "Plan"'
    )
    still.add_argument("--out", type=PNG, required=True, metavar="F.png")
    add_month(still)
    still.add_argument("--hour", type=_hour, help="0 to 24 by the sun; else 10 or 15")
    still.add_argument("--width", type=_width, default=USUAL_WIDTH, help="320 to 3840 pixels")
    still.add_argument("--person", action="store_true", help="a person of 1.7 m, for scale")
    still.set_defaults(run=run_still)


def run_still(args: argparse.Namespace) -> int:
    """`yardyears still`: one picture, or one sheet with captions."""
    may_be_written(args.out)
    yard = scenes.load(args.yard)
    month = args.month or summer_month(yard.site)
    if args.hour is not None:
        light_at(yard.site, month=month, hour=args.hour)  # refuses a night before any work
    asked = Asked(args.years or (args.year,), args.view, month, args.hour, args.width, args.person)
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        picture, told = taken(yard, asked, telling=status.update)
    write_png(picture, args.out, told)
    print(f"{args.out} ({picture.width} x {picture.height}): {told}")
    return 0


def taken(yard: Yard, asked: Asked, *, telling: Callable[[str], object]) -> tuple[Image.Image, str]:
    """The picture or sheet that is asked for, and its caption in one line."""
    pictures: list[Image.Image] = []
    with drawing() as draw:  # opens its graphics library while the yard grows
        terrain, layout, stand = grown(yard)
        from viz.stills import tableaux, view_asked  # loads PyVista, half a second

        view = view_asked(yard, terrain, layout, stand, asked.view)
        if asked.hour is None:
            hour = usual_hour(yard.site, view.eye_m, view.focal_m, month=asked.month)
            asked = replace(asked, hour=hour)
        for shown in tableaux(yard, terrain, layout, stand, view, asked):
            telling(f"Drawing year {asked.years[len(pictures)]} ...")
            pictures.append(Image.fromarray(draw(shown)))
    words = heading(yard, terrain, view, asked)
    captions = [caption(stand, year) for year in asked.years]
    if len(pictures) == 1:
        return pictures[0], f"{captions[0]}; {words}"
    made = sheet(
        pictures, captions, title=yard.title, heading=words, width=asked.width, gap=asked.gap
    )
    return made, words


def _years(text: str) -> tuple[int, ...]:
    years = tuple(dict.fromkeys(read_year(part.strip()) for part in text.split(",")))
    if len(years) > MOST_YEARS:
        raise argparse.ArgumentTypeError(f"{len(years)} years are too many for a sheet of 12")
    return years


def _hour(text: str) -> float:
    try:
        hours, _, minutes = text.partition(":")
        hour = float(hours) + float(minutes or 0) / 60
    except ValueError:
        hour = -1.0
    if not 0 <= hour <= 24:
        raise argparse.ArgumentTypeError(f"{text} is not an hour; write it like 15 or 15:30")
    return hour


def _width(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not NARROWEST <= int(text) <= WIDEST:
        raise argparse.ArgumentTypeError(f"{text} is not a width from {NARROWEST} to {WIDEST}")
    return int(text)
