"""The command `yardyears`: what a person may type, and what comes back.

Exit codes: 0 well, 1 a requirement is not met, 2 bad input (one line a mistake on stderr),
3 something outside failed. With --json, stdout holds one JSON document and nothing else.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from growth.errors import GrowthError
from scenes.errors import SceneError
from scenes.lengths import parse_length_m
from viz.errors import ShowError, WrongYardError
from viz.typed import html_file

WELL, BAD_INPUT, OUTSIDE = 0, 2, 3
MOST_RAIN_MM_PER_H = 500

OF_THEIR_OWN = {
    "still": ("viz.stillcommand", "a picture of a year, or one sheet of several"),
    "sheet": ("viz.sheetcommand", "the conditions with their arithmetic, on one page"),
    "plan": ("viz.plancommand", "the planting plan to scale, with its schedule"),
    "cost": ("viz.costcommand", "what a yard costs by your list of prices"),
    "report": ("viz.reportcommand", "pictures, charts, conditions, care, quantities"),
    "model": ("viz.modelcommand", "the yard of a year as a GLB file, to scale"),
}
"""Commands that stand in modules of their own, options and all."""

Run = Callable[[argparse.Namespace], int]


def command(module: str, name: str) -> Run:
    """What runs a command; its module is loaded only then."""

    def run(args: argparse.Namespace) -> int:
        return int(getattr(import_module(module), name)(args))

    return run


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


def command_line(chosen: str | None = None) -> argparse.ArgumentParser:
    """The commands and their options; where one is chosen, only its module is loaded."""
    parser = Arguments(
        prog="yardyears", description="Grow a planned yard year by year, and see what goes wrong."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    show = commands.add_parser(
        "show", help="the yard in the browser (the demo yard if none; two: side by side)"
    )
    show.add_argument("yard", nargs="*", type=Path, metavar="YARD")
    show.add_argument("--port", type=_port, default=0, help="0, the default, takes a free one")
    show.add_argument("--no-browser", action="store_true", help="only print the address")
    show.set_defaults(run=command("viz.show", "run_show"))

    check = commands.add_parser("check", help="the checks and requirements of a yard")
    check.add_argument("yard", type=Path, metavar="YARD")
    check.add_argument("--expected", action="store_true", help="judge by the expected value")
    check.add_argument("--json", action="store_true", help="one JSON document on stdout")
    check.set_defaults(run=command("viz.commands", "run_check"))

    ground = commands.add_parser("ground", help="earth, falls, water, root zones and quantities")
    ground.add_argument("yard", type=Path, metavar="YARD")
    ground.add_argument(
        "--rain", type=_rain_mm_per_h, metavar="RAIN", help='like "2 in/h": also print peak flows'
    )
    ground.add_argument("--json", action="store_true", help="one JSON document on stdout")
    ground.set_defaults(run=command("viz.commands", "run_ground"))

    pack = commands.add_parser("pack", help="the pages of a yard as one file, to use offline")
    pack.add_argument("yard", nargs="+", type=Path, metavar="YARD")
    pack.add_argument("--out", type=html_file, required=True, metavar="F.html")
    pack.set_defaults(run=command("viz.commands", "run_pack"))

    for name, (module, told) in OF_THEIR_OWN.items():
        one = commands.add_parser(name, help=told)
        if chosen in (None, name):
            import_module(module).add_options(one)

    grow = commands.add_parser("grow", help="one plant's height and spread by year")
    grow.add_argument("plant", metavar="PLANT")
    grow.add_argument("--size", help='like "#5", "2 in cal", "6 ft ht"; else as usually sold')
    grow.add_argument("--until", type=_until, default=30, help="last year, 1 to 30")
    grow.add_argument("--plants", type=Path, metavar="FILE", help="a file with [[plant]] tables")
    grow.add_argument("--zone", type=_zone, help="hardiness zone of the site, 1 to 13")
    grow.add_argument("--place", help='state or city of the site, like "Oregon"')
    grow.add_argument("--json", action="store_true", help="one JSON document on stdout")
    grow.set_defaults(run=command("viz.commands", "run_grow"))

    plants = commands.add_parser("plants", help="the catalogue, by words and figures")
    plants.add_argument(
        "words", nargs="*", metavar="WORD",
        help='like: evergreen screen zone 7 fast; also under 6 ft, over 3 m, flowers june, '
        "autumn red, without listed-toxic (leaves out what a list names, promises nothing)",
    )  # fmt: skip
    plants.add_argument("--json", action="store_true", help="one JSON document on stdout")
    plants.set_defaults(run=command("viz.commands", "run_plants"))
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; every known failure is one line on stderr and an exit code."""
    typed = sys.argv[1:] if argv is None else argv
    args = command_line(typed[0] if typed else "").parse_args(typed)
    try:
        return int(args.run(args))
    except (SceneError, GrowthError, WrongYardError) as error:
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
