"""The command `yardyears`: what a person types, and what comes back.

Exit codes: 0 well, 1 a requirement is not met, 2 bad input (one line a mistake on stderr),
3 something outside failed. With --json, stdout holds one JSON document and nothing else.
"""

import argparse
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from rich.console import Console
from rich.markup import escape

import growth
import scenes
from growth.checks.findings import Findings
from growth.checks.record import as_json
from growth.errors import GrowthError
from growth.plants import catalogue
from growth.search import as_json as plant_json
from growth.search import search
from scenes.errors import SceneError
from scenes.groundwork import as_json as ground_json
from scenes.groundwork import groundwork
from scenes.lengths import parse_length_m
from viz.checker import checked
from viz.costcommand import add_options as add_cost_options
from viz.errors import ShowError
from viz.groundreport import print_ground
from viz.modelcommand import add_options as add_model_options
from viz.paper import html_file
from viz.plantreport import none_found, print_course, print_plants
from viz.report import print_findings
from viz.reportcommand import add_options as add_report_options
from viz.sheetcommand import add_options as add_sheet_options
from viz.show import show
from viz.stillcommand import add_options as add_still_options

LIBRARY = Path(scenes.__file__).parent / "library"
DEMO_YARD = LIBRARY / "terrace.toml"
WELL, NOT_MET, BAD_INPUT, OUTSIDE = 0, 1, 2, 3
MOST_RAIN_MM_PER_H = 500
COURSE_YEARS = (0, 1, 2, 3, 5, 10, 15, 20, 30)


def exit_code(findings: Findings, *, by_expected: bool) -> int:
    """0 when every requirement is met (or likely, judged by the expected value), else 1."""
    enough = ("met", "likely") if by_expected else ("met",)
    return WELL if all(v.standing in enough for v in findings.requirements) else NOT_MET


def run_check(args: argparse.Namespace) -> int:
    """`yardyears check`: the checks and requirements of one yard."""
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        findings = checked(
            yard, advising=lambda name: status.update(f"Trying what would meet {escape(name)} ...")
        )
    if args.json:
        print(json.dumps(as_json(findings), allow_nan=False))
    else:
        print_findings(Console(), findings, lengths=yard.lengths, site=yard.site)
    return exit_code(findings, by_expected=args.expected)


def run_ground(args: argparse.Namespace) -> int:
    """`yardyears ground`: earth, falls, water, roots and quantities of one yard."""
    yard = scenes.load(args.yard)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    found = groundwork(yard, terrain, layout, rain_mm_per_h=args.rain)
    if args.json:
        print(json.dumps(ground_json(found), allow_nan=False))
    else:
        print_ground(Console(), found, lengths=yard.lengths)
    return WELL


def run_show(args: argparse.Namespace) -> int:
    """`yardyears show`: the yard in the browser until it is stopped."""
    show(args.yard or DEMO_YARD, port=args.port, open_browser=not args.no_browser)
    return WELL


def run_pack(args: argparse.Namespace) -> int:
    """`yardyears pack`: the pages of one yard as one file."""
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        from viz.pack import pack  # takes a second to load

        pack(
            args.yard,
            args.out,
            telling=lambda name: status.update(f"Trying what would meet {escape(name)} ..."),
        )
    size_mb = args.out.stat().st_size / 1e6
    print(f"{args.out} ({size_mb:.1f} MB) opens in any browser, without a network")
    return WELL


def run_grow(args: argparse.Namespace) -> int:
    """`yardyears grow`: one plant's course, with its range and source."""
    own = growth.plants_in_file(args.plants) if args.plants else {}
    climate = growth.Climate(place=args.place, zone=args.zone)
    course = growth.plant_course(
        args.plant, size=args.size, until=args.until, own=own, climate=climate
    )
    if args.json:
        print(json.dumps(course, allow_nan=False))
    else:
        print_course(Console(), course, [y for y in COURSE_YEARS if y <= args.until])
    return WELL


def run_plants(args: argparse.Namespace) -> int:
    """`yardyears plants`: the catalogue, narrowed by words and figures."""
    plants = list(catalogue().values())
    found = search(args.words, plants)
    if args.json:
        print(json.dumps([plant_json(plant) for plant in found.plants], allow_nan=False))
    elif found.plants:
        print_plants(Console(), found.plants, known=len(plants))
    if not found.plants:
        print(none_found(found, args.words), file=sys.stderr if args.json else sys.stdout)
    return WELL


def _port(text: str) -> int:
    if not text.isdigit() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"{text} is not a port; write 0 (any) to 65535")
    return int(text)


def _until(text: str) -> int:
    if not text.isdigit() or not 1 <= int(text) <= 30:
        raise argparse.ArgumentTypeError(f"{text} is not a year from 1 to 30")
    return int(text)


