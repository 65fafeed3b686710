"""The checks of a yard as tables a person can read in a terminal.

Only arranges what was computed; figures are rounded for reading, ranges are printed beside
every expected value, and areas follow the document's own unit.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from growth.checks.findings import BedCover, Findings, Lost, Screening, Verdict
from growth.ranges import Range
from scenes.countwords import PER_100_FT, count_unit
from scenes.document import Site
from scenes.lengths import METRES
from viz.advicelist import advice_lines
from viz.canopies import canopy_table, credit_lines, rules_table
from viz.clearances import clearance_table, crowding_table, fire_table
from viz.firstwords import first_words
from viz.lightreport import light_table, lot_light_table
from viz.losses import losses_table
from viz.panelpicture import unmet_pictures
from viz.sights import sight_table
from viz.sprays import spray_table
from viz.tables import (
    NO_FIGURES,
    amount_text,
    percent_range,
    print_list,
    print_table,
    table,
    year_heads,
    year_text,
)
from viz.units import area_text, imperial

SHOWN_YEARS = (1, 5, 15, 30)
"""Few enough that a row fits a terminal of 80 columns with its ranges."""
GAP_YEAR = 5
OFFICER_SEASON = {"leaf": "summer", "bare": "winter"}


def limit_text(verdict: Verdict) -> str:
    """What the requirement asks, like 'at least 80 % in year 5, bare'."""
    side = "at least" if verdict.at_least else "at most"
    if verdict.check == "count":
        return f"{side} {amount_text(verdict.limit, verdict.unit)} in year {verdict.year}"
    return f"{side} {100 * verdict.limit:g} % in year {verdict.year}, {verdict.season}"


def forecast_text(verdict: Verdict) -> str:
    """Low, expected and high of a requirement in percent, or that nothing was computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return "not computed yet"
    return " / ".join(
        amount_text(value, verdict.unit, beside=verdict.limit)
        for value in (verdict.low, verdict.expected, verdict.high)
    )


def _requirements(findings: Findings) -> Table:
    return table(
        "Requirements",
        ("Requirement", "Asks", "Low / expected / high", "Standing"),
        [
            (
                verdict.name,
                f"{verdict.check} of {verdict.of}: {limit_text(verdict)}",
                forecast_text(verdict),
                verdict.standing,
            )
            for verdict in findings.requirements
        ],
        figures=slice(2, None),
    )


def _coverage(findings: Findings, *, lengths: str) -> Table:
    years = SHOWN_YEARS[:-1]
    return table(
        "Beds covered, percent: expected (low-high)",
        ("Bed", *year_heads(years), "Closed"),
        [
            (
                f"{bed.bed}, {area_text(bed.area_m2, lengths=lengths)}",
                *(percent_range(bed.fraction, year) for year in years),
                year_text(bed.closed_year),
            )
            for bed in _beds(findings)
        ],
    )


def _beds(findings: Findings) -> list[BedCover]:
    """Every bed, and where there are several all of them together."""
    together = [replace(findings.beds, bed="all beds")] if findings.beds else []
    return [*findings.coverage, *(together if len(findings.coverage) > 1 else [])]


def _screening(findings: Findings) -> Table:
    return table(
        "Opacity, percent hidden: expected (low-high)",
        ("View", *year_heads(SHOWN_YEARS)),
        [
            (
                f"{view.view} ({view.purpose}), {OFFICER_SEASON[view.season]}",
                *(percent_range(view.fraction_blocked, year) for year in SHOWN_YEARS),
            )
            for view in findings.screening
        ],
    )


def _gaps(findings: Findings, *, lengths: str) -> Table:
    """The largest gap of every screen in one year, and the opacity of its worst window."""
    unit = "ft" if imperial(lengths) else "m"
    return table(
        f"Largest gap of each screen in year {GAP_YEAR}, expected course, {unit}",
        ("View", "Wide", "From", "To", "Along", "Closes", "Worst\n2 sq yd, %"),
        list(_gap_rows(findings.screening, unit_m=METRES[unit])),
    )


def _gap_rows(views: Iterable[Screening], *, unit_m: float) -> Iterator[tuple[str, ...]]:
    for view in views:
        gap = next((gap for gap in view.gaps if gap.year == GAP_YEAR), None)
        if view.purpose != "screen" or gap is None or view.worst_window is None:
            continue
        sizes_m = (gap.width_m, gap.low_m, gap.high_m, gap.along_m)
        yield (
            f"{view.view}, {OFFICER_SEASON[view.season]}",
            *(f"{size_m / unit_m:.1f}" for size_m in sizes_m),
            year_text(gap.closes),
            percent_range(view.worst_window, GAP_YEAR),
        )


