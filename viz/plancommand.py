"""The command `yardyears plan`: the planting plan to scale, its schedule, or both as data.

The ending of the file says what is written: .pdf with all sheets; .svg or .png, where a second
sheet goes to a file of its own beside the first; .csv the schedule; .geojson the places.
"""

import argparse
from datetime import date
from functools import partial
from pathlib import Path

from rich.console import Console

import scenes
from viz.grown import grown
from viz.outfile import may_be_written, written
from viz.plan import Asked, Plan, plan
from viz.plangeo import as_geojson
from viz.planschedule import as_csv, schedule, total_words
from viz.plansheet import SHEETS, Scale, read_scale
from viz.typed import add_maker, file_named, read_year
from viz.units import imperial

ENDINGS = (".pdf", ".svg", ".png", ".csv", ".geojson")
DATA = (".csv", ".geojson")
USUAL_YEAR = 15
PLAN = file_named(
    *ENDINGS, wrong=f"is not a plan; name it like plan.pdf, or with {', '.join(ENDINGS[1:])}"
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Gives the parser of `plan` its options."""
    parser.add_argument("yard", type=Path, metavar="YARD")
    parser.add_argument(
        "--out", type=PLAN, required=True, metavar="F.pdf",
        help="or .svg, .png; .csv is the schedule alone, .geojson the places",
    )  # fmt: skip
    parser.add_argument("--sheet", type=_sheet, metavar="SHEET", help=f"{', '.join(SHEETS)}")
    parser.add_argument("--scale", type=_scale, help='like 1:100, "1/8 in = 1 ft"; else what fits')
    parser.add_argument(
        "--year",
        type=read_year,
        default=USUAL_YEAR,
        help="plants as large as then, 0 to 30",
    )
    parser.add_argument(
        "--no-base-plan", action="store_true", help="leave out the picture under the plan"
    )
    add_maker(parser)
    parser.set_defaults(run=run_plan)


def run_plan(args: argparse.Namespace) -> int:
    """`yardyears plan`: one file, or one for each sheet."""
    may_be_written(args.out)
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ..."):
        terrain, layout, stand = grown(yard)
        if args.out.suffix.lower() in DATA:
            rows = schedule(yard, layout, stand)
            csv = args.out.suffix.lower() == ".csv"
            text = as_csv(rows) if csv else as_geojson(yard, layout, rows)
            files, told = {args.out: text.encode()}, total_words(rows)
        else:
            sheet = args.sheet or ("tabloid" if imperial(yard.lengths) else "A3")
            asked = Asked(
                sheet, args.scale, args.year, args.by or "", args.date, not args.no_base_plan
            )
            made = plan(yard, terrain, layout, stand, asked)
            files = _sheets(made, args.out, title=yard.title, day=asked.day)
            scale = made.frame.scale.text
            told = f"{scale} on {sheet}, year {args.year}; {total_words(made.rows)}"
    for out, data in files.items():
        written(out, partial(_write, data=data))
    print(f"{', '.join(map(str, files))}: {told}")
    return 0


def _write(beside: Path, *, data: bytes) -> None:
    beside.write_bytes(data)


def _sheets(made: Plan, out: Path, *, title: str, day: date) -> dict[Path, bytes]:
    """Every file of a plan with what it holds."""
    from viz.plandraw import as_pdf, as_png, as_svg  # loads matplotlib, half a second

    ending = out.suffix.lower()
    if ending == ".pdf":
        return {out: as_pdf(made.pages, title=title, day=day)}
    names = [out, *(out.with_stem(f"{out.stem}-{n}") for n in range(2, len(made.pages) + 1))]
    if ending == ".svg":
        drawn = [as_svg(page, title=title, day=day) for page in made.pages]
    else:
        drawn = [as_png(page) for page in made.pages]
    return dict(zip(names, drawn, strict=True))


def _sheet(text: str) -> str:
    for name in SHEETS:
        if text.lower() == name.lower():
            return name
    raise argparse.ArgumentTypeError(f"{text} is not a sheet; write one of {', '.join(SHEETS)}")


def _scale(text: str) -> Scale:
    try:
        return read_scale(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