def _zone(text: str) -> int:
    if not text.isdigit() or not 1 <= int(text) <= 13:
        raise argparse.ArgumentTypeError(f"{text} is not a hardiness zone from 1 to 13")
    return int(text)


def _rain_mm_per_h(text: str) -> float:
    length, per, hour = text.rpartition("/")
    try:
        if not per or hour.strip() not in ("h", "hr", "hour"):
            raise ValueError(f'{text} is not a rain; write it like "2 in/h" or "50 mm/h"')
        rain_mm = 1000 * parse_length_m(length.strip(), unit=None)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    if not 0 < rain_mm <= MOST_RAIN_MM_PER_H:
        raise argparse.ArgumentTypeError(f"{text} is no rain there is; write up to 500 mm/h")
    return rain_mm


class Arguments(argparse.ArgumentParser):
    """A parser that says what is wrong in one line, without the usage before it."""

    def error(self, message: str) -> NoReturn:
        """Exit with code 2 and the mistake, and where to look for what may be written."""
        self.exit(BAD_INPUT, f"{self.prog}: {message}; see {self.prog} --help\n")


def command_line() -> argparse.ArgumentParser:
    """The commands and their options."""
    parser = Arguments(
        prog="yardyears", description="Grow a planned yard year by year, and see what goes wrong."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    show = commands.add_parser("show", help="the yard in the browser (the demo yard if none)")
    show.add_argument("yard", nargs="?", type=Path, metavar="YARD")
    show.add_argument("--port", type=_port, default=0, help="0, the default, takes a free one")
    show.add_argument("--no-browser", action="store_true", help="only print the address")
    show.set_defaults(run=run_show)

    check = commands.add_parser("check", help="the checks and requirements of a yard")
    check.add_argument("yard", type=Path, metavar="YARD")
    check.add_argument("--expected", action="store_true", help="judge by the expected value")
    check.add_argument("--json", action="store_true", help="one JSON document on stdout")
    check.set_defaults(run=run_check)

    ground = commands.add_parser("ground", help="earth, falls, water, root zones and quantities")
    ground.add_argument("yard", type=Path, metavar="YARD")
    ground.add_argument(
        "--rain", type=_rain_mm_per_h, metavar="RAIN", help='like "2 in/h": also print peak flows'
    )
    ground.add_argument("--json", action="store_true", help="one JSON document on stdout")
    ground.set_defaults(run=run_ground)

    pack = commands.add_parser("pack", help="the pages of a yard as one file, to use offline")
    pack.add_argument("yard", type=Path, metavar="YARD")
    pack.add_argument("--out", type=html_file, required=True, metavar="F.html")
    pack.set_defaults(run=run_pack)

    still = commands.add_parser("still", help="a picture of a year, or one sheet of several")
    add_still_options(still)

    sheet = commands.add_parser("sheet", help="the conditions with their arithmetic, on one page")
    add_sheet_options(sheet)

    cost = commands.add_parser("cost", help="what a yard costs by your list of prices")
    add_cost_options(cost)

    report = commands.add_parser("report", help="pictures, charts, conditions, care, quantities")
    add_report_options(report)

    model = commands.add_parser("model", help="the yard of a year as a GLB file, to scale")
    add_model_options(model)

    grow = commands.add_parser("grow", help="one plant's height and spread by year")
    grow.add_argument("plant", metavar="PLANT")
    grow.add_argument("--size", help='like "#5", "2 in cal", "6 ft ht"; else as usually sold')
    grow.add_argument("--until", type=_until, default=30, help="last year, 1 to 30")
    grow.add_argument("--plants", type=Path, metavar="FILE", help="a file with [[plant]] tables")
    grow.add_argument("--zone", type=_zone, help="hardiness zone of the site, 1 to 13")
    grow.add_argument("--place", help='state or city of the site, like "Oregon"')
    grow.add_argument("--json", action="store_true", help="one JSON document on stdout")
    grow.set_defaults(run=run_grow)

    plants = commands.add_parser("plants", help="the catalogue, by words and figures")
    plants.add_argument(
        "words", nargs="*", metavar="WORD",
        help='like: evergreen screen zone 7 fast; also under 6 ft, over 3 m, flowers june, '
        "autumn red, without listed-toxic (leaves out what a list names, promises nothing)",
    )  # fmt: skip
    plants.add_argument("--json", action="store_true", help="one JSON document on stdout")
    plants.set_defaults(run=run_plants)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; every known failure is one line on stderr and an exit code."""
    args = command_line().parse_args(argv)
    try:
        return int(args.run(args))
    except (SceneError, GrowthError) as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except ShowError as error:
        print(error, file=sys.stderr)
        return OUTSIDE
    except KeyboardInterrupt:
        return WELL
    except BrokenPipeError:  # the reader of our output, for instance `head`, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WELL


if __name__ == "__main__":
    sys.exit(main())