def _kept_open(findings: Findings) -> Table:
    """The year each view to keep open is lost, and the plant in its way."""
    return table(
        "Views to keep open",
        ("View", "Lost (earliest, latest)", "Taking out", "opens"),
        [
            (f"{view.view}, {OFFICER_SEASON[view.season]}", *_lost_cells(findings, view.lost))
            for view in findings.screening
            if view.lost is not None
        ],
        figures=NO_FIGURES,
    )


def _lost_cells(findings: Findings, lost: Lost) -> tuple[str, ...]:
    years = (lost.first_year, lost.earliest_year, lost.latest_year)
    first, earliest, latest = ("never" if year is None else str(year) for year in years)
    asked = f"under {100 * lost.limit:.0f} % open: {first}"
    return (
        asked if earliest == latest else f"{asked} ({earliest}, {latest})",
        findings.told(lost.plant, lost.place) if lost.plant else "",
        f"{100 * lost.opens:.0f} %" if lost.opens else "",
    )


def _counts(findings: Findings) -> Table:
    return table(
        "Counts of trees and shrubs: expected (low-high)",
        ("Of", *year_heads(SHOWN_YEARS)),
        [
            (of, *(_count_text(of, found, year) for year in SHOWN_YEARS))
            for of, found in findings.counts.items()
            if found.high.any() and count_unit(of) in ("share", PER_100_FT)
        ],
    )


def _planted_sizes(findings: Findings, *, lengths: str) -> Iterator[str]:
    """The smallest sizes at planting in the document's kind of unit."""
    units = ("inches", "feet") if imperial(lengths) else ("millimetres", "metres")
    for of, found in findings.counts.items():
        if count_unit(of) in units:
            size, _, unit = of.rpartition(" in ")
            yield f"{size}: {round(float(found.expected[0]), 1):g} {unit}"


def _count_text(of: str, found: Range, year: int) -> str:
    if count_unit(of) == "share":
        return f"{percent_range(found, year)} %"
    return f"{found.expected[year]:.1f}"


def print_findings(console: Console, findings: Findings, *, lengths: str, site: Site) -> None:
    """Tables of all that was checked, then what to know before relying on it."""
    console.print(f"[bold]{escape(findings.title)}[/bold]")
    first = first_words(findings, lengths=lengths, site=site)
    print_list(console, "First of all", first)
    print_table(console, _requirements(findings))
    print_list(console, "What to do, found by trying it", advice_lines(findings.requirements))
    for title, lines in unmet_pictures(
        findings, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    ):
        console.print(title, *lines, sep="\n", markup=False, highlight=False)
    conflicts = findings.fire.conflicts if findings.fire else ()
    print_list(console, "Rules that cannot both be kept", conflicts)
    for made in other_tables(findings, lengths=lengths):
        print_table(console, made)
    for heading, told in other_lists(findings, lengths=lengths):
        print_list(console, heading, told)
    print_list(console, "Not computed yet", findings.not_computed)
    print_list(console, "Notes", findings.notes)
    cautions = [line for line in findings.cautions if line not in first]
    print_list(console, "Before you rely on this", cautions)


def other_tables(findings: Findings, *, lengths: str) -> list[Table]:
    """Every table but that of the requirements, those without a row left out."""
    made = (
        losses_table(findings),
        _coverage(findings, lengths=lengths),
        _screening(findings),
        _kept_open(findings),
        _gaps(findings, lengths=lengths),
        canopy_table(findings.canopy, lengths=lengths),
        rules_table(findings.canopy),
        clearance_table(findings, lengths=lengths),
        spray_table(findings.spray, lengths=lengths),
        _counts(findings),
        crowding_table(findings.crowding, lengths=lengths),
        fire_table(findings.fire.gaps if findings.fire else (), lengths=lengths),
        sight_table(findings),
        light_table(findings),
        *([lot_light_table(findings.lot_light, lengths=lengths)] if findings.lot_light else []),
    )
    return [table for table in made if table.row_count]


def other_lists(findings: Findings, *, lengths: str) -> list[tuple[str, list[str]]]:
    """Headed lines that no table holds: sizes at planting, and canopy credits."""
    return [
        ("Smallest sizes at planting", list(_planted_sizes(findings, lengths=lengths))),
        (
            "Canopy as local rules credit mature trees",
            list(credit_lines(findings.canopy, lengths=lengths)),
        ),
    ]
