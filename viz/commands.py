"""What the commands do that print or write something: one function a command.

Apart from `viz.__main__`, which only knows what may be typed, so that `yardyears show` does not
wait for what it has no use for.
"""

import argparse
import json
import sys
from importlib import import_module

from rich.console import Console
from rich.markup import escape

import growth
import scenes
from growth.checks.findings import Findings
from growth.checks.record import as_json
from growth.plants import catalogue
from growth.search import as_json as plant_json
from growth.search import search
from growth.starts import read_entries
from scenes.groundwork import as_json as ground_json
from scenes.groundwork import groundwork
from viz.checker import planned
from viz.groundreport import print_ground
from viz.plantreport import none_found, print_course, print_plants, unit_asked_with
from viz.report import print_findings
from viz.typed import one_or_two

WELL, NOT_MET = 0, 1
COURSE_YEARS = (0, 1, 2, 3, 5, 10, 15, 20, 30)


def exit_code(findings: Findings, *, by_expected: bool) -> int:
    """0 when every requirement is met (or likely, judged by the expected value), else 1."""
    enough = ("met", "likely") if by_expected else ("met",)
    return WELL if all(v.standing in enough for v in findings.requirements) else NOT_MET


def run_check(args: argparse.Namespace) -> int:
    """`yardyears check`: the checks and requirements of one yard."""
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        findings = planned(
            yard, advising=lambda name: status.update(f"Trying what would meet {escape(name)} ...")
        ).findings
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
    read_entries(yard, layout.sources)  # plants to order have to be known, as for every command
    found = groundwork(yard, terrain, layout, rain_mm_per_h=args.rain)
    if args.json:
        print(json.dumps(ground_json(found), allow_nan=False))
    else:
        print_ground(Console(), found, lengths=yard.lengths)
    return WELL


def run_pack(args: argparse.Namespace) -> int:
    """`yardyears pack`: the pages of one yard, or of two side by side, as one file."""
    path, second = one_or_two(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ...") as status:
        pack = import_module("viz.pack").pack  # takes a second to load
        pack(
            path,
            args.out,
            second=second,
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
        years = [y for y in COURSE_YEARS if y <= args.until]
        print_course(Console(), course, years, unit=unit_asked_with([args.size or ""]))
    return WELL


def run_plants(args: argparse.Namespace) -> int:
    """`yardyears plants`: the catalogue, narrowed by words and figures."""
    plants = list(catalogue().values())
    found = search(args.words, plants)
    if args.json:
        print(json.dumps([plant_json(plant) for plant in found.plants], allow_nan=False))
    elif found.plants:
        unit = unit_asked_with(args.words)
        print_plants(Console(), found.plants, known=len(plants), unit=unit)
    if not found.plants:
        print(none_found(found, args.words), file=sys.stderr if args.json else sys.stdout)
    return WELL
